"""The consultation: what she and the client answered, checked at the wall, with defaults told."""
