"""What the commands do, one module a group; imported only when a command runs."""
