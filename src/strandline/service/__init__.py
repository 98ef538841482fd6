"""What a colourist decides, from the consultation to the plan."""
