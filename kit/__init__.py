"""Seamproof: design a pieced quilt, see it, cut it, sew it, and prove every number before cloth is cut.

>>> import kit
>>> study = kit.open_study("data/studies/tideline.toml")
>>> pattern = kit.make_pattern(study)
>>> len(pattern.patchwork.patches)
150
"""

from kit import lessons
from kit.designs.svg_outlines import DrawnOutline, read_outlines
from kit.errors import CheckError, KitError, LengthError, NoPlanError, PatchworkError, StudyError
from kit.explore.cutting_face import explore_cutting
from kit.explore.drawing_board import draw
from kit.explore.explorer import explore
from kit.explore.finishing_face import explore_finishing
from kit.explore.fit_screen import choose_size
from kit.explore.gallery import list_keys, show_family, show_studies
from kit.explore.notebook import show_picture, start_notebook
from kit.explore.quilting_face import explore_quilting
from kit.explore.route_slider import follow_route
from kit.explore.walkthrough import show_step, walk_through
from kit.fitting import aim, fit, friendly_sizes, mix_parts, read_beds
from kit.model.fabrics import Fabric, Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.model.rules import Rules
from kit.output import tables
from kit.output.pictures.bokeh_figure import preview
from kit.output.tables import compare
from kit.pipeline import compare_widths, make_pattern, make_sketch
from kit.planning.colouring.colour_plan import colour_plan
from kit.planning.colouring.recolour import fix_by_swaps, recolour
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list
from kit.planning.quilting.quilting_plan import quilting_plan
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.publish import redraft, write_document
from kit.rehearsal.by_hand import rehearse_by_hand
from kit.rehearsal.rehearse import rehearse
from kit.sharing import pack_study, store_result, unpack_study
from kit.study import add_edition, editions, open_study, save_study
from kit.sweeping import sweep

__all__ = [
    "CheckError",
    "DrawnOutline",
    "Fabric",
    "KitError",
    "LengthError",
    "NoPlanError",
    "PatchworkError",
    "QuiltingWishes",
    "Rules",
    "Stitching",
    "StudyError",
    "Supply",
    "add_edition",
    "aim",
    "choose_size",
    "colour_plan",
    "compare",
    "compare_widths",
    "cut_list",
    "cutting_plan",
    "draw",
    "editions",
    "explore",
    "explore_cutting",
    "explore_finishing",
    "explore_quilting",
    "fit",
    "fix_by_swaps",
    "follow_route",
    "friendly_sizes",
    "lessons",
    "list_keys",
    "make_pattern",
    "make_sketch",
    "mix_parts",
    "open_study",
    "pack_study",
    "patchwork_from_outlines",
    "preview",
    "quilting_plan",
    "read_beds",
    "read_outlines",
    "recolour",
    "redraft",
    "rehearse",
    "rehearse_by_hand",
    "save_study",
    "sewing_plan",
    "show_family",
    "show_picture",
    "show_step",
    "show_studies",
    "start_notebook",
    "store_result",
    "sweep",
    "tables",
    "unpack_study",
    "walk_through",
    "write_document",
]
