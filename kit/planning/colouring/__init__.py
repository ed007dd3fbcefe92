"""Colouring: the choice of a fabric for each patch."""
