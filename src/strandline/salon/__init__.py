"""What she touches: the command line, the sheets, the evidence."""
