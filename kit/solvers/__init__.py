"""Solvers: algorithms over numbers and graphs; they know nothing of quilts."""
