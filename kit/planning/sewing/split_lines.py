"""The search for the lines along which patches are split, so that every seam of a part runs straight through."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import hypot
from typing import TypeAlias

import shapely
from shapely.ops import split as split_polygon

from kit.errors import NoPlanError, PatchworkError
from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_edges, tidy_outline
from kit.lengths import write_refused
from kit.planning.sewing.least_cost import BudgetSpentError
from kit.planning.sewing.seams import build_seams, find_straight_seams
from kit.planning.sewing.taking_apart import TakingApart

BUDGET = 150
"""The most states of one part in the search; after it a greedy splitting is taken."""

LARGEST = 60
"""The most patches of a part for a search line by line; larger parts are split along all seams of one direction."""
TRIED = 3
"""The most directions of a large part that are followed to the end, those that split the fewest patches first."""


Known: TypeAlias = dict[tuple[object, ...], tuple[tuple[int, Outline], ...]]
"""Solutions of parts by their outlines, for moved copies of them."""


@dataclass(frozen=True, slots=True)
class Fragment:
    """A cell, or a fragment of it beside a line."""

    cell: int
    outline: Outline


_Key: TypeAlias = tuple[Fragment, ...]


@dataclass(frozen=True, slots=True)
class _Line:
    """A seam extended to the edge of its part: the crossed fragments, and their halves."""

    cost: int
    crossed: tuple[int, ...]
    halves: tuple[tuple[Outline, ...], ...]


class Splitter:
    """Searches for the cheapest lines."""

    def __init__(
        self, inside: Sequence[tuple[shapely.Polygon, ...]], shortest: float, known: Known | None = None
    ) -> None:
        self.inside, self.shortest = inside, shortest
        self.left = BUDGET
        self._known: Known = {} if known is None or any(len(patches) > 1 for patches in inside) else known
        self._lines: dict[_Key, list[_Line]] = {}
        self._beyond: dict[_Key, int] = {}
        self._after: dict[tuple[_Key, int], tuple[list[Fragment], list[list[Fragment]]]] = {}

    def split_all(self, fragments: Sequence[Fragment]) -> list[Fragment]:
        """Return the fragments of the whole top with every seam straight through."""
        final: list[Fragment] = []
        loose, parts = _take_apart(fragments)
        final += loose
        for part in parts:
            final += self._solve(part)
        return final

    def _solve(self, part: Sequence[Fragment]) -> list[Fragment]:
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
        return [Fragment(order[i].cell, tuple((x + x0, y + y0) for x, y in outline)) for i, outline in self._known[key]]

    def _deepen(self, part: Sequence[Fragment]) -> list[Fragment]:
        """Try rising limits; if the budget is spent, take the first splitting of a greedy search."""
        if len(part) > LARGEST:
            return self._split_along(part)
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
        raise self._find_none(part)

    def _find_none(self, part: Sequence[Fragment]) -> NoPlanError:
        return NoPlanError(
            f"No splitting of {len(part)} patches was found that leaves every edge at least"
            f" {write_refused(self.shortest)} long",
            needed="patches large enough to be split",
            do="keep the partial and set-in seams, or enlarge the design",
        )

    def _split_along(self, part: Sequence[Fragment]) -> list[Fragment]:
        """Split a large part along all its seams of one direction, and solve what is left between them."""
        ways = sorted(self._list_directions(part), key=lambda way: (way[0], way[1]))
        best: list[Fragment] | None = None
        for _, _, fragments in ways[:TRIED]:
            if best is not None and len(fragments) >= len(best):
                break
            loose, parts = _take_apart(fragments)
            if any(len(found) >= len(part) for found in parts):
                continue
            try:
                final = [*loose, *(fragment for found in parts for fragment in self._solve(found))]
            except NoPlanError:
                continue
            if best is None or len(final) < len(best):
                best = final
        if best is None:
            raise self._find_none(part)
        return best

    def _list_directions(self, part: Sequence[Fragment]) -> Iterator[tuple[int, float, list[Fragment]]]:
        """Yield for each direction of seams the number of fragments that its lines add, and all fragments."""
        mesh = build_mesh([fragment.outline for fragment in part])
        seams = build_seams(mesh, range(len(part)), [()] * len(part))
        by_slope: dict[float, dict[float, tuple[Point, Point]]] = {}
        for seam in find_straight_seams(seams):
            slope, place = seams.slopes[seam.pieces[0]], seams.places[seam.pieces[0]]
            ends = seams.nodes[seam.nodes[0]], seams.nodes[seam.nodes[-1]]
            by_slope.setdefault(round(slope, 1), {}).setdefault(round(place, 2), ends)
        for slope, lines in sorted(by_slope.items()):
            fragments = self._cut_all(part, list(lines.values()))
            if fragments is not None:
                yield len(fragments) - len(part), slope, fragments

    def _cut_all(self, part: Sequence[Fragment], lines: Sequence[tuple[Point, Point]]) -> list[Fragment] | None:
        """Return fragments cut by every line across the whole part; None if a piece would be too small to sew."""
        left = list(part)
        for (ax, ay), (bx, by) in lines:
            length = hypot(bx - ax, by - ay)
            dx, dy = (bx - ax) / length, (by - ay) / length
            cut: list[Fragment] = []
            for fragment in left:
                sides = [(x - ax) * dy - (y - ay) * dx for x, y in fragment.outline]
                if min(sides) > -10 * TOLERANCE or max(sides) < 10 * TOLERANCE:
                    cut.append(fragment)
                    continue
                long = shapely.LineString([(ax - dx * 1e4, ay - dy * 1e4), (ax + dx * 1e4, ay + dy * 1e4)])
                halves = self._halve(shapely.Polygon(fragment.outline), long, fragment.cell)
                if halves is None:
                    return None
                cut += [Fragment(fragment.cell, half) for half in halves]
            left = cut
        return left

    def _halve(self, polygon: shapely.Polygon, line: shapely.LineString, cell: int) -> tuple[Outline, ...] | None:
        """Return the pieces of a polygon on both sides of a line; None if one is too small to sew."""
        if len(self.inside[cell]) > 1:
            crossed = [part for part in self.inside[cell] if part.intersection(line).length > 10 * TOLERANCE]
            if any(self._cut(part, line) is None for part in crossed):
                return None
        return self._cut(polygon, line)

    def _cut(self, polygon: shapely.Polygon, line: shapely.LineString) -> tuple[Outline, ...] | None:
        try:
            found = tuple(tidy_outline(piece.exterior.coords) for piece in split_polygon(polygon, line).geoms)
        except PatchworkError:
            return None
        if len(found) < 2 or min(min(measure_edges(outline)) for outline in found) < self.shortest - TOLERANCE:
            return None
        return found

    def _try(self, part: Sequence[Fragment], limit: int, *, first: bool = False) -> tuple[int, list[Fragment]] | None:
        """Return a splitting of at most `limit` patches: the cheapest, or with `first` the first one found."""
        best: tuple[int, list[Fragment]] | None = None
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

    def _follow(self, part: _Key, k: int, limit: int, *, first: bool) -> tuple[int, list[Fragment]] | None:
        """Split a part along its k-th line and solve the rest."""
        line = self._lines[part][k]
        if (part, k) not in self._after:
            rest = [fragment for i, fragment in enumerate(part) if i not in line.crossed]
            for i, halves in zip(line.crossed, line.halves, strict=True):
                rest += [Fragment(part[i].cell, half) for half in halves]
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

    def _list_lines(self, part: Sequence[Fragment]) -> Iterator[_Line]:
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
        self, part: Sequence[Fragment], polygons: Sequence[shapely.Polygon], a: Point, b: Point
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
            found = self._halve(polygons[i], long, part[i].cell)
            if found is None:
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


def _take_apart(fragments: Sequence[Fragment]) -> tuple[list[Fragment], list[list[Fragment]]]:
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


def list_parts_of(shape: shapely.Geometry) -> Iterator[Outline]:
    """Yield the outlines of the polygons of a shape that are more than a sliver."""
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon" and part.area > TOLERANCE:
            yield tidy_outline(part.exterior.coords)
