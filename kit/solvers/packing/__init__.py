"""Packing: rectangles into strips by straight cuts from edge to edge."""
