"""Checks: each accepts or refuses one plan and imports no planner."""
