"""The plan: assembly only, from a consultation to everything the sheets and the chair show."""
