"""Checks: each accepts or refuses one plan and imports no planner, solver, design or output.

They share with the planners the types of `kit.model`, notation (`kit.lengths`) and plane geometry (`kit.geometry`).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
