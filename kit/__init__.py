"""Seamproof: design a pieced quilt, see it, cut it, sew it, and prove every number before cloth is cut.

>>> import kit
>>> study = kit.open_study("data/studies/tideline.toml")
>>> pattern = kit.make_pattern(study)
>>> len(pattern.patchwork.patches)
150
"""

from kit.errors import CheckError, KitError, LengthError, NoPlanError, PatchworkError, StudyError
from kit.explore.explorer import explore
from kit.explore.notebook import show_picture, start_notebook
from kit.model.fabrics import Fabric, Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.output import tables
from kit.output.document import write_document
from kit.output.preview import preview
from kit.output.tables import compare
from kit.passes.colouring import colour_plan
from kit.passes.cut_list import cut_list
from kit.passes.cutting import cutting_plan
from kit.passes.rehearsal import rehearse
from kit.passes.sewing import sewing_plan
from kit.pipeline import make_pattern, make_sketch
from kit.study import open_study, save_study

__all__ = [
    "CheckError",
    "Fabric",
    "KitError",
    "LengthError",
    "NoPlanError",
    "PatchworkError",
    "StudyError",
    "Supply",
    "colour_plan",
    "compare",
    "cut_list",
    "cutting_plan",
    "explore",
    "make_pattern",
    "make_sketch",
    "open_study",
    "patchwork_from_outlines",
    "preview",
    "rehearse",
    "save_study",
    "sewing_plan",
    "show_picture",
    "start_notebook",
    "tables",
    "write_document",
]
