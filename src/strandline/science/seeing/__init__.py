"""What an eye sees of a field of hair: line, stripes, contrast."""
