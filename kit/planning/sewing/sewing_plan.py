"""Sewing order: from a patchwork to the steps of its top."""

from kit.errors import NoPlanError
from kit.geometry.mesh import build_mesh
from kit.model.cutting import CutList
from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.piece_edges import PieceEdges
from kit.planning.sewing.seam_tree import Part, find_order, split_cost
from kit.planning.sewing.seams import build_seams
from kit.planning.sewing.sewn_units import UnitCandidate, UnitFinder
from kit.planning.sewing.step_writer import Region, StepWriter


def sewing_plan(patchwork: Patchwork, cuts: CutList | None = None) -> SewingPlan:
    """Plan the order of sewing the patches.

    Split the top along lines straight through, first along those that leave blocks, rows and columns whole;
    solve the rest exactly, for the least set-in seams and then the least partial seams; sew in the reverse order.
    Equal parts become one unit. A trimmed part is planned separately, from its patches before trimming.

    Parameters
    ----------
    patchwork
        A verified patchwork.
    cuts
        Its cut list; made when None.

    Returns
    -------
    SewingPlan
        With the number of partial and set-in seams, and the proven least number of each.

    Raises
    ------
    NoPlanError
        A trimmed part inside another.

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
    return _Planner(patchwork, cuts or cut_list(patchwork)).plan()


class _Planner:
    """Makes one plan."""

    def __init__(self, patchwork: Patchwork, cuts: CutList) -> None:
        self.patchwork, self.patches = patchwork, patchwork.patches
        self.cells = gather_cells(patchwork)
        n = len(self.patches)
        trim_of = {i: patchwork.trims[c - n] if c >= n else None for c, found in self.cells.items() for i in found}
        self.edges = PieceEdges(patchwork, cuts, trim_of)
        self.regions: dict[int, Region] = {}
        self.cost_of: dict[int, tuple[int, int]] = {}

    def plan(self) -> SewingPlan:
        """Return the plan."""
        top = self._region_of_top()
        self.regions[-1] = top
        cell_of = [0] * len(self.patches)
        for cell, found in self.cells.items():
            for i in found:
                cell_of[i] = cell
        seams = build_seams(top.mesh, cell_of, [patch.group for patch in self.patches])
        order = find_order(seams, top.twins, self.cells)
        finder = UnitFinder(self.patches, self.edges.items, lambda cell: self.cells.get(cell, (cell,)), self._open_cell)
        units = finder.find_units(order.root)
        steps, made = StepWriter(self.patchwork, self.edges, finder, self.regions).write(units)
        partial, set_in = self._add_up(finder.candidates, *split_cost(order.cost), which=0)
        partial_bound, set_in_bound = self._add_up(finder.candidates, *split_cost(order.bound), which=1)
        return SewingPlan(
            steps=tuple(steps),
            units=tuple(made),
            partial_seams=partial,
            set_in_seams=set_in,
            partial_bound=partial_bound if set_in == set_in_bound else 0,
            set_in_bound=set_in_bound,
            target=tuple((patch.id, patch.outline) for patch in self.patches),
        )

    def _add_up(self, makers: list[UnitCandidate], partial: int, set_in: int, *, which: int) -> tuple[int, int]:
        """Add the partial and set-in seams within trimmed parts, in every copy: their cost (0) or bound (1)."""
        for maker in makers:
            if maker.part.cell in self.cost_of:
                more = split_cost(self.cost_of[maker.part.cell][which])
                partial += more[0] * len(maker.copies)
                set_in += more[1] * len(maker.copies)
        return partial, set_in

    def _region_of_top(self) -> Region:
        outlines = tuple(patch.outline for patch in self.patches)
        labels = tuple(self.edges.label(i) for i in range(len(outlines)))
        return Region(self.patchwork.mesh, outlines, tuple(range(len(outlines))), labels, rough=False)

    def _open_cell(self, cell: int) -> Part | None:
        """Return the tree of a trimmed cell, its cells being the numbers of its patches."""
        found = self.cells[cell]
        if len(found) == 1:
            return None
        outlines = tuple(self.patches[i].sewn or self.patches[i].outline for i in found)
        mesh = build_mesh(outlines)
        seams = build_seams(mesh, found, [self.patches[i].group for i in found])
        labels = tuple(tuple(range(len(outline))) for outline in outlines)
        region = Region(mesh, outlines, found, labels, rough=True)
        self.regions[cell] = region
        order = find_order(seams, region.twins, {i: (i,) for i in found})
        self.cost_of[cell] = order.cost, order.bound
        return order.root


def gather_cells(patchwork: Patchwork) -> dict[int, tuple[int, ...]]:
    """Return the patches of each cell: single patches by their numbers, then the trimmed parts."""
    trimmed: dict[tuple[str, ...], list[int]] = {trim.group: [] for trim in patchwork.trims}
    depths = sorted({len(group) for group in trimmed})
    cells: dict[int, tuple[int, ...]] = {}
    for i, patch in enumerate(patchwork.patches):
        found = [patch.group[:n] for n in depths if patch.group[:n] in trimmed]
        if len(found) > 1:
            raise NoPlanError(
                f"Patch `{patch.id}` is in two trimmed parts, {found[0][-1]} and {found[1][-1]}",
                needed="one trim around each patch",
                do="trim only the outer part",
            )
        if found:
            trimmed[found[0]].append(i)
        else:
            cells[i] = (i,)
    n = len(patchwork.patches)
    return cells | {n + k: tuple(found) for k, found in enumerate(trimmed.values())}
