"""Sewing order: from a patchwork to the steps that make its top."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

import numpy as np

from kit.errors import NoPlanError
from kit.geometry.mesh import Mesh, build_mesh
from kit.geometry.outlines import (
    TOLERANCE,
    Outline,
    Point,
    measure_area,
    measure_box,
    measure_directions,
    offset_outline,
    tidy_outline,
)
from kit.model.cutting import CutList, Piece
from kit.model.patchwork import Patch, Patchwork, Trim
from kit.model.sewing import Edge, SewingPlan, Step, Unit
from kit.passes.assembly import Joint, Part, find_order, split_cost
from kit.passes.cut_list import cut_list
from kit.passes.poses import Items
from kit.passes.seams import build_seams
from kit.passes.units import Maker, Workshop


def sewing_plan(patchwork: Patchwork, cuts: CutList | None = None) -> SewingPlan:
    """Plan in which order the patches go together.

    Split the top along straight lines that run right through, those first that leave blocks, rows and columns whole;
    solve what is left exactly, for the least set-in seams and then the least partial seams; sew in the reverse order.
    Parts that are alike become one unit. A part that is trimmed is planned on its own, from its patches as they are
    sewn.

    Parameters
    ----------
    patchwork
        A verified patchwork.
    cuts
        Its cut list; made when None.

    Returns
    -------
    SewingPlan
        With the number of partial and set-in seams, and the proven least of either.

    Raises
    ------
    NoPlanError
        Where one trimmed part holds another.

    Notes
    -----
    Near-linear without partial and set-in seams; what no line splits is solved by branch and bound, which is exact unless
    its budget of moves is spent: the bound is then lower than the count. Every line of sewing begins or ends at the edge
    of what is sewn so far.

    Examples
    --------
    >>> from kit.model.patchwork import patchwork_from_outlines
    >>> four = [[(x, y), (x + 2, y), (x + 2, y + 2), (x, y + 2)] for y in (2, 0) for x in (0, 2)]
    >>> plan = sewing_plan(patchwork_from_outlines(four))
    >>> [(unit.name, unit.count) for unit in plan.units], plan.partial_seams
    ([('patch pair', 2), ('top', 1)], 0)
    """
    return _Planner(patchwork, cuts or cut_list(patchwork)).plan()


@dataclass(frozen=True, eq=False)
class _Region:
    """Outlines that are joined in one frame: the finished top, or a part before it is trimmed.

    Attributes
    ----------
    mesh
        The outlines noded.
    outlines
        By face.
    patches
        Number of the patch of each face.
    labels
        For each face which edge of the sewn outline each of its edges is; edges of a trim count on from those.
    rough
        Whether outer ends need not meet, because the part is trimmed.
    """

    mesh: Mesh
    outlines: tuple[Outline, ...]
    patches: tuple[int, ...]
    labels: tuple[tuple[int, ...], ...]
    rough: bool

    @cached_property
    def nodes(self) -> list[Point]:
        """The mesh's nodes."""
        return [(float(x), float(y)) for x, y in self.mesh.nodes.tolist()]

    @cached_property
    def starts(self) -> list[int]:
        """Node at the beginning of each side."""
        return list(self.mesh.start.tolist())

    @cached_property
    def ends(self) -> list[int]:
        """Node at the end of each side."""
        return list(self.mesh.end.tolist())

    @cached_property
    def faces(self) -> list[int]:
        """Face of each side."""
        return list(self.mesh.face.tolist())

    @cached_property
    def edges(self) -> list[int]:
        """Edge of its face that each side belongs to."""
        return list(self.mesh.edge.tolist())

    @cached_property
    def twins(self) -> list[int]:
        """Twin of each side."""
        return list(self.mesh.twin.tolist())


