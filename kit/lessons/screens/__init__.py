"""Lessons and exercises on screen, and a learner's progress."""
