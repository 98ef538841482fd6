"""Placement: which hair goes into which foil, what each takes, and the last visit's foils."""
