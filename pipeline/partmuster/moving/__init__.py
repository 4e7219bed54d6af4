"""A club on the move: out in open formats and back, backups, and forgetting a person."""
