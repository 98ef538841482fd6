"""Strandline: plans gray-blending hair colour by computation."""

__version__ = "0.1.0"
