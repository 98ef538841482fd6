"""The rest of a visit planned anew, from what its facts say was done and seen."""
