"""Her bench: the numbers of practice, each with unit, range and source; her own override them."""
