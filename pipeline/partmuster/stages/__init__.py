"""The stages a line goes through: read, layout, normalise, match, check, load."""
