"""Every figure of a piece of hair with its range: named, read, or under a shade."""