class _Planner:
    """Makes one plan."""

    def __init__(self, patchwork: Patchwork, cuts: CutList) -> None:
        self.patchwork, self.cuts = patchwork, cuts
        self.patches = patchwork.patches
        self.number = {patch.id: i for i, patch in enumerate(self.patches)}
        self.piece: list[Piece] = [cuts.piece_of[patch.id] for patch in self.patches]
        self.turn = [0] * len(self.patches)
        for piece in cuts.pieces:
            for patch, turn in zip(piece.patches, piece.turns, strict=True):
                self.turn[self.number[patch]] = turn
        self.spin = [0] * len(self.patches)
        self.cells = gather_cells(patchwork)
        self.trim_of = {i: self.find_trim(cell) for cell, found in self.cells.items() for i in found}
        self.inner: dict[int, _Region] = {}
        self.cost_of: dict[int, tuple[int, int]] = {}

    def plan(self) -> SewingPlan:
        """Return the plan."""
        top = self._region_of_top()
        cell_of = [0] * len(self.patches)
        for cell, found in self.cells.items():
            for i in found:
                cell_of[i] = cell
        seams = build_seams(top.mesh, cell_of, [patch.group for patch in self.patches])
        order = find_order(seams, top.mesh.twin.tolist(), self.cells)
        items = _read_items(self.patches, self.piece, self.turn)
        self.items = items
        workshop = Workshop(self.patches, items, lambda cell: self.cells.get(cell, (cell,)), self._open_cell)
        units = workshop.find_units(order.root)
        steps, made = _Writer(self, top, workshop).write(units)
        partial, set_in = split_cost(order.cost)
        partial_bound, set_in_bound = split_cost(order.bound)
        for maker in workshop.makers:
            if maker.part.cell in self.cost_of:
                cost, bound = self.cost_of[maker.part.cell]
                partial += split_cost(cost)[0] * len(maker.copies)
                set_in += split_cost(cost)[1] * len(maker.copies)
                partial_bound += split_cost(bound)[0] * len(maker.copies)
                set_in_bound += split_cost(bound)[1] * len(maker.copies)
        return SewingPlan(
            steps=tuple(steps),
            units=tuple(made),
            partial_seams=partial,
            set_in_seams=set_in,
            partial_bound=partial_bound if set_in == set_in_bound else 0,
            set_in_bound=set_in_bound,
            target=tuple((patch.id, patch.outline) for patch in self.patches),
        )

    def _region_of_top(self) -> _Region:
        labels: list[tuple[int, ...]] = [()] * len(self.patches)
        for found in self.cells.values():
            for i in found:
                labels[i] = self._label(i, self.trim_of[i])
        outlines = tuple(patch.outline for patch in self.patches)
        return _Region(self.patchwork.mesh, outlines, tuple(range(len(outlines))), tuple(labels), rough=False)

    def find_trim(self, cell: int) -> Trim | None:
        """Return what a cell is trimmed to, or None."""
        n = cell - len(self.patches)
        return self.patchwork.trims[n] if n >= 0 else None

    def _label(self, i: int, trim: Trim | None) -> tuple[int, ...]:
        """Return which edge of the sewn outline each edge of a finished outline is; a trimmed edge counts on from them."""
        patch, n = self.patches[i], len(self.piece[i].outline)
        if patch.sewn is None or trim is None:
            return tuple(range(n))
        return tuple(_label_edge(patch, j, n, trim) for j in range(len(patch.outline)))

    def number_edge(self, i: int, label: int) -> Edge:
        """Return an edge as it is counted on the cut piece."""
        n = len(self.piece[i].outline)
        trim = self.trim_of[i]
        if label < n or trim is None:
            return Edge(self.patches[i].id, (label - self.turn[i]) % n)
        return Edge(self.patches[i].id, n + (label - n + self.spin[i]) % len(trim.outline))

    def lay_alike(self, copies: Sequence[Sequence[int]]) -> None:
        """Count the edges of every copy from the corners that correspond to those of the first.

        A square looks the same when it is turned by a quarter; in a copy of a unit it lies as in the first.
        """
        first = copies[0]
        places = self.items.places[list(first)]
        far = int(np.argmax(np.abs(places - places[0])))
        for copy in copies[1:]:
            here = self.items.places[list(copy)]
            angle = float(np.degrees(np.angle((here[far] - here[0]) / (places[far] - places[0]))))
            for i, k in zip(first, copy, strict=True):
                if self.items.periods[k] < 360:
                    ours, theirs = (self.patches[m].sewn or self.patches[m].outline for m in (i, k))
                    self.turn[k] = (self.turn[i] + _count_steps(ours, theirs, angle)) % len(ours)
                ours_trim, their_trim = self.trim_of[i], self.trim_of[k]
                if ours_trim and their_trim:
                    self.spin[k] = self.spin[i] - _count_steps(ours_trim.outline, their_trim.outline, angle)

    def _open_cell(self, cell: int) -> Part | None:
        """Return the tree of a trimmed cell, its cells being the numbers of its patches."""
        found = self.cells[cell]
        if len(found) == 1:
            return None
        outlines = tuple(self.patches[i].sewn or self.patches[i].outline for i in found)
        mesh = build_mesh(outlines)
        groups = [self.patches[i].group for i in found]
        seams = build_seams(mesh, found, groups)
        labels = tuple(tuple(range(len(outline))) for outline in outlines)
        self.inner[cell] = _Region(mesh, outlines, found, labels, rough=True)
        order = find_order(seams, mesh.twin.tolist(), {i: (i,) for i in found})
        self.cost_of[cell] = order.cost, order.bound
        return order.root


