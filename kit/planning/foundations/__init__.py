"""Paper foundations: a block in few sections, the order of pieces in each, and the cloth to lay for each."""
