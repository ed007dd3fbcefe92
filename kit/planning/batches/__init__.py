"""Batches: units that are made several at a time."""
