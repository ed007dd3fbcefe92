"""The maker's wishes for the quilting: ways of stitching in their places, and the limits of batting and machine."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias, get_args

from kit.errors import KitError
from kit.geometry.outlines import Outline
from kit.lengths import Inches, MaybeInches, System, read_length, write_refused

QuiltingWay: TypeAlias = Literal[
    "ditch", "outline", "echo", "motif", "corner curves",
    "grid", "crosshatch", "serpentine", "swirls", "loops", "meander",
    "pebbles", "clamshells", "feathers", "leaves", "cable", "chain", "rays", "spiral", "drawn line",
]  # fmt: skip
WAYS: tuple[str, ...] = get_args(QuiltingWay)

STAGES: Mapping[str, int] = dict.fromkeys(WAYS[1:5], 2) | dict.fromkeys(WAYS[5:], 3) | {"ditch": 1}
"""The stage of a way of stitching: 1 seams that hold the layers, 2 motifs, 3 fillers."""

LayerPlace: TypeAlias = Literal["area", "inside", "around"]
Beginning: TypeAlias = Literal["middle", "anywhere"]

THREAD = "#8a4f3a"
TIGHTEST = 0.04
"""Inches: the least radius of any bend, half a stitch at ten stitches to the inch (common practice, no source)."""
BATTING_LIMIT = 8.0
"""Inches: the default limit of gaps, if the batting's label has no other (common practice, no source)."""
LOFT = 0.125
"""Inches: the thickness of a low-loft batting where nothing presses it (common practice, no source)."""

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


@dataclass(frozen=True)
class Stitching:
    """One wish: where and how to stitch.

    Attributes
    ----------
    where
        "top" for the whole top, a slot, or the name of patches ("log").
    way
        "ditch": along the seams; "outline": once round each region, `spacing` inside its edge; "echo": lines at
        `spacing`, twice `spacing` ... inside the edge, or only `rounds` of them; "motif": `motif` as large as fits;
        "corner curves": curves from corner to corner of each patch; "grid": straight lines at `angle`; "crosshatch":
        also across; "rays": lines that radiate from the middle of the quilt; "clamshells": rows of half circles;
        "spiral": one line that winds in and out again; "swirls": small spirals that lie over one another;
        "meander": one line that wanders and never crosses itself. Along a strip, or in rows over a wide area:
        "serpentine", a wave from side to side; "loops", as a row of the letter e; "pebbles"; "leaves": leaves and hooks
        on a stem; "feathers": plumes on a spine; "cable", "chain": three or two strands that cross; "drawn line": the
        open line `motif`, repeated.
    spacing
        Inches between neighbouring lines.
    angle
        Degrees of straight lines, counter-clockwise from x.
    together
        Whether touching patches make one region together.
    motif
        For "motif": corners of a closed curve, in any unit; it is rounded. For "drawn line": of an open one, from
        left to right.
    colour
        Colour of the thread, "#rrggbb".
    rounds
        For "echo": how many lines; 0: as many as fit.
    within
        "area": the whole of each area; "inside": what the wish before for the same place has enclosed, for instance the
        inside of an echo; "around": what that wish has left around its lines, for instance around a motif.
    turn, turns
        Of every so many areas in a row (`turns`) only the first, second ... (`turn`): with turns 2, two
        wishes alternate.
    """

    where: str = "top"
    way: QuiltingWay = "ditch"
    spacing: Inches = Inches(1.0)
    angle: float = 45.0
    together: bool = False
    motif: Outline = ()
    colour: str = THREAD
    rounds: int = 0
    within: LayerPlace = "area"
    turn: int = 1
    turns: int = 1

    def __post_init__(self) -> None:
        if self.way not in WAYS:
            raise KitError(
                f"There is no way of stitching `{self.way}`", needed=", ".join(WAYS), do="use one of these words"
            )
        if not 0.1 <= self.spacing <= 100:
            raise KitError(
                f"The spacing of the {self.way} on `{self.where}` is {write_refused(self.spacing)}",
                needed=write_refused(0.1, 100, joint=" to "),
                do="write 1 for an inch",
            )
        if not _COLOUR.fullmatch(self.colour):
            raise KitError(
                f"The thread for `{self.where}` has the colour `{self.colour}`",
                needed="a colour of the form #rrggbb",
                do=f'write for instance "{THREAD}"',
            )
        if not (0 <= self.rounds <= 1000 and 1 <= self.turn <= self.turns <= 20):
            raise KitError(
                f"The {self.way} on `{self.where}` has {self.rounds} rounds and takes turn {self.turn} of {self.turns}",
                needed="rounds of 0 or more, and a turn from 1 to turns, at most 20",
                do="write for instance turn = 1 and turns = 2",
            )
        if self.within not in get_args(LayerPlace):
            raise KitError(
                f"The {self.way} on `{self.where}` lies within `{self.within}`",
                needed=", ".join(get_args(LayerPlace)),
                do="use one of these words",
            )
        if self.way in ("motif", "drawn line") and len(self.motif) < 3:
            raise KitError(
                f"The {self.way} for `{self.where}` has {len(self.motif)} corners",
                needed="three or more",
                do="give the motif as (x, y) corners",
            )


