"""Exercises: questions with exact answers, and wrong answers that have a name."""
