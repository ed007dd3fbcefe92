"""Exercises: questions with exact answers, and named mistakes."""
