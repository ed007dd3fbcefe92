"""Checks: each accepts or refuses one plan and imports no planner, solver, design or output.

They share with the planners the types of `kit.model`, notation (`kit.lengths`) and plane geometry (`kit.geometry`).
"""
