"""Names of shades in the numbering of a product line: to colour, and from a colour back."""
