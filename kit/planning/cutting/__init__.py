"""Cutting: pieces to rectangles, rectangles to strips of cloth."""
