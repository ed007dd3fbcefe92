"""Plane geometry of straight-edged outlines; it knows nothing of cloth."""
