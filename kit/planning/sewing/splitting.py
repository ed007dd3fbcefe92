"""The same top without partial and set-in seams: some patches split, so that every seam runs straight through."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot
from typing import TypeAlias

import shapely
from shapely.ops import split as split_polygon

from kit.errors import NoPlanError, PatchworkError
from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_edges, tidy_outline
from kit.model.patchwork import Patchwork
from kit.model.sewing import Alternative, SewingPlan
from kit.planning.sewing.least_cost import BudgetSpentError
from kit.planning.sewing.seams import build_seams, find_straight_seams
from kit.planning.sewing.sewing_cells import TOP, gather_cells
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.planning.sewing.taking_apart import TakingApart

BUDGET = 150
"""The most states of one part in the search; after it a greedy splitting is taken."""

LARGEST = 60
"""The most patches to split in one part without a line right through."""


def split_patches(patchwork: Patchwork, plan: SewingPlan | None = None) -> Alternative | None:
    """Find the cheapest way to split patches so that no partial and no set-in seam is needed.

    Split the top along lines right through. In a part without such a line, extend one of its seams straight on
    through the patches at its ends as far as the part's edge; the crossed patches are split. Continue with both
    halves. Choose the lines that split the fewest patches.

    Parameters
    ----------
    patchwork
        The design.
    plan
        Its sewing plan; made when None.

    Returns
    -------
    Alternative or None
        None if no splitting is needed. `seams_added` counts lines of stitching: one less than pieces with only straight
        seams; a set-in seam counts one more for each leg, so the number may be negative.

    Raises
    ------
    NoPlanError
        Every splitting tried leaves an edge under two allowances, or more than `LARGEST` patches are connected without
        a line right through.

    Notes
    -----
    Exact, among extensions of the design's own seams, for parts of few patches (branch and bound with rising limits);
    if the budget of a part is spent, the cheapest splitting found. Moved copies of a part are solved once.
    """
    found = plan or sewing_plan(patchwork)
    if not found.partial_seams and not found.set_in_seams:
        return None
    tree = gather_cells(patchwork)
    cells = tree.look_inside(TOP)
    outlines = [tree.trims[c].outline if c in tree.trims else patchwork.patches[c].outline for c in cells]
    inside = [tuple(shapely.Polygon(patchwork.patches[i].outline) for i in members) for members in cells.values()]
    fragments = [_Fragment(k, outline) for k, outline in enumerate(outlines)]
    final = _Splitter(inside, 2 * patchwork.allowance).split_all(fragments)
    splits = []
    for k, members in enumerate(cells.values()):
        mine = [fragment.outline for fragment in final if fragment.cell == k]
        if len(mine) > 1:
            splits += _divide(patchwork, members, mine)
    added = sum(len(parts) - 1 for _, parts in splits)
    return Alternative(tuple(sorted(splits)), added, added - found.set_in_seams)


def split_as_told(patchwork: Patchwork, alternative: Alternative) -> Patchwork:
    """Return the patchwork with the patches split by an alternative; the parts are called "...-a", "...-b"."""
    parts = dict(alternative.splits)
    names: dict[str, list[str]] = {}
    patches = []
    for patch in patchwork.patches:
        if patch.id not in parts:
            patches.append(patch)
            continue
        names[patch.id] = [f"{patch.id}-{chr(97 + k)}" for k in range(len(parts[patch.id]))]
        patches += [
            replace(patch, id=name, outline=outline, sewn=None)
            for name, outline in zip(names[patch.id], parts[patch.id], strict=True)
        ]
    frames = tuple(frame.rename(names) for frame in patchwork.frames)
    return replace(patchwork, patches=tuple(patches), frames=frames)


def _divide(
    patchwork: Patchwork, members: Sequence[int], parts: Sequence[Outline]
) -> list[tuple[str, tuple[Outline, ...]]]:
    """Return the split outlines of the patches of a cell."""
    found = []
    for i in members:
        patch = patchwork.patches[i]
        if len(members) == 1:
            found.append((patch.id, tuple(parts)))
            continue
        whole = shapely.Polygon(patch.outline)
        pieces = [piece for part in parts for piece in _list_polygons(whole.intersection(shapely.Polygon(part)))]
        if len(pieces) > 1:
            found.append((patch.id, tuple(pieces)))
    return found


def _list_polygons(shape: shapely.Geometry) -> Iterator[Outline]:
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon" and part.area > TOLERANCE:
            yield tidy_outline(part.exterior.coords)


@dataclass(frozen=True, slots=True)
class _Fragment:
    """A cell, or a fragment of it beside a line."""

    cell: int
    outline: Outline


_Key: TypeAlias = tuple[_Fragment, ...]


@dataclass(frozen=True, slots=True)
class _Line:
    """A seam extended to the edge of its part: the crossed fragments, and their halves."""

    cost: int
    crossed: tuple[int, ...]
    halves: tuple[tuple[Outline, ...], ...]


class _Splitter:
    """Searches for the cheapest lines."""

    def __init__(self, inside: Sequence[tuple[shapely.Polygon, ...]], shortest: float) -> None:
        self.inside, self.shortest = inside, shortest
        self.left = BUDGET
        self._known: dict[tuple[object, ...], tuple[tuple[int, Outline], ...]] = {}
        self._lines: dict[_Key, list[_Line]] = {}
        self._beyond: dict[_Key, int] = {}
        self._after: dict[tuple[_Key, int], tuple[list[_Fragment], list[list[_Fragment]]]] = {}

    def split_all(self, fragments: Sequence[_Fragment]) -> list[_Fragment]:
        """Return the fragments of the whole top with every seam straight through."""
        final: list[_Fragment] = []
        loose, parts = _take_apart(fragments)
        final += loose
        for part in parts:
            final += self._solve(part)
        return final

    def _solve(self, part: Sequence[_Fragment]) -> list[_Fragment]:
        """Return the fragments of one part, solved once for moved copies."""
        order = sorted(part, key=lambda fragment: fragment.outline[0])
        x0, y0 = order[0].outline[0]
        key = tuple(
            tuple((round(x - x0, 4) + 0.0, round(y - y0, 4) + 0.0) for x, y in fragment.outline) for fragment in order
        )
        if key not in self._known:
            self.left = BUDGET
            best = self._deepen(order)
            place = {fragment.cell: i for i, fragment in enumerate(order)}
            self._known[key] = tuple((place[f.cell], tuple((x - x0, y - y0) for x, y in f.outline)) for f in best)
        return [
            _Fragment(order[i].cell, tuple((x + x0, y + y0) for x, y in outline)) for i, outline in self._known[key]
        ]

    def _deepen(self, part: Sequence[_Fragment]) -> list[_Fragment]:
        """Try rising limits; if the budget is spent, take the first splitting of a greedy search."""
        if len(part) > LARGEST:
            raise NoPlanError(
                f"{len(part)} patches hang together without a line right through",
                needed=f"at most {LARGEST} for a search of splittings",
                do="keep the partial and set-in seams",
            )
        limit = 1
        try:
            while limit <= len(part) * len(part):
                found = self._try(part, limit)
                if found is not None:
                    return found[1]
                limit += 1
        except BudgetSpentError:
            self.left = 10 * BUDGET
            greedy = self._try(part, len(part) * len(part), first=True)
            if greedy is not None:
                return greedy[1]
        raise NoPlanError(
            f"No splitting of {len(part)} patches was found that leaves every edge at least {self.shortest:g} in long",
            needed="patches large enough to be split",
            do="keep the partial and set-in seams, or enlarge the design",
        )

    def _try(self, part: Sequence[_Fragment], limit: int, *, first: bool = False) -> tuple[int, list[_Fragment]] | None:
        """Return a splitting of at most `limit` patches: the cheapest, or with `first` the first one found."""
        best: tuple[int, list[_Fragment]] | None = None
        key = tuple(part)
        if limit <= self._beyond.get(key, 0):
            return None
        for k, line in enumerate(self._get_lines(key)):
            if line.cost > limit:
                break
            found = self._follow(key, k, limit, first=first)
            if found is not None:
                best, limit = found, found[0] - 1
                if first:
                    break
        if best is None:
            self._beyond[key] = max(limit, self._beyond.get(key, 0))
        return best

    def _get_lines(self, part: _Key) -> list[_Line]:
        """Return the lines of a part, the cheapest first, computed once."""
        if part not in self._lines:
            self.left -= 1
            if self.left < 0:
                raise BudgetSpentError
            self._lines[part] = sorted(self._list_lines(part), key=lambda line: (line.cost, line.crossed))
        return self._lines[part]

    def _follow(self, part: _Key, k: int, limit: int, *, first: bool) -> tuple[int, list[_Fragment]] | None:
        """Split a part along its k-th line and solve the rest."""
        line = self._lines[part][k]
        if (part, k) not in self._after:
            rest = [fragment for i, fragment in enumerate(part) if i not in line.crossed]
            for i, halves in zip(line.crossed, line.halves, strict=True):
                rest += [_Fragment(part[i].cell, half) for half in halves]
            self._after[part, k] = _take_apart(rest)
        loose, parts = self._after[part, k]
        total, final = line.cost, list(loose)
        for waiting, found in zip(range(len(parts) - 1, -1, -1), sorted(parts, key=len), strict=True):
            solved = self._try(found, limit - total - waiting, first=first)
            if solved is None:
                return None
            total += solved[0]
            final += solved[1]
        return total, final

    def _list_lines(self, part: Sequence[_Fragment]) -> Iterator[_Line]:
        """Yield the part's seams, each extended to the part's edge."""
        mesh = build_mesh([fragment.outline for fragment in part])
        seams = build_seams(mesh, range(len(part)), [()] * len(part))
        polygons = [shapely.Polygon(fragment.outline) for fragment in part]
        for seam in find_straight_seams(seams):
            a, b = seams.nodes[seam.nodes[0]], seams.nodes[seam.nodes[-1]]
            line = self._extend(part, polygons, a, b)
            if line is not None and line.cost:
                yield line

    def _extend(
        self, part: Sequence[_Fragment], polygons: Sequence[shapely.Polygon], a: Point, b: Point
    ) -> _Line | None:
        """Extend the seam from a to b both ways; None if a piece would be too small to sew."""
        crossed: dict[int, None] = {}
        cost = 0
        for start, away in ((b, a), (a, b)):
            for i, stretch in _cast(polygons, start, away):
                crossed[i] = None
                inside = self.inside[part[i].cell]
                cost += sum(stretch.intersection(polygon).length > TOLERANCE * 10 for polygon in inside)
        halves = []
        length = hypot(b[0] - a[0], b[1] - a[1])
        dx, dy = (b[0] - a[0]) / length * 1e4, (b[1] - a[1]) / length * 1e4
        long = shapely.LineString([(a[0] - dx, a[1] - dy), (b[0] + dx, b[1] + dy)])
        for i in crossed:
            pieces = split_polygon(polygons[i], long)
            try:
                found = tuple(tidy_outline(piece.exterior.coords) for piece in pieces.geoms)
            except PatchworkError:
                return None
            if len(found) < 2 or min(min(measure_edges(outline)) for outline in found) < self.shortest - TOLERANCE:
                return None
            halves.append(found)
        return _Line(cost, tuple(crossed), tuple(halves))


def _cast(polygons: Sequence[shapely.Polygon], start: Point, away: Point) -> list[tuple[int, shapely.LineString]]:
    """Return the polygons crossed by a line from a point on, away from another, until it leaves the part."""
    length = hypot(start[0] - away[0], start[1] - away[1])
    dx, dy = (start[0] - away[0]) / length, (start[1] - away[1]) / length
    ray = shapely.LineString([start, (start[0] + dx * 1e4, start[1] + dy * 1e4)])
    stretches: list[tuple[float, float, int, shapely.LineString]] = []
    for i, polygon in enumerate(polygons):
        for found in shapely.get_parts(polygon.intersection(ray)):
            if found.length > 10 * TOLERANCE:
                ends = sorted((x - start[0]) * dx + (y - start[1]) * dy for x, y in found.coords)
                middle = found.interpolate(0.5, normalized=True)
                within = polygon.exterior.distance(middle) > TOLERANCE
                stretches.append((ends[0], ends[-1], i if within else -1, found))
    reach = 0.0
    crossed = []
    for low, high, i, found in sorted(stretches, key=lambda stretch: stretch[:3]):
        if low > reach + 10 * TOLERANCE:
            break
        if i >= 0:
            crossed.append((i, found))
        reach = max(reach, high)
    return crossed


def _take_apart(fragments: Sequence[_Fragment]) -> tuple[list[_Fragment], list[list[_Fragment]]]:
    """Return the fragments separated from all others by lines right through, and the remaining parts."""
    mesh = build_mesh([fragment.outline for fragment in fragments])
    seams = build_seams(mesh, range(len(fragments)), [()] * len(fragments))
    state = TakingApart(seams)
    state.settle(_list_outer(seams.outer), sharp_too=False)
    parts = []
    seen: set[int] = set()
    for pieces in state.find_parts(range(len(seams.ends))):
        cells = sorted({cell for piece in pieces for cell in seams.cells[piece]})
        seen |= set(cells)
        parts.append([fragments[cell] for cell in cells])
    return [fragment for i, fragment in enumerate(fragments) if i not in seen], parts


def _list_outer(outer: Iterable[bool]) -> list[int]:
    return [node for node, out in enumerate(outer) if out]
