"""Pages without code for a room of visitors: each with a folder of its own, and nothing beyond it."""
