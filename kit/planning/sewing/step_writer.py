"""The written steps: each joint of the tree in the maker's terms, unit by unit."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from kit.geometry.mesh import Mesh, build_mesh
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_area, measure_box, offset_outline, tidy_outline
from kit.model.patchwork import Patchwork
from kit.model.sewing import Edge, SewnUnit, Step
from kit.planning.sewing.piece_edges import PieceEdges
from kit.planning.sewing.seam_tree import Joint, Part
from kit.planning.sewing.sewing_cells import SewingCells
from kit.planning.sewing.sewn_units import UnitCandidate, UnitFinder


@dataclass(frozen=True, eq=False)
class Region:
    """Outlines joined in one frame: the finished top, or a part before trimming.

    Attributes
    ----------
    mesh
        The outlines noded.
    outlines
        By face.
    patches
        Number of the patch of each face.
    labels
        For each face, the edge of the sewn outline under each of its edges; edges of a trim have higher numbers.
    rough
        Whether outer ends may differ, because the part is trimmed.
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
        """Edge of its face for each side."""
        return list(self.mesh.edge.tolist())

    @cached_property
    def twins(self) -> list[int]:
        """Twin of each side."""
        return list(self.mesh.twin.tolist())


@dataclass(frozen=True)
class _Run:
    """Edges end to end, in the direction of sewing, with their beginning and end."""

    edges: tuple[Edge, ...]
    start: Point
    end: Point


class StepWriter:
    """Writes the steps of the units.

    Parameters
    ----------
    patchwork
        The design.
    edges
        Counts the edges of its pieces.
    finder
        Knows the units.
    regions
        The finished top by -1, and each trimmed part by its cell.
    """

    def __init__(
        self,
        patchwork: Patchwork,
        edges: PieceEdges,
        finder: UnitFinder,
        regions: Mapping[int, Region],
        cells: SewingCells,
    ) -> None:
        self.patchwork, self.edges, self.finder, self.regions = patchwork, edges, finder, regions
        self.cells = cells
        self.patches = patchwork.patches
        self.steps: list[Step] = []
        self.parts: dict[str, int] = {}

    def write(self, units: Sequence[UnitCandidate]) -> tuple[list[Step], list[SewnUnit]]:
        """Return the steps in the order of working, and the units."""
        made = []
        allowance = self.patchwork.allowance
        for maker in units:
            self.parts = {}
            self._sew(maker)
            rough = self.cells.is_rough(maker.home)
            self.edges.lay_alike(maker.copies, self.finder.get_items(maker.home), rough=rough)
            copies = tuple(tuple(self.patches[i].id for i in copy) for copy in maker.copies)
            outlines = [self.cells.shape(i, maker.home) for i in maker.copies[0]]
            size = _measure_unfinished(outlines, allowance)
            made.append(SewnUnit(maker.name, copies, tuple(self.parts.items()), size))
        return self.steps, made

    def _sew(self, maker: UnitCandidate) -> None:
        """Write the steps of one unit, part by part."""
        done: dict[int, tuple[str, ...]] = {}
        stack: list[tuple[Part, Region, bool]] = [(maker.part, self._region(maker.home), False)]
        while stack:
            part, region, ready = stack.pop()
            known = self.finder.maker_of.get(id(part))
            if known is not None and known is not maker and known.real:
                self.parts[known.name] = self.parts.get(known.name, 0) + 1
                done[id(part)] = tuple(self.patches[i].id for i in self.finder.list_patches(part))
            elif part.inner is not None and not ready:
                stack += [(part, region, True), (part.inner, self._region(part.cell), False)]
            elif part.inner is not None:
                done[id(part)] = done[id(part.inner)]
                if part.cell in self.cells.trims:
                    self._trim(maker, part.cell, done[id(part)])
            elif part.halves is None:
                i = self.finder.list_patches(part)[0]
                piece = self.edges.pieces[i].id
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

    def _region(self, cell: int) -> Region:
        return self.regions.get(cell, self.regions[-1])

    def _add(
        self, maker: UnitCandidate, region: Region, joint: Joint, first: tuple[str, ...], second: tuple[str, ...]
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

    def _read_run(self, region: Region, sides: Sequence[int], *, onward: bool) -> _Run:
        """Return the edges of sides; `onward` if the sides run in the direction of sewing."""
        found = list(dict.fromkeys((region.faces[side], region.edges[side]) for side in sides))
        edges = tuple(self.edges.number_edge(region.patches[face], region.labels[face][edge]) for face, edge in found)
        ends = []
        for face, edge in (found[0], found[-1]):
            outline = region.outlines[face]
            ends.append((outline[edge], outline[(edge + 1) % len(outline)]))
        return _Run(edges, ends[0][not onward], ends[1][onward])

    def _trim(self, maker: UnitCandidate, cell: int, first: tuple[str, ...]) -> None:
        """Write the trim of a part, in the frame of the cut outline of its first patch's piece."""
        allowance = self.patchwork.allowance
        trim = self.cells.trims[cell]
        i = self.edges.number[first[0]]
        patch, cut, turn = self.patches[i], self.edges.pieces[i].outline, self.edges.turn[i]
        there = offset_outline(patch.sewn or patch.outline, allowance)
        a, b = complex(*there[turn]), complex(*there[(turn + 1) % len(there)])
        p, q = complex(*cut[0]), complex(*cut[1])
        move = (q - p) / (b - a)
        move /= abs(move)
        corners = [p + move * (complex(x, y) - a) for x, y in offset_outline(trim.outline, allowance)]
        outline = tuple((_tidy(z.real), _tidy(z.imag)) for z in corners)
        self.steps.append(Step(len(self.steps) + 1, maker.name, "trim", first, trim=outline))


def _measure_unfinished(outlines: Sequence[Outline], allowance: float) -> tuple[float, float]:
    """Return width and height of a part with the allowance all around."""
    left, bottom, right, top = measure_box(point for outline in outlines for point in outline)
    area = sum(measure_area(outline) for outline in outlines)
    if (right - left) * (top - bottom) - area > TOLERANCE * (right - left + top - bottom):
        loops = build_mesh(outlines).trace_outside()
        if len(loops) == 1:
            left, bottom, right, top = measure_box(offset_outline(tidy_outline(loops[0]), allowance))
            return right - left, top - bottom
    return right - left + 2 * allowance, top - bottom + 2 * allowance


def _tidy(length: float) -> float:
    """Drop the digits of noise, a hundred thousandth of the tolerance and less."""
    return round(length, 10) + 0.0
