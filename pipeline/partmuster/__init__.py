"""partmuster: what each vehicle really is, what it lacks, and who in the club can supply it."""

__version__ = "0.1.0"
