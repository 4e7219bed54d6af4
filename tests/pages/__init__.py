"""Pages of parts lists drawn for tests, with what stands on them."""
