"""Quilting: lines, their order on one thread, and how far they lie apart."""
