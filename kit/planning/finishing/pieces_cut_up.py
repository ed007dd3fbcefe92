"""A backing from pieces on hand that are themselves cut: what is left of one piece goes on to fill the rest."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kit.geometry.outlines import make_rectangle
from kit.lengths import SLACK
from kit.model.finishing_parts import Panel

Size = tuple[float, float]
MOST_PANELS = 6
"""Panels of a backing: more is patchwork."""
MOST_PIECES = 7
"""The most pieces to try, the largest first."""
NARROWEST = 4.0
"""Inches: no panel is cut narrower (common practice, no source)."""
NODES = 40_000
"""Steps of the search; the best found so far is kept."""


@dataclass(frozen=True, slots=True)
class _Rest:
    """A rectangle of cloth that is still free: its piece, its place in it and its size."""

    piece: int
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class _OpenPart:
    """A part of the backing that is still open: its finished box, and which of its sides are sewn."""

    left: float
    bottom: float
    right: float
    top: float
    sewn: tuple[bool, bool, bool, bool]
    """Left, bottom, right, top."""

    def measure(self, allowance: float) -> Size:
        """Return the cut size that fills it."""
        left, bottom, right, top = self.sewn
        return (
            self.right - self.left + allowance * (left + right),
            self.top - self.bottom + allowance * (bottom + top),
        )

    def split(self, at: float, *, upright: bool) -> tuple["_OpenPart", "_OpenPart"]:
        """Return the two parts beside a seam."""
        left, bottom, right, top = self.sewn
        if upright:
            first = replace(self, right=at, sewn=(left, bottom, True, top))
            return first, replace(self, left=at, sewn=(True, bottom, right, top))
        return replace(self, top=at, sewn=(left, bottom, right, True)), replace(
            self, bottom=at, sewn=(left, True, right, top)
        )


class _Filling:
    """Fill one open place after another; fewest panels first, then least cloth cut into."""

    def __init__(self, allowance: float, *, turning: bool) -> None:
        self.allowance, self.turning = allowance, turning
        self.best: tuple[Panel, ...] = ()
        self.most = MOST_PANELS + 1
        self.nodes = 0

    def fill(self, places: tuple[_OpenPart, ...], rests: tuple[_Rest, ...], panels: tuple[Panel, ...]) -> None:
        """Fill the first open place from every piece in every way."""
        if not places:
            if len(panels) < self.most:
                self.best, self.most = panels, len(panels)
            return
        self.nodes += 1
        if len(panels) + len(places) >= self.most or self.nodes > NODES:
            return
        sizes = [place.measure(self.allowance) for place in places]
        if sum(w * h for w, h in sizes) > sum(rest.width * rest.height for rest in rests) + SLACK:
            return
        place, later = places[0], places[1:]
        seen: set[tuple[float, float, float]] = set()
        for rest in sorted(rests, key=lambda rest: (-rest.width * rest.height, rest.piece, rest.x, rest.y)):
            for turned in (False, True) if self.turning else (False,):
                room = (rest.height, rest.width) if turned else (rest.width, rest.height)
                key = (*room, rest.x + rest.y)
                if key in seen or min(room) < NARROWEST:
                    continue
                seen.add(key)
                self._lay(place, later, rest, rests, panels, room, turned=turned)

    def _lay(
        self, place: _OpenPart, later: tuple[_OpenPart, ...], rest: _Rest, rests: tuple[_Rest, ...],
        panels: tuple[Panel, ...], room: Size, *, turned: bool,
    ) -> None:  # fmt: skip
        """Lay one piece into the corner of a place, and go on with what stays open."""
        for corner, open_now in self._open(place, room):
            wide, high = corner.measure(self.allowance)
            cut = (high, wide) if turned else (wide, high)
            if cut[0] > rest.width + SLACK or cut[1] > rest.height + SLACK or min(cut) < NARROWEST - SLACK:
                continue
            box = make_rectangle(corner.left, corner.bottom, corner.right - corner.left, corner.top - corner.bottom)
            panel = Panel((wide, high), box, rest.piece, (rest.x, rest.y), turned)
            others = tuple(one for one in rests if one != rest)
            for left in _cut_out(rest, cut):
                self.fill((*open_now, *later), (*others, *left), (*panels, panel))

    def _open(self, place: _OpenPart, room: Size) -> Iterator[tuple[_OpenPart, tuple[_OpenPart, ...]]]:
        """Yield the corner that a piece fills and what then stays open: beside it, above it, or both."""
        wide, high = place.measure(self.allowance)
        across = self._find_seam(place.left, place.right, wide, room[0], sewn=place.sewn[0])
        along = self._find_seam(place.bottom, place.top, high, room[1], sewn=place.sewn[1])
        if across is None and along is None:
            yield place, ()
        elif along is None and across is not None:
            first, beside = place.split(across, upright=True)
            yield first, (beside,)
        elif across is None and along is not None:
            first, above = place.split(along, upright=False)
            yield first, (above,)
        elif across is not None and along is not None:
            column, beside = place.split(across, upright=True)
            first, above = column.split(along, upright=False)
            yield first, (above, beside)
            row, above = place.split(along, upright=False)
            first, beside = row.split(across, upright=True)
            yield first, (beside, above)

    def _find_seam(self, start: float, end: float, needed: float, room: float, *, sewn: bool) -> float | None:
        """Return where the seam lies beside a piece of that room, None if it is enough without one."""
        if room >= needed - SLACK:
            return None
        seam = start + room - self.allowance * (1 + sewn)
        return min(seam, end - (NARROWEST - self.allowance))


def _cut_out(rest: _Rest, cut: Size) -> Iterator[tuple[_Rest, ...]]:
    """Yield what is left of a rectangle when its lower left corner is cut out, the first cut going either way."""
    wide, high = rest.width - cut[0], rest.height - cut[1]
    beside = _Rest(rest.piece, rest.x + cut[0], rest.y, wide, rest.height)
    above = _Rest(rest.piece, rest.x, rest.y + cut[1], rest.width, high)
    ways = (
        (beside, _Rest(rest.piece, rest.x, rest.y + cut[1], cut[0], high)),
        (above, _Rest(rest.piece, rest.x + cut[0], rest.y, wide, cut[1])),
    )
    kept = [tuple(one for one in way if min(one.width, one.height) >= NARROWEST - SLACK) for way in ways]
    yield from dict.fromkeys(kept)


def cut_up_backing(
    needed: Size, pieces: Sequence[Size], allowance: float, *, turning: bool = True
) -> tuple[tuple[Panel, ...], Size]:
    """Piece a backing from cloth on hand that may be cut, with the fewest panels.

    A piece is laid into the lower left corner of what is open and cut to it; what is left of it serves further on.

    Parameters
    ----------
    needed
        (width, height) to cover, inches.
    pieces
        (width, length) of each piece, inches.
    allowance
        Allowance of the seams.
    turning
        Whether pieces may lie on their side.

    Returns
    -------
    tuple
        The panels, each with its piece and its place in it, empty if none was found; and (width, height), as needed.

    Notes
    -----
    Seams run straight across what they join, and each piece is cut from edge to edge. A search of bounded steps, at
    most `MOST_PANELS` panels of the `MOST_PIECES` largest pieces: what it does not find may still exist.

    Examples
    --------
    >>> panels, _ = cut_up_backing((53, 62), [(40, 72), (40, 36)], 0.5)
    >>> [panel.cut for panel in panels]
    [(40.0, 62.0), (14.0, 36.0), (14.0, 27.0)]
    """
    largest = sorted(range(len(pieces)), key=lambda i: (-pieces[i][0] * pieces[i][1], i))[:MOST_PIECES]
    rests = tuple(_Rest(i, 0.0, 0.0, float(pieces[i][0]), float(pieces[i][1])) for i in sorted(largest))
    search = _Filling(allowance, turning=turning)
    width, height = (float(side) for side in needed)
    search.fill((_OpenPart(0.0, 0.0, width, height, (False,) * 4),), rests, ())
    return search.best, (width, height) if search.best else (0.0, 0.0)