@dataclass(frozen=True)
class QuiltingWishes:
    """The maker's wishes for the quilting.

    Attributes
    ----------
    stitchings
        The ways of stitching, each in its place; they may overlap.
    gap_limit
        Inches: the widest unquilted gap allowed by the batting's label.
    loft
        Inches: the thickness of the batting where nothing presses it, for estimating the shrinkage by quilting.
    throat
        Inches under the machine's arm: the whole of one panel must fit through it; None if it does not matter.
    reach
        Inches: the longest way across open cloth from an island of lines to the rest; the thread is cut beyond it.
    begin
        The beginning of a thread: "middle": the place on its lines nearest the middle of the quilt; "anywhere": the
        place with the shortest last stage, mostly at the edge, under the binding.
    straight_speed, curve_speed
        The maker's inches per minute (the defaults are common practice, no source).
    stop_minutes
        Minutes for starting and fastening off one thread.
    seed
        The start of the fillers' random choices.
    """

    stitchings: tuple[Stitching, ...] = (Stitching(),)
    gap_limit: Inches = Inches(BATTING_LIMIT)
    throat: MaybeInches = MaybeInches()
    reach: Inches = Inches(1.5)
    begin: Beginning = "middle"
    straight_speed: float = 60.0
    curve_speed: float = 40.0
    stop_minutes: float = 1.0
    seed: int = 0
    loft: Inches = Inches(LOFT)

    def __post_init__(self) -> None:
        if not self.stitchings:
            raise KitError(
                "The quilting has no way of stitching",
                needed="at least one",
                do='write for instance Stitching("top", "ditch")',
            )
        if self.begin not in get_args(Beginning):
            raise KitError(
                f"The thread begins at `{self.begin}`",
                needed=", ".join(get_args(Beginning)),
                do="use one of these words",
            )
        amounts = {
            "gap limit": (self.gap_limit, ""),
            "loft": (self.loft, ""),
            "throat": (1.0 if self.throat is None else self.throat, ""),
            "speed along straight lines": (self.straight_speed, " a minute"),
            "speed along curves": (self.curve_speed, " a minute"),
        }
        for what, (value, per) in amounts.items():
            if not 0 < value < 1e6:
                found = f"The {what} is {write_refused(value)}{per}"
                raise KitError(found, needed="more than zero", do=f"correct the {what}")
        if not (0 <= self.reach < 1e3 and 0 <= self.stop_minutes < 1e3):
            raise KitError(
                f"The reach is {write_refused(self.reach)} and a stop takes {self.stop_minutes:g} minutes",
                needed="zero or more",
                do="correct the wrong one",
            )


def find_usual_quilting(system: System) -> QuiltingWishes:
    """Return the usual values, in round inches or in round centimetres.

    Common practice, no source.

    Examples
    --------
    >>> find_usual_quilting("inch").gap_limit, round(find_usual_quilting("metric").gap_limit * 2.54, 6)
    (8.0, 20.0)
    """
    usual = QuiltingWishes()
    if system == "inch":
        return usual
    return replace(
        usual,
        stitchings=(replace(usual.stitchings[0], spacing=read_length("2.5 cm")),),
        gap_limit=read_length("20 cm"),
        reach=read_length("4 cm"),
        straight_speed=read_length("150 cm"),
        curve_speed=read_length("100 cm"),
        loft=read_length("3 mm"),
    )
