"""What is true of any hair; nothing here knows a salon, a file or a clock."""
