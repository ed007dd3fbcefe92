"""Building: whole layouts strip by strip, each time the strip with the least waste, with varied values of pieces."""

from collections.abc import Sequence
from random import Random

from kit.solvers.packing.filling import Filler, Known
from kit.solvers.packing.search_state import LayoutSearch
from kit.solvers.packing.strip_packing import RectangleKind, StripLayout, StripPattern, pack_by_kind

IDLE = 4
"""Starts without a gain before building stops."""


def build_layouts(search: LayoutSearch) -> None:
    """Build layouts strip by strip, with the values of pieces varied from start to start."""
    random = Random(len(search.kinds))  # noqa: S311  variety, not secrets
    areas = [float(kind.area) for kind in search.kinds]
    idle = 0
    for start in range(max(4, search.patience.starts // len(areas))):
        before = search.length
        power = 1.0 + 0.02 * (start % 4)
        values = [area**power * (1.0 if start < 4 else random.uniform(0.9, 1.12)) for area in areas]
        search.offer(_build_one(search, values, None if start % 2 else random))
        idle = idle + 1 if search.length == before else 0
        if search.done or idle > IDLE:
            return


def _build_one(search: LayoutSearch, values: Sequence[float], random: Random | None) -> StripLayout:
    """Build one layout: each time the densest strip, from some heights or (without random) with the largest piece."""
    kinds, width, most = search.kinds, search.width, search.highest
    left = [kind.count for kind in kinds]
    known: dict[int | None, Known] = {}
    layout: StripLayout = []
    while any(left):
        best: tuple[float, StripPattern] | None = None
        for height, lead in _list_heights(search, left, most, random):
            pattern, filled = _fill_strip(search, values, left, (height, lead), known.setdefault(lead, {}))
            if pattern and (best is None or filled > best[0] + 1e-9):
                best = filled, pattern
        if best is None:
            return [*layout, *pack_by_kind([_with(kind, n) for kind, n in zip(kinds, left, strict=True)], width)]
        uses = best[1].uses()
        times = min(left[i] // n for i, n in uses.items())
        layout.append((best[1], times))
        search.keep(best[1])
        for i, n in uses.items():
            left[i] -= n * times
    return layout


def _fill_strip(
    search: LayoutSearch, values: Sequence[float], left: Sequence[int], strip: tuple[int, int | None], known: Known
) -> tuple[StripPattern | None, float]:
    """Fill one strip, with the leading kind in it if there is one; return the strip and its filled part."""
    height, lead = strip
    worth = [value * 1.3 if i == lead else value for i, value in enumerate(values)]
    placed = Filler(search.kinds, worth, left, known=known).fill_row(search.width, height)
    if not placed or (lead is not None and all(place.kind != lead for place in placed)):
        return None, 0.0
    pattern = StripPattern(max(place.y + place.height for place in placed), tuple(placed))
    area = sum(place.number * search.kinds[place.kind].area for place in placed)
    filled = area / (search.width * pattern.height)
    if filled > 0.8:
        search.keep(pattern)
    return pattern, filled


def _with(kind: RectangleKind, count: int) -> RectangleKind:
    return RectangleKind(kind.width, kind.height, count, kind.turn, kind.run)


def _list_heights(
    search: LayoutSearch, left: Sequence[int], most: int, random: Random | None
) -> list[tuple[int, int | None]]:
    """Return the heights of strip to try, each with its required kind, if any."""
    kinds, width = search.kinds, search.width
    open_kinds = [i for i, n in enumerate(left) if n > 0]
    if random is None:
        lead = max(open_kinds, key=lambda i: (min(kinds[i].width, kinds[i].height), kinds[i].area, -i))
        heights = {h for w, h in list_faces(kinds[lead]) if w <= width}
        return [(height, lead) for height in sorted(heights)]
    heights = {h for i in open_kinds for w, h in list_faces(kinds[i]) if w <= width}
    return [(height, None) for height in choose_heights(heights, most, 5 if search.many else 10, random)]


def choose_heights(heights: set[int], most: int, number: int, random: Random) -> list[int]:
    """Return the heights and some multiples of them for several rows or columns, the highest first."""
    ranked = sorted(heights, reverse=True)
    ranked = ranked if len(ranked) <= number else sorted(random.sample(ranked, number), reverse=True)
    multiples = sorted({k * h for h in heights for k in range(2, most // h + 1)} - heights)
    more = multiples if len(multiples) <= number else random.sample(multiples, number)
    return sorted({*ranked, *more}, reverse=True)


def list_faces(kind: RectangleKind) -> list[tuple[int, int]]:
    """Return the possible (width, height) of a kind."""
    return [(kind.width, kind.height)] + ([(kind.height, kind.width)] if kind.turn else [])
