"""Quilting: lines, their order on one thread, and the gaps between them."""
