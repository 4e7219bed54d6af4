"""Helpers of the runner: which files, what the club knows, what descriptions mean."""
