"""Papers of a foundation plan, full size, on pages within the common area of A4 and Letter.

Millimetres, y downwards.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import atan2, cos, pi, sin
from typing import Literal, TypeAlias

import shapely

from kit.errors import KitError
from kit.geometry.blunted import grow_blunted
from kit.geometry.closing import find_inside
from kit.geometry.outlines import Outline, Point, measure_box
from kit.lengths import MM
from kit.model.foundations import FoundationPlan, PaperSection
from kit.output.pictures.page_tiles import AREA, PageShelves, TestSquare, list_tiles, place_squares

PaperForm: TypeAlias = Literal["paper", "freezer paper", "templates"]
FORMS: tuple[PaperForm, ...] = ("paper", "freezer paper", "templates")
"""Papers that are sewn through, papers that are ironed on and folded, or every piece by itself."""
NEAR = 1e-3
LABEL = 7.0
"""Room for the name under each paper."""


@dataclass(frozen=True, slots=True)
class PaperNumber:
    """The number of a piece, with the letter of its cloth, and where it stands."""

    at: Point
    words: str
    patch: str


@dataclass(frozen=True, slots=True)
class FoundationPaper:
    """One section drawn on paper.

    Attributes
    ----------
    section
        Its name.
    cut, seam
        The dotted line to trim to, and the finished outline.
    lines
        The lines to sew along, in order of sewing; the n-th one belongs to piece n + 1.
    numbers
        Where the pieces lie.
    dots
        Points to match when sections are joined.
    patches
        Outlines of the patches, for a light tint.
    label
        Where its name stands.
    """

    section: str
    cut: Outline
    seam: Outline
    lines: tuple[tuple[Point, Point], ...]
    numbers: tuple[PaperNumber, ...]
    dots: tuple[Point, ...]
    patches: tuple[Outline, ...]
    label: Point


@dataclass(frozen=True, slots=True)
class FoundationPage:
    """A page of papers; a paper larger than a page comes in parts to be taped at the crosses."""

    number: int
    papers: tuple[FoundationPaper, ...]
    squares: tuple[TestSquare, ...]
    part: int = 1
    parts: int = 1
    across: int = 1
    crosses: tuple[Point, ...] = ()


def lay_out_papers(
    plan: FoundationPlan, *, scale: float = 1.0, mirrored: bool = True, form: PaperForm = "paper"
) -> tuple[FoundationPage, ...]:
    """Lay the papers of a plan on pages, side by side while there is room.

    A paper that is too large as it lies in the block is turned until it fits; only one that fits at no turn comes in
    parts.

    Parameters
    ----------
    plan
        From `foundation_plan`.
    scale
        The block's size: 1 as designed, 0.5 half of it. The allowance stays as it is.
    mirrored
        As seen from the back, for sewing on the printed side; False for those who trace the lines to the other side.
    form
        "paper" or "freezer paper": whole sections; "templates": every piece by itself.

    Raises
    ------
    KitError
        A scale under a tenth or over ten, or an unknown form.
    """
    if not 0.1 <= scale <= 10:
        raise KitError(f"The scale is {scale:g}", needed="between 0.1 and 10", do="use 1 for the size as designed")
    if form not in FORMS:
        raise KitError(f"There are no foundations as `{form!s:.30}`", needed=", ".join(FORMS), do="name one of these")
    pages: list[FoundationPage] = []
    shelf: list[FoundationPaper] = []
    shelves = PageShelves()
    for section in plan.sections if form != "templates" else _part(plan):
        paper, open_page = _turn_to_fit(_draw(plan, section, scale, mirrored=mirrored)), shelves.page
        wide, high = _measure_paper(paper)
        at = shelves.place(wide, high)
        if at is None:
            pages += _tile(paper)
            continue
        if shelves.page > open_page:
            pages.append(FoundationPage(0, tuple(shelf), place_squares()))
            shelf = []
        shelf.append(_move(paper, *at))
    if shelf:
        pages.append(FoundationPage(0, tuple(shelf), place_squares()))
    return tuple(replace(page, number=n) for n, page in enumerate(pages, start=1))


def _part(plan: FoundationPlan) -> Iterator[PaperSection]:
    """Yield every piece as a paper of its own, named by its paper and number."""
    outlines = dict(plan.target)
    for section in plan.sections:
        for piece in section.pieces:
            yield PaperSection(f"{section.name}: {piece.number}", (replace(piece, line=None),), outlines[piece.patch])


def _turn_to_fit(paper: FoundationPaper) -> FoundationPaper:
    """Return a paper that is too large for a page turned by the least angle at which it fits; else as it is."""
    wide, high = _measure_paper(paper)
    if wide <= AREA[0] and high <= AREA[1]:
        return paper
    edges = zip(paper.cut, (*paper.cut[1:], paper.cut[0]), strict=True)
    along = [-atan2(y1 - y0, x1 - x0) for (x0, y0), (x1, y1) in edges]
    tried = {round((way + k * pi / 2 + pi) % (2 * pi) - pi, 9) for way in along for k in range(4)}
    tried |= {k * pi / 36 for k in range(-18, 19)}
    for angle in sorted(tried, key=lambda way: (abs(way), way)):
        turned = _turn(paper, angle)
        wide, high = _measure_paper(turned)
        if wide <= AREA[0] and high <= AREA[1]:
            return turned
    return paper


def _turn(paper: FoundationPaper, angle: float) -> FoundationPaper:
    """Return a paper turned, with its upper left corner at (0, 0) again; words stay upright."""
    c, s = cos(angle), sin(angle)

    def turn(points: Sequence[Point]) -> Outline:
        return tuple((x * c - y * s, x * s + y * c) for x, y in points)

    left, top, _, low = measure_box(turn(paper.cut))
    return replace(_move(_map(paper, turn), -left, -top), label=(0.0, low - top + 1.0))


def _draw(plan: FoundationPlan, section: PaperSection, scale: float, *, mirrored: bool) -> FoundationPaper:
    """Return a section with its upper left corner at (0, 0)."""
    outlines, letters = dict(plan.target), plan.roles
    cut = grow_blunted([(x * scale, y * scale) for x, y in section.outline], plan.allowance)
    left, bottom, right, top = measure_box(cut)

    def put(points: Sequence[Point], by: float = scale) -> Outline:
        if mirrored:
            return tuple(((right - x * by) / MM, (top - y * by) / MM) for x, y in points)
        return tuple(((x * by - left) / MM, (top - y * by) / MM) for x, y in points)

    numbers = tuple(
        PaperNumber(put([find_inside(outlines[piece.patch])])[0], f"{piece.number} {letters[piece.slot]}", piece.patch)
        for piece in section.pieces
    )
    lines = [put(piece.line) for piece in section.pieces if piece.line]
    return FoundationPaper(
        section=section.name,
        cut=put(cut, 1.0),
        seam=put(section.outline),
        lines=tuple((a, b) for a, b in lines),
        numbers=numbers,
        dots=put(list(_list_dots(plan, section))) if len(section.name.split(": ")) == 1 else put(section.outline),
        patches=tuple(put(outlines[piece.patch]) for piece in section.pieces),
        label=(0.0, (top - bottom) / MM + 1.0),
    )


def _list_dots(plan: FoundationPlan, section: PaperSection) -> Iterator[Point]:
    """Yield its corners, and those of any patch along its edge: they meet when sections are joined."""
    edge = shapely.LinearRing(section.outline)
    block = shapely.LinearRing(plan.block)
    seen: set[tuple[float, float]] = set()
    for point in (p for _, outline in plan.target for p in outline):
        here = round(point[0], 3), round(point[1], 3)
        if here in seen:
            continue
        seen.add(here)
        at = shapely.Point(point)
        corner = any(at.distance(shapely.Point(p)) < NEAR for p in section.outline)
        if corner or (edge.distance(at) < NEAR and block.distance(at) > NEAR):
            yield point


def _move(paper: FoundationPaper, dx: float, dy: float) -> FoundationPaper:
    return _map(paper, lambda points: tuple((x + dx, y + dy) for x, y in points))


def _map(paper: FoundationPaper, move: Callable[[Sequence[Point]], Outline]) -> FoundationPaper:
    return replace(
        paper,
        cut=move(paper.cut),
        seam=move(paper.seam),
        lines=tuple((a, b) for a, b in map(move, paper.lines)),
        numbers=tuple(replace(number, at=move([number.at])[0]) for number in paper.numbers),
        dots=move(paper.dots),
        patches=tuple(map(move, paper.patches)),
        label=move([paper.label])[0],
    )


def _measure_paper(paper: FoundationPaper) -> tuple[float, float]:
    """Return the room that a paper takes with its name below it."""
    left, bottom, right, top = measure_box(paper.cut)
    return right - left, top - bottom + LABEL


def _tile(paper: FoundationPaper) -> list[FoundationPage]:
    """Return the pages of a large paper, row by row."""
    tiles = list(list_tiles(*_measure_paper(paper)))
    return [
        FoundationPage(
            0, (_move(paper, *tile.move),), place_squares(), tile.number, len(tiles), tile.across, tile.crosses
        )
        for tile in tiles
    ]
