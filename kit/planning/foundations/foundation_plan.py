"""The plan of a block on paper foundations."""

from collections.abc import Sequence

import shapely

from kit.errors import KitError
from kit.geometry.closing import find_inside
from kit.geometry.joined_outline import trace_together
from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import Outline, Point, make_rectangle, measure_area, measure_box
from kit.lengths import Length, take_length, write_refused
from kit.model.cutting import CutList, Piece
from kit.model.foundations import EASE, FoundationPlan, PaperPiece, PaperSection, SectionJoin, name_roles
from kit.model.patchwork import Patch, Patchwork
from kit.model.units import Unit
from kit.planning.foundations.laid_cloth import find_far_ends, grow, lay_rectangle, measure_off_grain, order_line
from kit.planning.foundations.sections import Sections, SectionSearch
from kit.planning.sewing.seams import Seams, build_seams
from kit.planning.sewing.straight_cuts import PartCells
from kit.progress import Progress, keep_quiet

LARGEST = 400
"""The most patches of a block on paper."""


def foundation_plan(
    patchwork: Patchwork,
    unit: str | None = None,
    *,
    ease: Length = EASE,
    step: float = 0.125,
    page: tuple[float, float] | None = None,
    progress: Progress = keep_quiet,
) -> FoundationPlan:
    """Plan a block of a quilt on paper foundations: its sections, their order, and the cloth for each piece.

    Cut the block along lines straight through into the fewest sections in which each piece can be added across one
    whole straight edge of what is there. Where no line runs straight through, grow the largest section and set the
    rest in.

    Parameters
    ----------
    patchwork
        The design.
    unit
        Name of a unit of it, "top" for all of it; None takes the largest unit that is made more than once, or else the
        whole top.
    ease
        What each rectangle of cloth reaches beyond its need, inches or a text with its unit.
    step
        The sizes of the rectangles are rounded up to a multiple of this, inches.
    page
        Width and height of the largest paper, inches, allowance included, for those who do not want to tape pages
        together; a section may lie on its side. Only a single patch is then ever larger. None sets no limit.
    progress
        Told how many parts were tried; a stop leaves no plan.

    Returns
    -------
    FoundationPlan
        `least` equals the number of sections where they are proved to be the fewest.

    Raises
    ------
    KitError
        No unit of that name; more patches than `LARGEST`; a negative ease.

    Notes
    -----
    Exact by branch and bound until a budget is spent. Some 0.3 s for 200 patches in a grid.

    Examples
    --------
    >>> from kit.model.patchwork import patchwork_from_outlines
    >>> four = [[(x, y), (x + 2, y), (x + 2, y + 2), (x, y + 2)] for y in (2, 0) for x in (0, 2)]
    >>> plan = foundation_plan(patchwork_from_outlines(four), "top")
    >>> [(section.name, len(section.pieces)) for section in plan.sections], plan.least
    ([('1', 2), ('2', 2)], 2)
    """
    found = _find_unit(patchwork, unit)
    patches = [patchwork.by_id[name] for name in found.patches[0]]
    if len(patches) > LARGEST:
        raise KitError(
            f"The unit `{found.name}` has {len(patches)} patches",
            needed=f"at most {LARGEST} for paper foundations",
            do="name a smaller unit",
        )
    room = take_length(ease, "ease")
    if room < 0:
        raise KitError(f"The ease is {write_refused(room)}", needed="zero or more", do="use 1/4 in")
    return _Maker(patchwork, found, patches, room, step, page, progress).plan()


def _find_unit(patchwork: Patchwork, name: str | None) -> Unit:
    """Return the unit of a name, or the largest one that is made again and again."""
    top = patchwork.units
    units, stack = [], [top]
    while stack:
        unit = stack.pop()
        units.append(unit)
        stack += unit.children
    if name in ("top", top.name):
        return top
    if name is None:
        again = [unit for unit in units if unit.copies > 1 and unit.size > 1]
        return max(again, key=lambda unit: unit.size) if again else top
    for unit in units:
        if unit.name == name:
            return unit
    known = ", ".join(sorted({unit.name for unit in units if unit.size > 1} | {"top"}))
    raise KitError(f"There is no unit `{name}`", needed=f"one of {known}", do="name one of these")


