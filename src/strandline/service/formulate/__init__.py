"""Formulating: strengths and bowls of lightener, shades and parts of a gloss."""
