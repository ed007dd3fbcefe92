"""Pieces: every patch grown by the allowance, counted and named."""
