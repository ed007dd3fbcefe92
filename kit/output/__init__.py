"""Back ends: plans become one neutral drawing first, then screens, tables and paper. Output never solves anything."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
