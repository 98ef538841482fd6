"""What the chair is handed: one plan to run from, and what its facts are told as."""
