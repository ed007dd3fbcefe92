"""Back ends: plans become one neutral drawing first, then screens, tables and paper. Output never solves anything."""
