"""Batches: units made several at a time."""
