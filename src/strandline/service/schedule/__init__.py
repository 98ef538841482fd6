"""The clock of a head: when each group of foils starts, is checked, is due, and must be out."""
