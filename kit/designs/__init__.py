"""Front ends: the parameters of a family of quilts become a `Patchwork`."""

from kit.designs.bargello import Bargello
from kit.designs.braid import Braid
from kit.designs.chevron import Chevron
from kit.designs.families import BLOCK_FAMILIES
from kit.designs.family import Family
from kit.designs.flying_geese import FlyingGeese
from kit.designs.grid_blocks import GridBlocks
from kit.designs.lines import Lines
from kit.designs.log_cabin import LogCabin
from kit.designs.outline_design import Outlines, take_in_drawing
from kit.designs.pinwheel import Pinwheel, Whirl
from kit.designs.sixty_degrees import SixtyDegrees
from kit.designs.square_in_square import SquareInSquare
from kit.designs.star import Star
from kit.designs.string_panels import StringPanels
from kit.designs.strips import Strips
from kit.designs.turned_frame import TurnedFrame
from kit.designs.units.units_family import Units, check_units, list_unit_models

FAMILIES: dict[str, type[Family]] = {**BLOCK_FAMILIES, "units": Units}
"""Every family by the name that a study file gives it."""

__all__ = [
    "BLOCK_FAMILIES",
    "FAMILIES",
    "Bargello",
    "Braid",
    "Chevron",
    "Family",
    "FlyingGeese",
    "GridBlocks",
    "Lines",
    "LogCabin",
    "Outlines",
    "Pinwheel",
    "SixtyDegrees",
    "SquareInSquare",
    "Star",
    "StringPanels",
    "Strips",
    "TurnedFrame",
    "Units",
    "Whirl",
    "check_units",
    "list_unit_models",
    "take_in_drawing",
]
