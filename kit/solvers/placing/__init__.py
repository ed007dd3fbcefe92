"""Placing: colours on a graph, with limits."""