@dataclass(frozen=True)
class _Run:
    """Edges end to end, in the direction of sewing, and where they begin and end."""

    edges: tuple[Edge, ...]
    start: Point
    end: Point


class _Writer:
    """Writes the steps of the units."""

    def __init__(self, planner: _Planner, top: _Region, workshop: Workshop) -> None:
        self.planner, self.top, self.workshop = planner, top, workshop
        self.patches = planner.patches
        self.steps: list[Step] = []
        self.parts: dict[str, int] = {}

    def write(self, units: Sequence[Maker]) -> tuple[list[Step], list[Unit]]:
        """Return the steps in the order of working, and the units."""
        made = []
        allowance = self.planner.patchwork.allowance
        for maker in units:
            self.parts = {}
            self._sew(maker)
            self.planner.lay_alike(maker.copies)
            copies = tuple(tuple(self.patches[i].id for i in copy) for copy in maker.copies)
            size = _measure_unfinished([self.patches[i].outline for i in maker.copies[0]], allowance)
            made.append(Unit(maker.name, copies, tuple(self.parts.items()), size))
        return self.steps, made

    def _sew(self, maker: Maker) -> None:
        """Write the steps of one unit, part by part."""
        done: dict[int, tuple[str, ...]] = {}
        stack: list[tuple[Part, _Region, bool]] = [(maker.part, self._region(maker.home), False)]
        while stack:
            part, region, ready = stack.pop()
            known = self.workshop.maker_of.get(id(part))
            if known is not None and known is not maker and known.real:
                self.parts[known.name] = self.parts.get(known.name, 0) + 1
                done[id(part)] = tuple(self.patches[i].id for i in self.workshop.list_patches(part))
            elif part.inner is not None and not ready:
                stack += [(part, region, True), (part.inner, self._region(part.cell), False)]
            elif part.inner is not None:
                done[id(part)] = self._trim(maker, part.cell, done[id(part.inner)])
            elif part.halves is None:
                i = self.workshop.list_patches(part)[0]
                piece = self.planner.piece[i].id
                self.parts[piece] = self.parts.get(piece, 0) + 1
                done[id(part)] = (self.patches[i].id,)
            elif not ready:
                stack += [(part, region, True), (part.halves[1], region, False), (part.halves[0], region, False)]
            else:
                first, second = (done.pop(id(half)) for half in part.halves)
                done[id(part)] = first + second
                assert part.joint is not None  # two halves have a seam  # noqa: S101
                self._add(maker, region, part.joint, first, second)
                for joint in part.closings:
                    self._add(maker, region, joint, first + second, ())

    def _region(self, cell: int) -> _Region:
        return self.planner.inner.get(cell, self.top)

    def _add(
        self, maker: Maker, region: _Region, joint: Joint, first: tuple[str, ...], second: tuple[str, ...]
    ) -> None:
        """Write one seam."""
        ours = self._read_run(region, joint.sides, onward=True)
        theirs = self._read_run(region, [region.twins[side] for side in joint.sides], onward=False)
        run = complex(*ours.end) - complex(*ours.start)
        along = (run / abs(run)).conjugate()

        def measure(point: Point) -> float:
            return _tidy(((complex(*point) - complex(*ours.start)) * along).real)

        begin = measure(region.nodes[region.starts[joint.sides[0]]]) + joint.gaps[0]
        end = measure(region.nodes[region.ends[joint.sides[-1]]]) - joint.gaps[1]
        offset, length = measure(theirs.start), measure(ours.end)
        ragged = region.rough and max(abs(offset), abs(measure(theirs.end) - length)) > 4 * TOLERANCE
        stops = tuple(place for place, stop in zip((begin, end), joint.stops, strict=True) if stop)
        self.steps.append(
            Step(
                number=len(self.steps) + 1,
                unit=maker.name,
                kind=joint.kind,
                first=first,
                second=second,
                along_first=ours.edges,
                along_second=theirs.edges,
                offset=offset,
                sewn=(begin, end),
                ragged=ragged,
                stops=stops,
            )
        )

    def _read_run(self, region: _Region, sides: Sequence[int], *, onward: bool) -> _Run:
        """Return the edges that sides belong to; `onward` when the sides run in the direction of sewing."""
        found = list(dict.fromkeys((region.faces[side], region.edges[side]) for side in sides))
        edges = tuple(self.planner.number_edge(region.patches[face], region.labels[face][edge]) for face, edge in found)
        ends = []
        for face, edge in (found[0], found[-1]):
            outline = region.outlines[face]
            ends.append((outline[edge], outline[(edge + 1) % len(outline)]))
        return _Run(edges, ends[0][not onward], ends[1][onward])

    def _trim(self, maker: Maker, cell: int, first: tuple[str, ...]) -> tuple[str, ...]:
        """Write the trim of a part, in the frame of the cut outline of its first patch's piece."""
        planner = self.planner
        allowance = planner.patchwork.allowance
        trim = planner.patchwork.trims[cell - len(self.patches)]
        i = planner.number[first[0]]
        patch, cut, turn = self.patches[i], planner.piece[i].outline, planner.turn[i]
        there = offset_outline(patch.sewn or patch.outline, allowance)
        a, b = complex(*there[turn]), complex(*there[(turn + 1) % len(there)])
        p, q = complex(*cut[0]), complex(*cut[1])
        move = (q - p) / (b - a)
        move /= abs(move)
        corners = [p + move * (complex(x, y) - a) for x, y in offset_outline(trim.outline, allowance)]
        outline = tuple((_tidy(z.real), _tidy(z.imag)) for z in corners)
        self.steps.append(Step(len(self.steps) + 1, maker.name, "trim", first, trim=outline))
        return first


