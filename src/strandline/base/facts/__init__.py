"""What happened at a chair, as plain records with a fold; the standard library alone."""
