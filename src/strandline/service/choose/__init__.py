"""Choosing: which kind of service this head can have today, and why."""
