"""Figures of speed, memory and accuracy, each beside its target and a baseline of the same run."""
