"""Sewing: in which order the pieces go together, and the written steps."""
