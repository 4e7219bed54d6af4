"""The questions a club asks, one module a question."""
