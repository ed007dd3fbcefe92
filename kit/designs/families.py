"""The families whose keys alone give a design, by name."""

from kit.designs.bargello import Bargello
from kit.designs.braid import Braid
from kit.designs.chevron import Chevron
from kit.designs.family import Family
from kit.designs.flying_geese import FlyingGeese
from kit.designs.grid_blocks import GridBlocks
from kit.designs.lines import Lines
from kit.designs.log_cabin import LogCabin
from kit.designs.outline_design import Outlines
from kit.designs.pinwheel import Pinwheel, Whirl
from kit.designs.sixty_degrees import SixtyDegrees
from kit.designs.square_in_square import SquareInSquare
from kit.designs.star import Star
from kit.designs.string_panels import StringPanels
from kit.designs.strips import Strips
from kit.designs.turned_frame import TurnedFrame

BLOCK_FAMILIES: dict[str, type[Family]] = {
    "bargello": Bargello,
    "braid": Braid,
    "chevron": Chevron,
    "eight-pointed star": Star,
    "flying geese": FlyingGeese,
    "grid blocks": GridBlocks,
    "lines": Lines,
    "log cabin": LogCabin,
    "outlines": Outlines,
    "pinwheel": Pinwheel,
    "sixty degrees": SixtyDegrees,
    "square in square": SquareInSquare,
    "string panels": StringPanels,
    "strips": Strips,
    "turned frame": TurnedFrame,
    "whirl": Whirl,
}
"""Each makes a block of its own; a unit of a study may be of any of them."""
