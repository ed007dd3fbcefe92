"""Seamproof: design a pieced quilt, see it, cut it, sew it, and prove every number before cloth is cut.

The public names stand in `__init__.pyi`, grouped by stage of the job; each is loaded when it is first used.

>>> import kit
>>> study = kit.open_study("data/studies/tideline.toml")
>>> pattern = kit.make_pattern(study)
>>> len(pattern.patchwork.patches)
150
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
