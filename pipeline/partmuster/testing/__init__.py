"""What plugin authors test with: fixtures, and a contract suite to subclass."""
