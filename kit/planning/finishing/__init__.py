"""Finishing: borders, backing, batting, binding, time and cost."""