def _measure_unfinished(outlines: Sequence[Outline], allowance: float) -> tuple[float, float]:
    """Return width and height of a part with the allowance all round."""
    left, bottom, right, top = measure_box(point for outline in outlines for point in outline)
    area = sum(measure_area(outline) for outline in outlines)
    if (right - left) * (top - bottom) - area > TOLERANCE * (right - left + top - bottom):
        loops = build_mesh(outlines).trace_outside()
        if len(loops) == 1:
            left, bottom, right, top = measure_box(offset_outline(tidy_outline(loops[0]), allowance))
            return right - left, top - bottom
    return right - left + 2 * allowance, top - bottom + 2 * allowance


def _tidy(length: float) -> float:
    """Drop digits that are noise, a hundred thousandth of the tolerance and less."""
    return round(length, 10) + 0.0


def gather_cells(patchwork: Patchwork) -> dict[int, tuple[int, ...]]:
    """Return the patches of each cell: single patches by their numbers, then the parts that are trimmed."""
    trimmed: dict[tuple[str, ...], list[int]] = {trim.group: [] for trim in patchwork.trims}
    depths = sorted({len(group) for group in trimmed})
    cells: dict[int, tuple[int, ...]] = {}
    for i, patch in enumerate(patchwork.patches):
        found = [patch.group[:n] for n in depths if patch.group[:n] in trimmed]
        if len(found) > 1:
            raise NoPlanError(
                f"Patch `{patch.id}` is in two parts that are trimmed, {found[0][-1]} and {found[1][-1]}",
                needed="one trim around each patch",
                do="trim only the outer part",
            )
        if found:
            trimmed[found[0]].append(i)
        else:
            cells[i] = (i,)
    n = len(patchwork.patches)
    return cells | {n + k: tuple(found) for k, found in enumerate(trimmed.values())}


