"""What a line of each kind must be, and the database's tables and views."""
