"""Sewing order: from a patchwork to the steps of its top."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property, reduce
from itertools import takewhile

from kit.collecting import put_off_collecting
from kit.errors import NoPlanError
from kit.geometry.mesh import build_mesh
from kit.geometry.turned_copies import PlacedItems, TurnedReading, read_turned
from kit.model.cutting import CutList
from kit.model.patchwork import Group, Patchwork
from kit.model.sewing import Assembly, SewingPlan, Step
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.fewest_steps import FewestSteps
from kit.planning.sewing.found_units import MOST, name_found_units
from kit.planning.sewing.piece_edges import PieceEdges
from kit.planning.sewing.seam_tree import Order, Part, find_order, list_tree_parts, split_cost
from kit.planning.sewing.seams import build_seams
from kit.planning.sewing.sewing_cells import TOP, SewingCells, find_sewable, gather_cells, list_groups
from kit.planning.sewing.sewn_units import UnitCandidate, UnitFinder
from kit.planning.sewing.step_writer import Region, StepWriter
from kit.planning.sewing.straight_cuts import PartCells
from kit.planning.sewing.written_steps import group_steps
from kit.progress import Progress, keep_quiet, report

FINE = 0.01
"""The least share of a part that is reported."""
ACROSS: tuple[Assembly, ...] = ("rows", "quarters", "halves")
"""Ways of putting a top together along lines across all of it."""


@put_off_collecting()
def sewing_plan(
    patchwork: Patchwork,
    cuts: CutList | None = None,
    assembly: Assembly = "kit's choice",
    progress: Progress = keep_quiet,
) -> SewingPlan:
    """Plan the order of sewing the patches.

    Split the top along lines straight through, frames first and then along those that leave blocks, rows and columns
    whole, in the order with the fewest written steps; solve the rest exactly, for the least set-in seams and then the
    least partial seams; sew in the reverse order. Equal parts become one unit. A trimmed part is planned separately,
    from its patches before trimming.

    Parameters
    ----------
    patchwork
        A verified patchwork.
    cuts
        Its cut list; made when None.
    assembly
        How the top goes together. "rows", "halves" and "quarters" open the body of the top along lines across all
        of it, whatever units they cut through; frames always come last.
    progress
        Told as each part of the top is ordered; a stop leaves no plan.

    Returns
    -------
    SewingPlan
        With the number of partial and set-in seams, and the proven least number of each.

    Raises
    ------
    NoPlanError
        The top does not go together as wished: no seam runs straight across it there, or it has no blocks.

    Notes
    -----
    Near-linear without partial and set-in seams. Parts without a line straight through are solved by branch and
    bound, exactly unless the budget of moves is spent: the bound is then lower than the count. Every line of sewing
    begins or ends at the edge of the part sewn so far.

    Examples
    --------
    >>> from kit.model.patchwork import patchwork_from_outlines
    >>> four = [[(x, y), (x + 2, y), (x + 2, y + 2), (x, y + 2)] for y in (2, 0) for x in (0, 2)]
    >>> plan = sewing_plan(patchwork_from_outlines(four))
    >>> [(unit.name, unit.count) for unit in plan.units], plan.partial_seams
    ([('patch pair', 2), ('top', 1)], 0)
    """
    pieces = cuts or cut_list(patchwork)
    if assembly in ACROSS:
        return _Planner(patchwork, pieces, gather_cells(patchwork), progress, assembly).plan()
    plan = _plan_whole(patchwork, pieces, progress)
    named = name_found_units(patchwork)
    if assembly == "blocks" and named is None and not any(patch.group for patch in patchwork.patches):
        raise NoPlanError(
            "The top has no blocks, and no part of it repeats", needed="blocks", do='choose "as composed" or "rows"'
        )
    if named is None:
        return plan
    blocks = _plan_whole(named, pieces, progress)
    return blocks if assembly == "blocks" else min(plan, blocks, key=_rank)


def _plan_whole(patchwork: Patchwork, cuts: CutList, progress: Progress) -> SewingPlan:
    """Return the better of the plans that take strips off one by one, and that take them for parts of a row, too."""
    plans = []
    for strips_alone in (True, False) if len(patchwork.patches) <= MOST else (True,):
        planner = _Planner(patchwork, cuts, gather_cells(patchwork), progress, strips_alone=strips_alone)
        whole = planner.plan()
        plans.append(_keep_units_whole(patchwork, cuts, whole, planner.list_split_units(), progress, strips_alone))
    return min(plans, key=_rank)


def _rank(plan: SewingPlan) -> tuple[int, int, int]:
    """Return what makes a plan better: fewer set-in seams, then fewer partial seams, then fewer written steps."""
    return plan.set_in_seams, plan.partial_seams, len(plan.written)


class _Planner:
    """Makes one plan."""

    def __init__(
        self,
        patchwork: Patchwork,
        cuts: CutList,
        cells: SewingCells,
        progress: Progress,
        assembly: Assembly = "kit's choice",
        *,
        strips_alone: bool = True,
    ) -> None:
        self.progress, self.assembly, self.strips_alone = progress, assembly, strips_alone
        self.patchwork, self.patches, self.cells = patchwork, patchwork.patches, cells
        self.edges = PieceEdges(patchwork, cuts, [cells.get_trim(i) for i in range(len(self.patches))])
        self.regions: dict[int, Region] = {}
        self.bound_of: dict[int, int] = {}
        self._items: dict[int, PlacedItems] = {}

    def plan(self) -> SewingPlan:
        """Return the plan."""
        self.order = self._solve(TOP)
        finder = UnitFinder(self.patchwork, self._items_of, self.cells.list_patches, self._open_cell)
        units = finder.find_units(self.order.root, _name_images(self.patchwork))
        steps, made = StepWriter(self.patchwork, self.edges, finder, self.regions, self.cells).write(units)
        copies = {unit.name: unit.count for unit in made}
        closed: Counter[str] = Counter()  # as the steps have them, in every copy
        for step in steps:
            closed[step.kind] += copies[step.unit]
        partial, set_in = closed["close"], closed["set in"]
        partial_bound, set_in_bound = self._add_up(finder.candidates, *split_cost(self.order.bound))
        return SewingPlan(
            steps=tuple(steps),
            units=tuple(made),
            partial_seams=partial,
            set_in_seams=set_in,
            partial_bound=partial_bound if set_in == set_in_bound else 0,
            set_in_bound=set_in_bound,
            target=tuple((patch.id, patch.outline) for patch in self.patches),
            written_bound=self._bound_written(steps, partial_bound if set_in == set_in_bound else 0),
            written=group_steps(steps, {patch.id: patch.outline for patch in self.patches}),
        )

    def _bound_written(self, steps: Sequence[Step], partial_bound: int) -> int:
        """Return the written steps that no order avoids."""
        trims = sum(step.kind == "trim" for step in steps)
        return trims + (2 if partial_bound else min(1, len(self.patches) - 1))

    def list_split_units(self) -> list[Group]:
        """Return the groups that the order of the top does not leave whole."""
        whole: set[Group] = set()
        common: dict[int, tuple[Group, int]] = {}
        for part in list_tree_parts(self.order.root):
            if part.halves:
                (a, m), (b, n) = (common[id(half)] for half in part.halves)
                shared, size = _find_common(a, b), m + n
            else:
                found = self.cells.list_patches(part.cell)
                shared, size = reduce(_find_common, (self.patches[i].group for i in found)), len(found)
            common[id(part)] = shared, size
            whole |= {shared[:n] for n in range(1, len(shared) + 1) if self._sizes[shared[:n]] == size}
        return [group for group, size in self._sizes.items() if size > 1 and group not in whole]

    @cached_property
    def _sizes(self) -> dict[Group, int]:
        return list_groups(self.patchwork)

    def _solve(self, cell: int) -> Order:
        """Return the order within a part, or of the top."""
        report(self.progress, "sewing", len(self.regions), 1 + len(self.cells.groups))
        ordering, opening = self._share_progress(0.0, 0.5), self._share_progress(0.5, 0.5)
        region = self._make_region(cell)
        self.regions[cell] = region
        inside = self.cells.look_inside(cell)
        cell_of = {i: inner for inner, found in inside.items() for i in found}
        groups = [self.patches[i].group for i in region.patches]
        seams = build_seams(region.mesh, [cell_of[i] for i in region.patches], groups)
        wish = self.assembly if cell == TOP else "kit's choice"
        search = FewestSteps(
            seams, *self._describe_cells(inside), self._read_cells(cell, inside), wish, strips_alone=self.strips_alone
        )
        openings = search.find_openings(frozenset(inside), ordering)
        if not search.possible:
            raise NoPlanError(
                f"The top does not go together in {wish}",
                needed="a seam straight across its body" + ("" if wish == "rows" else ", close to the middle"),
                do='choose "as composed"',
            )
        return find_order(seams, region.twins, inside, openings, by_paths=True, progress=opening)

    def _share_progress(self, start: float, share: float) -> Progress:
        """Return what reports the work on one part as a share of it, a hundred times at most."""
        begun, parts, last = len(self.regions) + start, 1 + len(self.cells.groups), 0.0

        def tell(what: str, done: float, whole: float) -> None:
            nonlocal last
            if done / whole >= last + FINE:
                last = done / whole
                report(self.progress, what, begun + share * last, parts)

        return tell

    def _describe_cells(self, inside: Mapping[int, Sequence[int]]) -> tuple[dict[int, int], dict[int, int]]:
        """Return the number of groups around each cell, and the frame of each that lies in one."""
        depths, frames = {}, {}
        for cell, patches in inside.items():
            shared = reduce(_find_common, (self.patches[i].group for i in patches))
            depths[cell] = len(shared) - (len(patches) > 1 and self._sizes.get(shared) == len(patches))
            around = {self._frame_of.get(self.patches[i].id, 0) for i in patches}
            if len(around) == 1 and around != {0}:
                frames[cell] = around.pop()
        return depths, frames

    @cached_property
    def _frame_of(self) -> dict[str, int]:
        return {name: k for k, frame in enumerate(self.patchwork.frames, start=1) for name in frame.patches}

    def _items_of(self, cell: int) -> PlacedItems:
        """Return the patches in a form for comparison, as they are while a cell is sewn."""
        if cell not in self._items:
            self._items[cell] = self.edges.mix_items([self.cells.is_whole(i, cell) for i in range(len(self.patches))])
        return self._items[cell]

    def _read_cells(self, home: int, inside: Mapping[int, Sequence[int]]) -> Callable[[PartCells], TurnedReading]:
        """Return what reads a set of cells: the reading of their patches, and the cells in corresponding order."""
        cell_of = {i: cell for cell, patches in inside.items() for i in patches}
        items = self._items_of(home)

        def read(part: PartCells) -> TurnedReading:
            found = read_turned(items, [i for cell in sorted(part) for i in inside[cell]])
            order = [cell_of[i] for i in found.order]
            cells = {cell: n for n, cell in enumerate(dict.fromkeys(order))}
            shared = repr([cells[cell] for cell in order]) if len(cells) < len(order) else ""
            return replace(found, reading=found.reading + shared.encode(), order=tuple(cells))

        return read

    def _make_region(self, cell: int) -> Region:
        patches = self.cells.list_patches(cell)
        outlines = tuple(self.cells.shape(i, cell) for i in patches)
        mesh = self.patchwork.mesh if cell == TOP else build_mesh(outlines)
        labels = tuple(
            tuple(range(len(outline))) if self.cells.is_whole(i, cell) else self.edges.label(i)
            for i, outline in zip(patches, outlines, strict=True)
        )
        return Region(mesh, outlines, patches, labels, rough=self.cells.is_rough(cell))

    def _add_up(self, makers: list[UnitCandidate], partial: int, set_in: int) -> tuple[int, int]:
        """Add the least partial and set-in seams within parts, in every copy."""
        for maker in makers:
            if maker.part.cell in self.bound_of:
                more = split_cost(self.bound_of[maker.part.cell])
                partial += more[0] * len(maker.copies)
                set_in += more[1] * len(maker.copies)
        return partial, set_in

    def _open_cell(self, cell: int) -> Part | None:
        """Return the tree of a part, or None for a single patch."""
        if len(self.cells.list_patches(cell)) == 1:
            return None
        order = self._solve(cell)
        self.bound_of[cell] = order.bound
        return order.root


def _find_common(a: Group, b: Group) -> Group:
    """Return the groups that two patches share, from the outermost in."""
    return tuple(x for x, _ in takewhile(lambda pair: pair[0] == pair[1], zip(a, b, strict=False)))


def _keep_units_whole(
    patchwork: Patchwork,
    cuts: CutList,
    plan: SewingPlan,
    split: list[Group],
    progress: Progress,
    strips_alone: bool,
) -> SewingPlan:
    """Return a plan that sews as many units on their own as that costs nothing.

    The plan of the whole top at once is the least that any order costs, so its bounds stay. Take every unit that it
    cuts up for a part of its own; where that costs a set-in or partial seam more, let the largest units go again, one
    name after another.
    """
    groups = find_sewable(patchwork, split)
    sizes = list_groups(patchwork)
    least = plan.set_in_seams, plan.partial_seams
    names = sorted({group[-1].unit for group in groups}, key=lambda name: (-_find_largest(sizes, name), name))
    for gone in (None, *names):
        groups = [group for group in groups if group[-1].unit != gone]
        if not groups:
            break
        cells = gather_cells(patchwork, groups)
        found = _Planner(patchwork, cuts, cells, progress, strips_alone=strips_alone).plan()
        if (found.set_in_seams, found.partial_seams) <= least:
            return replace(found, partial_bound=plan.partial_bound, set_in_bound=plan.set_in_bound)
    return plan


def _name_images(patchwork: Patchwork) -> dict[frozenset[int], str]:
    """Return by their patches what copies of units are called that have mirror images, or a letter beside others."""
    if not any(patch.group for patch in patchwork.patches):
        return {}
    number = {patch.id: i for i, patch in enumerate(patchwork.patches)}
    names = {}
    for unit in patchwork.units.list_all()[:-1]:
        words = {within.unit for within in patchwork.by_id[unit.patches[0][0]].group}
        if unit.mirrored or unit.name not in words:
            for copy, placing in zip(unit.patches, unit.placings, strict=True):
                names[frozenset(number[name] for name in copy)] = (
                    f"{unit.name} mirrored" if placing.mirrored else unit.name
                )
    return names


def _find_largest(sizes: dict[Group, int], name: str) -> int:
    return max(size for group, size in sizes.items() if group[-1].unit == name)
