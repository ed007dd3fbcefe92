"""The things of the trade: patchwork, fabrics, cut lists and plans. Nothing here solves or draws."""
