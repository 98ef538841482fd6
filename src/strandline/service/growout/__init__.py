"""The look of a stretch of hair as it grows, and the figures read from it."""
