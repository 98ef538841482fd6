"""Drawings and sheets: the foil map, charts, worksheet and client sheet."""
