"""Quilting plans: the lines stitched through the layers, and the order in which the thread runs along them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from kit.geometry.outlines import Outline, Point
from kit.model.quilting_wishes import STAGES, QuiltingWay, QuiltingWishes

RegionFit: TypeAlias = Literal["as wished", "narrower", "in the ditch", "left"]

NEARLY = 1 / 64
"""Inches: how far the bound of a gap may be over the limit; no tape measure shows it."""
SMALL = 1e-9
"""Inches: the rounding error in a gap."""


@dataclass(frozen=True, slots=True)
class QuiltRegion:
    """A part of the top with one way of stitching.

    Attributes
    ----------
    id
        Its name: a patch's id, a slot, "top".
    rings
        Its outline, and the outlines of the holes in it.
    area
        Square inches.
    where
        That of its wish.
    way, spacing
        As it is stitched.
    fit
        "as wished"; "narrower": at a smaller spacing than wished; "in the ditch": too narrow for its way, so its seams
        are stitched; "left": too narrow, and held by the lines round it.
    """

    id: str
    rings: tuple[Outline, ...]
    area: float
    where: str
    way: QuiltingWay
    spacing: float
    fit: RegionFit = "as wished"


@dataclass(frozen=True, slots=True)
class QuiltLine:
    """One line of stitches as drawn on the quilt; a closed line ends at its beginning."""

    id: str
    region: str
    way: QuiltingWay
    colour: str
    points: tuple[Point, ...]
    length: float

    @property
    def stage(self) -> int:
        """1 for seams, 2 for motifs, 3 for fillers."""
        return STAGES[self.way]


StrandKind: TypeAlias = Literal["line", "seam", "bridge"]
StretchKind: TypeAlias = Literal["stitch", "again", "seam", "bridge"]


@dataclass(frozen=True, slots=True)
class Strand:
    """A stretch of thread from end to end.

    Attributes
    ----------
    kind
        "line": part of a wished line; "seam": part of a seam, or of the edge under the binding, not wished but fit to
        hide a thread; "bridge": a short way across open cloth to an island.
    line
        Id of its line, empty otherwise.
    points
        Its course.
    length
        Inches.
    """

    kind: StrandKind
    line: str
    points: tuple[Point, ...]
    length: float


@dataclass(frozen=True, slots=True)
class RouteStretch:
    """One strand of the route.

    Attributes
    ----------
    strand
        Its place among the plan's strands.
    back
        From its end to its beginning.
    kind
        "stitch": a wished line, stitched the first time; "again": over a line stitched already, or along a seam to be
        stitched later; "seam": hidden in a seam or at the edge; "bridge": across open cloth.
    """

    strand: int
    back: bool
    kind: StretchKind


@dataclass(frozen=True, slots=True)
class ThreadRun:
    """The stitching between two cuts of the thread."""

    panel: int
    colour: str
    stretches: tuple[RouteStretch, ...]


@dataclass(frozen=True, slots=True)
class ThreadEnd:
    """A declared start or end of a thread."""

    run: int
    kind: Literal["start", "stop"]
    at: Point


@dataclass(frozen=True, slots=True)
class Gap:
    """The largest circle without a stitch in some part: its centre, its width in inches, its patch."""

    at: Point
    width: float
    where: str


@dataclass(frozen=True)
class QuiltingPlan:
    """The lines of stitching, their order, and the thread and time. Lengths in inches.

    Attributes
    ----------
    wishes
        The wishes of the study.
    regions, lines
        The parts of the top and the lines in them.
    strands
        The lines, the seams and the bridges, divided at their meetings.
    panels
        (left, bottom, right, top) of each part worked without moving the roll, in the order of working.
    runs, stops
        The route, and every place where a thread begins or ends.
    wished, length
        Length of all lines once, and of the whole route.
    bound
        The proven least length of any route with these panels, colours, stages and beginnings, if each stage except
        the last on one thread returns to its beginning.
    islands
        Regions without a seam, line or bridge to the rest; each takes one more thread.
    threads
        Colour -> inches along the route.
    minutes
        At the wished speeds, stops included.
    gap, gap_bound
        The widest circle without a stitch, and the upper bound of its width.
    gaps
        The widest gap of each patch name, the widest first.
    open_gaps
        Circles over the batting's limit that do not overlap, the widest first.
    density
        For each slot (area in square inches, inches of wished lines within it).
    draw_in
        Estimated parts of width and height lost in quilting.
    trapped
        Patches filled after everything around them, before their own seams are stitched: loose cloth in them has
        nowhere to go.
    """

    wishes: QuiltingWishes
    regions: tuple[QuiltRegion, ...]
    lines: tuple[QuiltLine, ...]
    strands: tuple[Strand, ...]
    panels: tuple[tuple[float, float, float, float], ...]
    runs: tuple[ThreadRun, ...]
    stops: tuple[ThreadEnd, ...]
    wished: float
    length: float
    bound: float
    islands: tuple[str, ...]
    threads: Mapping[str, float]
    minutes: float
    gap: Gap
    gap_bound: float
    gaps: tuple[Gap, ...]
    open_gaps: tuple[Gap, ...]
    density: Mapping[str, tuple[float, float]]
    draw_in: tuple[float, float]
    trapped: tuple[str, ...]

    @property
    def twice(self) -> float:
        """Inches of the route beyond the wished lines: travel in seams, over lines again, across to islands."""
        return self.length - self.wished

    @property
    def travel(self) -> dict[str, float]:
        """Inches of `twice` hidden in seams and at the edge, over visible lines, and across open cloth."""
        ditch = {line.id for line in self.lines if line.way == "ditch"}
        inches = {"hidden": 0.0, "over lines": 0.0, "across": 0.0}
        for run in self.runs:
            for stretch in run.stretches:
                strand = self.strands[stretch.strand]
                if stretch.kind == "bridge":
                    inches["across"] += strand.length
                elif stretch.kind == "seam" or strand.line in ditch:
                    inches["hidden"] += strand.length if stretch.kind != "stitch" else 0.0
                elif stretch.kind == "again":
                    inches["over lines"] += strand.length
        return inches

    @property
    def holds(self) -> bool:
        """Whether every gap found is within the batting's limit, and no gap can exceed it by more than 1/64 in."""
        limit = self.wishes.gap_limit
        return self.gap.width <= limit + SMALL and self.gap_bound <= limit + NEARLY

    @property
    def evenness(self) -> float:
        """Density of the thinnest slot divided by that of the densest: 1 if all are stitched alike."""
        each = [inches / area for area, inches in self.density.values()]
        return min(each) / max(each) if max(each) > 0 else 0.0
