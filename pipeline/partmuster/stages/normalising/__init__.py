"""Helpers of the normalise stage: text columns become typed ones, a column's words at a time."""
