"""The proof sheet."""
