"""Sewing order: from a patchwork to the steps that make its top."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, hypot, radians, sin

import numpy as np

from kit.errors import NoPlanError
from kit.geometry.mesh import Mesh, build_mesh
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_area, measure_box, offset_outline
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
        For each face the number of each of its edges on the cut piece.
    rough
        Whether outer ends need not meet, because the part is trimmed.
    """

    mesh: Mesh
    outlines: tuple[Outline, ...]
    patches: tuple[int, ...]
    labels: tuple[tuple[int, ...], ...]
    rough: bool


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
        self.cells = _gather_cells(patchwork)
        self.inner: dict[int, _Region] = {}
        self.cost = self.bound = 0
        self.cost_of: dict[int, tuple[int, int]] = {}

    def plan(self) -> SewingPlan:
        """Return the plan."""
        top = self._region_of_top()
        cell_of = [0] * len(self.patches)
        for cell, found in enumerate(self.cells):
            for i in found:
                cell_of[i] = cell
        seams = build_seams(top.mesh, cell_of, [patch.group for patch in self.patches])
        order = find_order(seams, top.mesh.twin.tolist(), range(len(self.cells)))
        workshop = Workshop(self.patches, _read_items(self), lambda cell: self.cells[cell], self._open_cell)
        units = workshop.find_units(order.root)
        steps, made = _Writer(self, top, workshop, units).write()
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
        trims = {cell: self.patchwork.trims[n] for cell, n in self._trim_numbers().items()}
        labels: list[tuple[int, ...]] = [()] * len(self.patches)
        for cell, found in enumerate(self.cells):
            for i in found:
                labels[i] = self._label(i, trims.get(cell))
        outlines = tuple(patch.outline for patch in self.patches)
        return _Region(self.patchwork.mesh, outlines, tuple(range(len(outlines))), tuple(labels), rough=False)

    def _trim_numbers(self) -> dict[int, int]:
        """Return for each cell that is trimmed the number of its trim."""
        n = len(self.patchwork.trims)
        return {len(self.cells) - n + k: k for k in range(n)}

    def _label(self, i: int, trim: Trim | None) -> tuple[int, ...]:
        """Return the number on the cut piece of each edge of a finished outline; a trimmed edge counts on from them."""
        patch, n = self.patches[i], len(self.piece[i].outline)
        if patch.sewn is None or trim is None:
            return tuple((j - self.turn[i]) % n for j in range(n))
        return tuple(_label_edge(patch, j, self.turn[i], n, trim) for j in range(len(patch.outline)))

    def _open_cell(self, cell: int) -> Part | None:
        """Return the tree of a trimmed cell, its cells being the numbers of its patches."""
        found = self.cells[cell]
        if len(found) == 1:
            return None
        outlines = tuple(self.patches[i].sewn or self.patches[i].outline for i in found)
        mesh = build_mesh(outlines)
        groups = [self.patches[i].group for i in found]
        seams = build_seams(mesh, found, groups)
        labels = tuple(tuple((j - self.turn[i]) % len(o) for j in range(len(o))) for i, o in zip(found, outlines, strict=True))
        self.inner[cell] = _Region(mesh, outlines, found, labels, rough=True)
        order = find_order(seams, mesh.twin.tolist(), found)
        self.cost_of[cell] = order.cost, order.bound
        return order.root
