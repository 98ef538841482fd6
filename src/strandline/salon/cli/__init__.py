"""The command line: parse, call, show; a command's module is imported when it is named."""
