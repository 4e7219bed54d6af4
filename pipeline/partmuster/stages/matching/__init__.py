"""What the match stage is built of: forms of words, exact and near names, numbers, decisions."""
