"""Sewing: the order of joining pieces, and the written steps."""
