"""The printed pattern."""
