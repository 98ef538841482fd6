"""Strands for a screen that turns them: picked, shaded, and told in few bytes."""
