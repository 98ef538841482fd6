"""Hair drawn as strands: how it is worn, how it falls, what of it is seen, in computed colours."""
