"""How numbers, times and names are written, for all that show them."""