def _label_edge(patch: Patch, j: int, n: int, trim: Trim) -> int:
    """Return which edge of the sewn outline, or of the trim, the j-th edge of a finished outline lies on."""
    assert patch.sewn is not None  # only patches that are trimmed are asked for  # noqa: S101
    a, b = patch.outline[j], patch.outline[(j + 1) % len(patch.outline)]
    for outline, first in ((patch.sewn, 0), (trim.outline, n)):
        for k, p in enumerate(outline):
            if _lies_along(a, b, p, outline[(k + 1) % len(outline)]):
                return first + k
    raise NoPlanError(
        f"Edge {j} of patch `{patch.id}` lies neither on its sewn outline nor on what it is trimmed to",
        needed="a finished outline that is the sewn one, trimmed",
        do="correct the design",
    )


def _count_steps(ours: Outline, theirs: Outline, angle: float) -> int:
    """Return by how many edges the second outline is counted later than the first turned by an angle in degrees."""
    wanted = (measure_directions(ours)[0] + angle) % 360
    off = [abs((direction - wanted + 180) % 360 - 180) for direction in measure_directions(theirs)]
    return off.index(min(off))


def _lies_along(a: Point, b: Point, p: Point, q: Point) -> bool:
    """Tell whether the edge from a to b lies on the line of the edge from p to q and runs the same way."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    length = hypot(dx, dy)
    off = [abs((x - p[0]) * dy - (y - p[1]) * dx) / length for x, y in (a, b)]
    return max(off) <= 4 * TOLERANCE and (b[0] - a[0]) * dx + (b[1] - a[1]) * dy > 0


def _read_items(patches: Sequence[Patch], pieces: Sequence[Piece], turns: Sequence[int]) -> Items:
    """Return the patches as things that can be compared: the piece, and how it lies."""
    labels, places, directions, periods = [], [], [], []
    numbers: dict[tuple[str, int], int] = {}
    round_of: dict[str, float] = {}
    for patch, piece, turn in zip(patches, pieces, turns, strict=True):
        if piece.id not in round_of:
            round_of[piece.id] = _find_period(piece.outline)
        outline = patch.sewn or patch.outline
        (ax, ay), (bx, by) = outline[turn], outline[(turn + 1) % len(outline)]
        area = int(measure_area(patch.outline) * 1000 + 0.31)
        labels.append(numbers.setdefault((piece.id, area), len(numbers)))
        places.append(sum(complex(x, y) for x, y in patch.outline) / len(patch.outline))
        directions.append(float(np.degrees(np.arctan2(by - ay, bx - ax))))
        periods.append(round_of[piece.id])
    return Items(
        np.array(labels, dtype=np.int64),
        np.array(places, dtype=np.complex128),
        np.array(directions),
        np.array(periods),
    )


def _find_period(outline: Outline) -> float:
    """Return by how many degrees an outline can be turned so that it looks the same."""
    corners = np.array([complex(x, y) for x, y in outline])
    spokes = corners - corners.mean()
    n = len(spokes)
    for step in range(1, n):
        if n % step == 0:
            turn = np.roll(spokes, -step) / spokes
            if abs(turn - turn.mean()).max() * abs(spokes).max() < 4 * TOLERANCE:
                return 360.0 * step / n
    return 360.0
