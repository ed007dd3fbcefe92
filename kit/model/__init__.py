"""What things are: patchwork, fabrics, cut lists and plans. Nothing here solves or draws."""
