"""Prices of the ways in which a top may go together."""
