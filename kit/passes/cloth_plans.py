"""The plan of one cloth: pieces to rectangles, rectangles to strips, strips back to pieces."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from math import floor

from kit.geometry.outlines import TOLERANCE, Outline, measure_area
from kit.model.cutting import ClothPlan, Cut, Piece, Shape, Strip
from kit.model.fabrics import Supply
from kit.passes.blanks import (
    SQUARING_UP,
    Blank,
    Run,
    Stock,
    join_strips,
    lay_turned,
    make_blank,
    measure_stock,
    shift_hand,
)
from kit.passes.bounds import bound_length
from kit.passes.layouts import Effort, Watch, lay_out
from kit.passes.packing import Kind, Layout, Pattern, Placed, measure_layout
from kit.passes.precuts import count_bins, fill_precuts

FOLDED = -1
MOST_CHOICES = 8
"""Combinations of joined and lengthwise long pieces that are tried; with more, all joined and all lengthwise."""


@dataclass
class _Source:
    """What a rectangle stands for: blanks of one piece, a run (and its mirror image), or strips to be joined."""

    piece: Piece
    blank: Blank | Run
    left: int
    partner: Piece | None = None
    parts: int = 0


@dataclass
class _Job:
    """Rectangles to be packed, in ruler steps, and what each kind of them stands for."""

    kinds: list[Kind] = field(default_factory=list)
    sources: list[list[_Source]] = field(default_factory=list)
    seen: dict[tuple[object, ...], int] = field(default_factory=dict)
    shapes: dict[tuple[object, ...], tuple[Shape, ...]] = field(default_factory=dict)

    def add(self, kind: Kind, source: _Source, key: tuple[object, ...]) -> None:
        """Add a kind, or more of one that is there."""
        if key in self.seen:
            i = self.seen[key]
            self.kinds[i] = replace(self.kinds[i], count=self.kinds[i].count + kind.count)
            self.sources[i].append(source)
            return
        self.seen[key] = len(self.kinds)
        self.kinds.append(kind)
        self.sources.append([source])

    def shape(self, piece: Piece, key: tuple[object, ...], lay: Callable[[], Sequence[Outline]]) -> tuple[Shape, ...]:
        """Return the shapes of a cut, the same ones for every cut that is alike."""
        whole = (piece.id, *key)
        if whole not in self.shapes:
            self.shapes[whole] = tuple(Shape(piece.id, outline) for outline in lay())
        return self.shapes[whole]


class _Ruler:
    """Turns inches of one cloth into whole ruler steps and back; the edges of the cloth stay where they are."""

    def __init__(self, stock: Stock, step: float) -> None:
        self.step, self.stock = step, stock
        self.width = floor(stock.width / step + 1e-6)
        self.height = None if stock.height is None else floor(stock.height / step + 1e-6)

    def steps(self, inches: float) -> int:
        """Return inches rounded up to steps."""
        return -floor(-inches / self.step + 1e-6)

    def across(self, inches: float, exact: float) -> int:
        """Return steps across the strip; what is exactly as wide as a pre-cut needs no cutting to the ruler."""
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


@dataclass(frozen=True)
class Request:
    """What a cloth plan is asked for, apart from pieces and cloth."""

    allowance: float
    step: float
    effort: Effort = "thorough"
    watch: Watch | None = None


def plan_cloth(pieces: Sequence[Piece], supply: Supply, request: Request) -> ClothPlan:
    """Plan how the pieces of one cloth are cut.

    Make each piece's blank; set aside what fits no cloth; try long pieces joined and lengthwise, mirror pairs through
    folded cloth and hand by hand; lay each choice out and keep the one that takes least, folded where it takes no more.
    """
    ruler = _Ruler(measure_stock(supply), request.step)
    short: dict[str, int] = {}
    fitting: list[tuple[Piece, Blank | Run, tuple[str, ...]]] = []
    for piece in pieces:
        blank = make_blank(piece, supply, request.step)
        ways = _find_ways(piece, blank, ruler)
        if ways:
            fitting.append((piece, blank, ways))
        elif piece.count:
            short[piece.id] = piece.count
    found = _choose(fitting, ruler, request)
    strips = _cut_strips(found.job, found.layout, ruler)
    squaring = supply.squaring if supply.squaring is not None else SQUARING_UP * (supply.form == "yardage")
    strips, lost = _keep_within(strips, supply, ruler.stock, squaring)
    for piece_id, count in lost.items():
        short[piece_id] = short.get(piece_id, 0) + count
    yardage = supply.form == "yardage"
    used = sum(strip.height for strip in strips) if yardage else float(len(strips))
    bound = found.bound * ruler.step if yardage else float(found.bound)
    if not short:
        bound = min(bound, used)
    return ClothPlan(supply, tuple(strips), used, bound, squaring if strips else 0.0, short)


def _find_ways(piece: Piece, blank: Blank | Run, ruler: _Ruler) -> tuple[str, ...]:
    """Return how a piece can be laid: "flat" where it fits, else "joined", "lengthwise" or both, or not at all."""
    most = ruler.height if ruler.height is not None else 10**9
    across = max(y for _, y in piece.outline) if isinstance(blank, Run) else min(piece.cut.values())
    high = ruler.across(blank.height, across)
    if isinstance(blank, Run):
        return ("flat",) if high <= most and ruler.steps(blank.width(1)) <= ruler.width else ()
    wide = ruler.steps(blank.width)
    if wide <= ruler.width and high <= most:
        return ("flat",)
    if blank.turns and wide <= most and high <= ruler.width:
        return ("lengthwise", "joined") if piece.kind == "rectangle" and ruler.height is None else ("lengthwise",)
    if piece.kind == "rectangle" and wide > ruler.width and high <= most:
        return ("joined",)
    return ()


@dataclass
class _Found:
    job: _Job
    layout: Layout
    length: int
    bound: int


def _choose(
    fitting: Sequence[tuple[Piece, Blank | Run, tuple[str, ...]]], ruler: _Ruler, request: Request
) -> _Found:
    """Lay out every choice for the long pieces and the hands, the most promising first; keep the least."""
    ways = [entry[2] for entry in fitting]
    choices = list(product(*ways))
    if len(choices) > MOST_CHOICES:
        choices = list(dict.fromkeys([tuple(w[-1] for w in ways), tuple(w[0] for w in ways)]))
    hands = any(isinstance(blank, Run) and piece.hand for piece, blank, _ in fitting)
    drafts = []
    for choice in choices:
        for paired in (True, False) if hands else (False,):
            job = _make_job(fitting, choice, ruler, request.allowance, paired=paired)
            layout, bound = _lay(job, ruler, "quick", None)
            drafts.append(_Found(job, layout, _measure(layout, ruler), bound))
    drafts.sort(key=lambda draft: draft.length)
    best = drafts[0]
    if request.effort == "quick":
        return replace(best, bound=min(draft.bound for draft in drafts))
    bounds = []
    for draft in drafts:
        if draft.bound >= best.length and draft is not drafts[0]:
            bounds.append(draft.bound)
            continue
        if ruler.height is None and draft is not drafts[0]:
            bound = bound_length(draft.job.kinds, ruler.width, best.length)
            if bound >= best.length or draft.length > 1.15 * best.length:
                bounds.append(bound)
                continue
        layout, bound = _lay(draft.job, ruler, request.effort, request.watch)
        bounds.append(bound)
        if _measure(layout, ruler) < best.length or draft is best:
            best = _Found(draft.job, layout, _measure(layout, ruler), bound)
    return replace(best, bound=min(bounds))


def _lay(job: _Job, ruler: _Ruler, effort: Effort, watch: Watch | None) -> tuple[Layout, int]:
    if ruler.height is None:
        return lay_out(job.kinds, ruler.width, effort, watch)
    return fill_precuts(job.kinds, ruler.width, ruler.height, effort)


def _measure(layout: Layout, ruler: _Ruler) -> int:
    return measure_layout(layout) if ruler.height is None else count_bins(layout)


def _make_job(
    fitting: Sequence[tuple[Piece, Blank | Run, tuple[str, ...]]],
    choice: Sequence[str],
    ruler: _Ruler,
    allowance: float,
    *,
    paired: bool,
) -> _Job:
    """Turn pieces into rectangles of whole steps."""
    job = _Job()
    runs = [(piece, blank) for piece, blank, _ in fitting if isinstance(blank, Run)]
    for piece, run, partner, count in _pair_hands(runs, paired=paired):
        _add_run(job, piece, run, partner, count, ruler)
    for (piece, blank, _), way in zip(fitting, choice, strict=True):
        if isinstance(blank, Run) or not piece.count:
            continue
        high = ruler.across(blank.height, min(piece.cut.values()))
        if way == "joined":
            lengths = join_strips(piece, piece.count, ruler.width * ruler.step, allowance)
            source = _Source(piece, blank, piece.count, parts=len(lengths))
            for length in lengths:
                wide = min(ruler.steps(length), ruler.width)
                job.add(Kind(wide, high, 1), source, (piece.id, "joined", wide))
            continue
        count = -(-piece.count // blank.each)
        kind = Kind(ruler.steps(blank.width), high, count, blank.turns)
        job.add(kind, _Source(piece, blank, piece.count), (kind.width, kind.height, kind.turn))
    return job


def _add_run(job: _Job, piece: Piece, run: Run, partner: Piece | None, count: int, ruler: _Ruler) -> None:
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
        kind = Kind(least, high, count, run=tuple(widths))
        job.add(kind, _Source(piece, run, count, partner), (piece.id, partner.id if partner else None, piece.fabric))


def _pair_hands(runs: Sequence[tuple[Piece, Run]], *, paired: bool) -> Iterator[tuple[Piece, Run, Piece | None, int]]:
    """Yield left pieces with their right partners, to be cut together through folded cloth, and the rest singly."""

    def key(piece: Piece) -> tuple[object, ...]:
        return piece.kind, tuple(sorted((name, round(size, 4)) for name, size in piece.cut.items()))

    rights: dict[tuple[object, ...], list[list[Piece | int]]] = {}
    taken: dict[str, int] = {}
    if paired:
        for piece, _ in runs:
            if piece.hand == "right":
                rights.setdefault(key(piece), []).append([piece, piece.count])
        for piece, run in runs:
            if piece.hand != "left":
                continue
            left = piece.count
            for entry in rights.get(key(piece), ()):
                partner, free = entry
                if not isinstance(partner, Piece) or not isinstance(free, int):
                    continue
                both = min(left, free)
                if both and run.width(1) * 2 <= 10**6:
                    yield piece, run, partner, both
                    left -= both
                    entry[1] = free - both
                    taken[piece.id] = taken.get(piece.id, 0) + both
                    taken[partner.id] = taken.get(partner.id, 0) + both
    for piece, run in runs:
        rest = piece.count - taken.get(piece.id, 0)
        if rest:
            yield piece, run, None, rest


def _cut_strips(job: _Job, layout: Layout, ruler: _Ruler) -> list[Strip]:
    """Turn patterns into strips with pieces, the pieces of each kind one after another."""
    strips = []
    for pattern, times in layout:
        for _ in range(times):
            placed, folded = _fold(job, pattern)
            cuts: list[Cut] = []
            for place, mirror in placed:
                cuts.extend(_cut(job, place, mirror, ruler))
            cuts.sort(key=lambda cut: (cut.x, cut.y))
            high = ruler.y(pattern.height)
            long = any(place.height > ruler.width and place.height > place.width for place in pattern.placed)
            strips.append(Strip(high, ruler.stock.width, tuple(cuts), folded, long))
    if ruler.height is None:
        strips.sort(key=lambda strip: (not strip.lengthwise, -strip.height))
    return strips


def _fold(job: _Job, pattern: Pattern) -> tuple[list[tuple[Placed, int | None]], bool]:
    """Set mirror pairs at both ends of a folded strip, everything else between; tell whether it can be cut folded.

    A pair's place is given with where its mirror image lies.
    """
    pairs = [place for place in pattern.placed if _is_pair(job, place)]
    if not pairs:
        return [(place, None) for place in pattern.placed], False
    free = all(
        other in pairs or not (p.x < other.x + other.width and other.x < p.x + p.width)
        for p in pairs for other in pattern.placed
    )  # fmt: skip
    if not free or any(p.y for p in pairs):
        return [(place, place.x + place.width // 2 if place in pairs else None) for place in pattern.placed], False
    ends: dict[Placed, int] = {}
    middle = 0
    for p in pairs:
        ends[p] = middle
        middle += p.width // 2
    found: list[tuple[Placed, int | None]] = []
    for place in pattern.placed:
        if place in ends:
            found.append((place._replace(x=ends[place]), FOLDED))
        else:
            passed = sum(p.width for p in pairs if p.x <= place.x)
            found.append((place._replace(x=middle + place.x - passed), None))
    return found, True


def _is_pair(job: _Job, place: Placed) -> bool:
    return job.sources[place.kind][0].partner is not None


def _cut(job: _Job, place: Placed, mirror: int | None, ruler: _Ruler) -> Iterator[Cut]:
    """Yield the cuts of one rectangle: a blank or a run, and the mirror image of a run that is cut in pairs."""
    source = next(source for source in job.sources[place.kind] if source.left > 0 or source.parts > 0)
    x, y = ruler.x(place.x), ruler.y(place.y)
    half = place.width // 2 if source.partner else place.width
    width, height = ruler.x(place.x + half) - x, ruler.y(place.y + place.height) - y
    piece, blank = source.piece, source.blank
    if source.parts:
        source.parts -= 1
        yield Cut(piece.id, x, y, width, height, source.left if not source.parts else 0, joined=True)
        source.left = source.left if source.parts else 0
        return
    if isinstance(blank, Run):
        number = min(place.number, source.left)
        source.left -= number
        folded = mirror == FOLDED
        shapes = job.shape(piece, (blank.height, width, number), lambda: blank.outlines(number))
        yield Cut(piece.id, x, y, width, height, number, shapes, folded=folded)
        if source.partner:
            other = ruler.stock.width - x - width if folded else ruler.x(mirror or 0)
            shapes = job.shape(source.partner, (width, number), lambda: shift_hand(blank, width, number))
            yield Cut(source.partner.id, other, y, width, height, number, shapes, folded=folded)
        return
    number = min(blank.each, source.left)
    source.left -= number
    turned = blank.turns and place.width < place.height
    shapes = job.shape(
        piece,
        (turned, number),
        lambda: (lay_turned(blank.outlines, blank.height) if turned else blank.outlines)[:number],
    )
    yield Cut(piece.id, x, y, width, height, number, shapes)


def _keep_within(
    strips: list[Strip], supply: Supply, stock: Stock, squaring: float
) -> tuple[list[Strip], dict[str, int]]:
    """Take out the strips that what is on hand does not reach, those that hold least first."""
    if supply.form == "yardage":
        room = None if supply.length is None else supply.length * (1 - supply.shrinkage) - squaring
    else:
        room = None if stock.count is None else float(stock.count)
    if room is None:
        return strips, {}

    def take(strip: Strip) -> float:
        return strip.height if supply.form == "yardage" else 1.0

    def worth(strip: Strip) -> float:
        return sum(measure_area(shape.outline) for cut in strip.cuts for shape in cut.shapes) / take(strip)

    kept: set[int] = set()
    for i in sorted(range(len(strips)), key=lambda i: -worth(strips[i])):
        if take(strips[i]) <= room + TOLERANCE:
            kept.add(i)
            room -= take(strips[i])
    lost: dict[str, int] = {}
    for i, strip in enumerate(strips):
        if i not in kept:
            for cut in strip.cuts:
                if cut.count:
                    lost[cut.piece] = lost.get(cut.piece, 0) + cut.count
    broken = {cut.piece for i, strip in enumerate(strips) if i not in kept for cut in strip.cuts if cut.joined}
    result = []
    for i in sorted(kept):
        cuts = []
        for cut in strips[i].cuts:
            if cut.joined and cut.piece in broken:
                lost[cut.piece] = lost.get(cut.piece, 0) + cut.count
            else:
                cuts.append(cut)
        result.append(replace(strips[i], cuts=tuple(cuts)))
    return result, {piece: count for piece, count in lost.items() if count}
