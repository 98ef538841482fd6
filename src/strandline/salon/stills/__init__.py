"""A path-traced curtain of hair: an outside check of the optics, with the extra `stills`."""
