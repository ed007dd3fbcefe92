"""Jobs: the pieces of one cloth as rectangles of whole ruler steps, and the meaning of each rectangle."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import floor, inf

from kit.geometry.outlines import TOLERANCE, Outline, measure_box
from kit.model.cutting import LaidPiece, Piece, PieceKind
from kit.planning.cutting.blanks import AngledRow, Blank, Stock, join_strips
from kit.solvers.packing.strip_packing import RectangleKind

STRAIGHT: tuple[PieceKind, ...] = ("rectangle", "trapezoid", "parallelogram")
"""Pieces that are as wide as a strip from end to end, so that lengths may be joined for them."""
Fitting = tuple[Piece, Blank | AngledRow, tuple[str, ...]]
"""A piece, its blank, and the ways of laying it."""


@dataclass
class RectangleUse:
    """The meaning of a rectangle: blanks of one piece, a run (and its mirror image), or strips to be joined."""

    piece: Piece
    blank: Blank | AngledRow
    left: int
    partner: Piece | None = None
    parts: int = 0
    orders: dict[int, list[int]] = field(default_factory=dict)
    """Of strips to be joined: steps of length -> their places in the row."""


@dataclass
class RectanglesToPack:
    """Rectangles to pack, in ruler steps, and the meaning of each kind."""

    kinds: list[RectangleKind] = field(default_factory=list)
    sources: list[list[RectangleUse]] = field(default_factory=list)
    seen: dict[tuple[object, ...], int] = field(default_factory=dict)
    shapes: dict[tuple[object, ...], tuple[LaidPiece, ...]] = field(default_factory=dict)

    def add(self, kind: RectangleKind, source: RectangleUse, key: tuple[object, ...]) -> None:
        """Add a kind, or more of a known kind."""
        if key in self.seen:
            i = self.seen[key]
            self.kinds[i] = replace(self.kinds[i], count=self.kinds[i].count + kind.count)
            self.sources[i].append(source)
            return
        self.seen[key] = len(self.kinds)
        self.kinds.append(kind)
        self.sources.append([source])

    def shape(
        self, piece: Piece, key: tuple[object, ...], lay: Callable[[], Sequence[Outline]]
    ) -> tuple[LaidPiece, ...]:
        """Return the shapes of a cut, the same for all equal cuts."""
        whole = (piece.id, *key)
        if whole not in self.shapes:
            self.shapes[whole] = tuple(LaidPiece(piece.id, outline) for outline in lay())
        return self.shapes[whole]


class Ruler:
    """Turns inches of one cloth into whole ruler steps and back; the edges of the cloth stay exact."""

    def __init__(self, stock: Stock, step: float) -> None:
        self.step, self.stock = step, stock
        self.width = floor(stock.width / step + 1e-6)
        self.height = None if stock.height is None else floor(stock.height / step + 1e-6)

    def steps(self, inches: float) -> int:
        """Return inches rounded up to steps."""
        return -floor(-inches / self.step + 1e-6)

    def across(self, inches: float, exact: float) -> int:
        """Return steps across the strip; a piece exactly as wide as a pre-cut is not cut to the ruler."""
        steps = self.steps(inches)
        if self.stock.height is not None and self.height is not None and exact <= self.stock.height + TOLERANCE:
            return min(steps, self.height)
        return steps

    def x(self, steps: int) -> float:
        """Return inches along the strip."""
        return self.stock.width if steps == self.width else steps * self.step

    def y(self, steps: int) -> float:
        """Return inches across it."""
        return self.stock.height if self.stock.height is not None and steps == self.height else steps * self.step


def find_layings(piece: Piece, blank: Blank | AngledRow, ruler: Ruler) -> tuple[str, ...]:
    """Return the ways of laying a piece: "flat" if it fits, else "joined", "lengthwise" or both, or nothing."""
    most = ruler.height if ruler.height is not None else 10**9
    high = ruler.across(blank.height, find_height(piece, blank))
    if isinstance(blank, AngledRow):
        return ("flat",) if high <= most and ruler.steps(blank.width(1)) <= ruler.width else ()
    wide = ruler.steps(blank.width)
    if wide <= ruler.width and high <= most:
        return ("flat",)
    if blank.turns and wide <= most and high <= ruler.width:
        return ("lengthwise", "joined") if piece.kind in STRAIGHT and ruler.height is None else ("lengthwise",)
    if piece.kind in STRAIGHT and wide > ruler.width and high <= most:
        return ("joined",)
    return ()


def list_rectangles(
    fitting: Sequence[Fitting],
    choice: Sequence[str],
    ruler: Ruler,
    allowance: float,
    *,
    paired: bool,
) -> RectanglesToPack:
    """Turn pieces into rectangles of whole steps."""
    packing = RectanglesToPack()
    runs = [(piece, blank) for piece, blank, _ in fitting if isinstance(blank, AngledRow)]
    for piece, run, partner, count in _pair_hands(runs, ruler.stock.width, paired=paired):
        _add_run(packing, piece, run, partner, count, ruler)
    for (piece, blank, _), way in zip(fitting, choice, strict=True):
        if isinstance(blank, AngledRow) or not piece.count:
            continue
        high = ruler.across(blank.height, find_height(piece, blank))
        if way == "joined":
            lengths = join_strips(blank.width, piece.count, ruler.width * ruler.step, allowance)
            source = RectangleUse(piece, blank, piece.count, parts=len(lengths))
            for number, length in enumerate(lengths, start=1):
                wide = min(ruler.steps(length), ruler.width)
                source.orders.setdefault(wide, []).append(number)
                packing.add(RectangleKind(wide, high, 1), source, (piece.id, "joined", wide))
            continue
        count = -(-piece.count // blank.each)
        kind = RectangleKind(ruler.steps(blank.width), high, count, blank.turns)
        packing.add(kind, RectangleUse(piece, blank, piece.count), (kind.width, kind.height, kind.turn))
    return packing


def _add_run(
    packing: RectanglesToPack, piece: Piece, run: AngledRow, partner: Piece | None, count: int, ruler: Ruler
) -> None:
    both = 2 if partner else 1
    widths: list[int] = []
    while len(widths) < count:
        exact = run.width(len(widths) + 1) * both
        if exact > ruler.stock.width + 1e-6:
            break
        widths.append(min(both * ruler.steps(exact / both), ruler.width))
    least = max(1, floor(run.pitch * both / ruler.step))
    high = ruler.across(run.height, max(y for _, y in piece.outline))
    if widths:
        kind = RectangleKind(least, high, count, run=tuple(widths))
        packing.add(
            kind, RectangleUse(piece, run, count, partner), (piece.id, partner.id if partner else None, piece.fabric)
        )


def find_height(piece: Piece, blank: Blank | AngledRow) -> float:
    """Return the exact inches of a piece across its strip; infinite for templates: they are cut to the ruler.

    So are boxes of whole repeats of a print, which are larger than the piece. A piece that stands upright, its stripes
    along it, has its long side across the strip.
    """
    if isinstance(blank, AngledRow):
        return measure_box(piece.outline)[3]
    larger = blank.height > max(piece.rounded.values()) + TOLERANCE
    if piece.kind == "template" or larger:
        return inf
    return (max if blank.height > blank.width + TOLERANCE else min)(piece.cut.values())


def _pair_hands(
    runs: Sequence[tuple[Piece, AngledRow]], wide: float, *, paired: bool
) -> Iterator[tuple[Piece, AngledRow, Piece | None, int]]:
    """Yield left pieces with their right partners for cutting together through folded cloth, and the rest separately.

    Cloth that is too narrow for a pair side by side is cut hand by hand.
    """
    left = {piece.id: piece.count for piece, _ in runs}
    if paired:
        for piece, run in runs:
            for partner in _find_partners(piece, runs) if 2 * run.width(1) <= wide + 1e-6 else ():
                both = min(left[piece.id], left[partner.id])
                if both:
                    yield piece, run, partner, both
                    left[piece.id] -= both
                    left[partner.id] -= both
    for piece, run in runs:
        if left[piece.id]:
            yield piece, run, None, left[piece.id]


def _find_partners(piece: Piece, runs: Sequence[tuple[Piece, AngledRow]]) -> Iterator[Piece]:
    """Yield the right-handed pieces that mirror a left-handed one."""

    def key(one: Piece) -> tuple[object, ...]:
        return one.kind, tuple(sorted((name, round(size, 4)) for name, size in one.cut.items()))

    if piece.hand == "left":
        yield from (other for other, _ in runs if other.hand == "right" and key(other) == key(piece))
