"""The front door: quilts as tiles, new quilts, and the way from one screen to the next."""
