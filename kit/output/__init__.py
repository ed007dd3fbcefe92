"""Back ends: plans become one neutral drawing first, then screen, tables and paper. Output never solves anything."""
