"""The head: its scalp, zones and hair, and its history by the day each stretch was grown."""