class _Maker:
    """Makes one plan."""

    def __init__(
        self,
        patchwork: Patchwork,
        unit: Unit,
        patches: Sequence[Patch],
        ease: float,
        step: float,
        page: tuple[float, float] | None,
        progress: Progress,
    ) -> None:
        self.unit, self.patches, self.ease, self.step, self.page = unit, patches, ease, step, page
        self.allowance = patchwork.allowance
        self.outlines = [patch.outline for patch in patches]
        mesh = build_mesh(self.outlines)
        self.seams: Seams = build_seams(mesh, range(len(patches)), [()] * len(patches))
        self.search = SectionSearch(self.seams, mesh.corners, progress, fits=self._fits)
        self.sections: list[PartCells] = []

    def plan(self) -> FoundationPlan:
        whole = frozenset(range(len(self.patches)))
        found = self.search.solve(whole)
        splits: list[tuple[tuple[PartCells, ...], tuple[int, ...], bool]] = []
        self._collect(whole, found, splits)
        self.sections.sort(key=min)
        letters = {part: str(number) for number, part in enumerate(self.sections, start=1)}
        return FoundationPlan(
            sections=tuple(self._write_section(letters[part], part) for part in self.sections),
            joins=tuple(self._list_joins(splits, letters)),
            least=found.count if found.exact else self.search.bound(whole),
            copies=self.unit.copies,
            allowance=self.allowance,
            ease=self.ease,
            target=tuple((patch.id, patch.outline) for patch in self.patches),
            block=trace_together(self.outlines),
            name=self.unit.name,
            mirrored=sum(placing.mirrored for placing in self.unit.placings),
        )

    def _fits(self, part: PartCells) -> bool:
        return len(part) == 1 or self._fits_page([self.outlines[cell] for cell in part])

    def _fits_page(self, outlines: Sequence[Outline]) -> bool:
        if self.page is None:
            return True
        left, bottom, right, top = measure_box(point for outline in outlines for point in outline)
        wide, high = sorted((right - left + 2 * self.allowance, top - bottom + 2 * self.allowance))
        short, long = sorted(self.page)
        return wide <= short and high <= long

    def _collect(
        self, part: PartCells, found: Sections, splits: list[tuple[tuple[PartCells, ...], tuple[int, ...], bool]]
    ) -> None:
        """Gather the sections of a part, and the lines between them, the innermost first."""
        if found.split is None:
            self.sections.append(part)
            return
        for half in found.split.parts:
            self._collect(half, self.search.solve(half), splits)
        splits.append((found.split.parts, found.split.pieces, found.split.straight))

    def _list_joins(
        self,
        splits: Sequence[tuple[tuple[PartCells, ...], tuple[int, ...], bool]],
        letters: dict[PartCells, str],
    ) -> list[SectionJoin]:
        joins = []
        for parts, pieces, straight in splits:
            done = parts[0]
            for part in parts[1:]:
                between = [
                    p for p in pieces if len(set(self.seams.cells[p]) & part) == 1 and set(self.seams.cells[p]) & done
                ]
                names = [tuple(letters[s] for s in self.sections if s <= side) for side in (done, part)]
                joins.append(
                    SectionJoin(names[0], names[1], "straight" if straight else "set in", self._find_ends(between))
                )
                done |= part
        return joins

    def _find_ends(self, pieces: Sequence[int]) -> tuple[Point, Point]:
        return find_far_ends([self.seams.nodes[node] for piece in pieces for node in self.seams.ends[piece]])

    def _write_section(self, name: str, part: PartCells) -> PaperSection:
        order = self.search.order(part)
        assert order is not None  # the search ended at sections  # noqa: S101
        if len(order) > 1 and measure_area(self.outlines[order[0]]) < measure_area(self.outlines[order[1]]):
            order = (order[1], order[0], *order[2:])  # the larger of the first two lies first
        outline = trace_together([self.outlines[cell] for cell in order])
        paper = grow(outline, self.allowance)
        pieces = tuple(self._lay(cell, number, order, paper) for number, cell in enumerate(order, start=1))
        return PaperSection(name, pieces, outline)

    def _lay(self, cell: int, number: int, order: Sequence[int], paper: shapely.Polygon) -> PaperPiece:
        patch, line = self.patches[cell], None
        if number > 1:
            before = set(order[: number - 1])
            pieces = [piece for piece, other in self.search.cuts.beside[cell] if other in before]
            line = order_line(self._find_ends(pieces), find_inside(patch.outline))
        need = shapely.Polygon(shapely.intersection(grow(patch.outline, self.allowance), paper).exterior)
        rectangle, width, height = lay_rectangle(need, line, patch.grain, self.allowance, self.ease, self.step)
        off = measure_off_grain(line, patch.grain)
        return PaperPiece(patch.id, number, patch.slot, line, rectangle, width, height, off)


def list_foundation_cuts(plan: FoundationPlan, step: float = 0.125) -> CutList:
    """Return the rectangles of a foundation plan as a cut list, for the cutting planner.

    Parameters
    ----------
    plan
        From `foundation_plan`.
    step
        As given there, inches.

    Returns
    -------
    CutList
        One piece for each slot and size, counted over all copies of the block.
    """
    sizes: dict[tuple[str, float, float], list[str]] = {}
    for section in plan.sections:
        for laid in section.pieces:
            long, short = max(laid.width, laid.height), min(laid.width, laid.height)
            sizes.setdefault((laid.slot, long, short), []).append(laid.patch)
    pieces, numbers = [], dict.fromkeys(sorted({slot for slot, _, _ in sizes}), 0)
    letters = name_roles(numbers)
    for (slot, long, short), patches in sorted(sizes.items(), key=lambda item: (item[0][0], -item[0][1], -item[0][2])):
        numbers[slot] += 1
        measures = {"width": long, "height": short} if long > short else {"side": long}
        pieces.append(
            Piece(
                f"{letters[slot]}{numbers[slot]}",
                "rectangle" if long > short else "square",
                plan.name,
                len(patches) * plan.copies,
                None,
                slot,
                measures,
                measures,
                measures,
                make_rectangle(0, 0, long, short),
                (90.0,) * 4,
                (False,) * 4,
                0,
                tuple(patches),
                (0,) * len(patches),
            )
        )
    return CutList(tuple(pieces), plan.allowance, step)
