"""Colouring: which fabric each patch is cut from."""
