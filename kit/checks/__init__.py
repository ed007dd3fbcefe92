"""Checks: each accepts or refuses one plan and imports no planner."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
