"""Pressing: a side for every seam."""
