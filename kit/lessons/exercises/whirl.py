"""A whirl: four rectangles around a square, sewn in any order by the rehearsal, to see where it stops."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kit.errors import KitError
from kit.geometry.outlines import Outline
from kit.lengths import Length, take_length
from kit.lessons.exercises.exercise import TERMS, Terms
from kit.lessons.exercises.lesson_shapes import make_cut_list, ring_whirl
from kit.model.cutting import CutList
from kit.model.patchwork import Patchwork
from kit.model.sewing import Edge, SewingPlan, SewnUnit, Step
from kit.rehearsal.rehearse import rehearse

PLACES = ("below", "right", "above", "left")
CENTRE = "centre"


@dataclass(frozen=True, slots=True)
class WhirlTrial:
    """The progress of a trial.

    Attributes
    ----------
    sewn
        Places of the sewn rectangles.
    stopped
        The place of the stop, or None.
    waiting
        Whether a partial seam waits to be finished.
    done
        Whether all four are on and every seam is sewn.
    said
        Sentences, with the words of the rehearsal at a stop.
    outlines
        Place -> finished outline, with the centre.
    """

    sewn: tuple[str, ...]
    stopped: str | None
    waiting: bool
    done: bool
    said: str
    outlines: dict[str, Outline]


def sew_whirl(
    order: Sequence[str],
    *,
    partly: bool = False,
    centre: Length = 4.0,
    width: Length = 3.0,
    terms: Terms = TERMS["inch"],
) -> WhirlTrial:
    """Sew rectangles around a square in an order, each with one straight seam, and see where it stops.

    Write a step for each rectangle: it is laid along everything that it touches so far. Let the
    rehearsal follow the steps; it stops at the first impossible step.

    Parameters
    ----------
    order
        Some of "below", "right", "above", "left", each at most once.
    partly
        Whether to sew the first seam only for the outer half of the centre's side, and finish it last.
    centre, width
        Finished side of the square and finished width of the rectangles, inches or texts with their unit.
    terms
        Allowance.

    Raises
    ------
    KitError
        An unknown place, or a place named twice.

    Examples
    --------
    >>> sew_whirl(PLACES).stopped, sew_whirl(PLACES, partly=True).done
    ('left', True)
    """
    unknown = [place for place in order if place not in PLACES]
    if unknown or len(set(order)) < len(order):
        raise KitError(
            f"The order is {', '.join(order)}", needed="each place once, of below, right, above, left", do="correct it"
        )
    table = _Table(take_length(centre, "centre"), take_length(width, "width"), terms, partly=partly)
    sewn: list[str] = []
    for place in order:
        trouble = table.sew(sewn, place)
        if trouble:
            return table.report(sewn, place, trouble)
        sewn.append(place)
    return table.report(sewn, None, "")


class _Table:
    """The pieces, and the steps so far."""

    def __init__(self, centre: float, width: float, terms: Terms, *, partly: bool) -> None:
        self.patchwork, self.cuts = make_cut_list(ring_whirl(centre, width), terms)
        self.partly, self.centre = partly, centre
        self.patch = dict(zip((CENTRE, *PLACES), (patch.id for patch in self.patchwork.patches), strict=True))
        self.steps: list[Step] = []

    def sew(self, sewn: Sequence[str], place: str) -> str:
        """Add a rectangle; return the objection of the rehearsal, or nothing."""
        on = [self.patch[CENTRE], *(self.patch[other] for other in sewn)]
        piece = self.patch[place]
        loose = self.steps[0].along_second if self.steps and self.partly else ()
        a, b, length, offset = _find_run(self.patchwork, self.cuts, on, [piece], without=loose)
        begin, end = max(0.0, offset), min(length, offset + _measure_run(self.cuts, b, self.patchwork.allowance))
        kind = "partial" if self.partly and not sewn else "join"
        stretch = (begin + (end - begin) / 2, end) if kind == "partial" else (begin, end)
        step = Step(len(self.steps) + 1, "top", kind, tuple(on), (piece,), a, b, offset, stretch)  # type: ignore[arg-type]  # one of two words
        said = self._try([*self.steps, step])
        if not said:
            self.steps.append(step)
        return said

    def finish(self) -> str:
        """Finish the partial seam; return the objection of the rehearsal, or nothing."""
        first = self.steps[0]
        every = list(self.patch.values())
        below = first.second[0]
        others = [patch for patch in every if patch != below]
        a, b, length, offset = _find_run(self.patchwork, self.cuts, others, [below], along=first.along_second)
        stretch = (0.0, length - (first.sewn[1] - first.sewn[0]))
        step = Step(len(self.steps) + 1, "top", "close", tuple(every), (), a, b, offset, stretch)
        return self._try([*self.steps, step], whole=True)

    def _try(self, steps: Sequence[Step], *, whole: bool = False) -> str:
        target = tuple((patch.id, patch.outline) for patch in self.patchwork.patches)
        left, bottom, right, top = self.patchwork.box
        a = 2 * self.patchwork.allowance
        parts = tuple((piece.id, piece.count) for piece in self.cuts.pieces)
        unit = SewnUnit("top", (tuple(self.patch.values()),), parts, (right - left + a, top - bottom + a))
        partial = sum(step.kind == "partial" for step in steps)
        plan = SewingPlan(tuple(steps), (unit,), partial, 0, partial, 0, target)
        found = rehearse(self.cuts, plan)
        if whole:
            return "" if found.agrees else found.differences[0]
        last = f"Step {steps[-1].number} (top) cannot be done"
        return next((said for said in found.differences if said.startswith(last)), "")

    def report(self, sewn: Sequence[str], stopped: str | None, trouble: str) -> WhirlTrial:
        outlines = {place: self.patchwork.by_id[patch].outline for place, patch in self.patch.items()}
        waiting = self.partly and bool(self.steps)
        done = False
        for place, patch in self.patch.items():
            trouble = trouble.replace(f"`{patch}`", f"“{place}”")
        if stopped is not None:
            corner = "would have to be sewn along two sides at once, around a corner"
            why = corner if "straight line" in trouble else "cannot be sewn on"
            said = f"The rectangle {_say(stopped)} {why}. The rehearsal says: {trouble}."
        elif len(sewn) == len(PLACES):
            trouble = self.finish() if waiting else ""
            done, waiting = not trouble, False
            ended = "All four are on; the partial seam is finished, and the top agrees."
            said = f"{trouble}." if trouble else ended
        elif not sewn:
            said = "Nothing is sewn yet. Choose the rectangle to sew on first."
        else:
            said = f"{len(sewn)} of 4 on{', and the first seam is half sewn' if waiting else ''}."
        return WhirlTrial(tuple(sewn), stopped, waiting, done, said, outlines)


def _say(place: str) -> str:
    return {"below": "below", "above": "above", "left": "at the left", "right": "at the right"}[place]


def _find_run(
    patchwork: Patchwork,
    cuts: CutList,
    first: Sequence[str],
    second: Sequence[str],
    *,
    without: Sequence[Edge] = (),
    along: Sequence[Edge] = (),
) -> tuple[tuple[Edge, ...], tuple[Edge, ...], float, float]:
    """Return the edges on each side of the common line of two groups of patches, the first run's length and the offset.

    Edges of the first group in `without` are left out; with `along`, only those edges of the second count.
    """
    mesh = patchwork.mesh
    number = {patch.id: i for i, patch in enumerate(patchwork.patches)}
    ours, theirs = {number[p] for p in first}, {number[p] for p in second}

    def find(side: int) -> Edge:
        return _find_edge(cuts, patchwork.patches[int(mesh.face[side])].id, int(mesh.edge[side]))

    sides = [
        s
        for s in np.flatnonzero(mesh.twin >= 0).tolist()
        if int(mesh.face[s]) in ours and int(mesh.face[mesh.twin[s]]) in theirs
    ]
    sides = [s for s in sides if find(s) not in without and (not along or find(int(mesh.twin[s])) in along)]
    run = mesh.nodes[mesh.end[sides[0]]] - mesh.nodes[mesh.start[sides[0]]]
    run /= float(np.hypot(*run))
    sides.sort(key=lambda s: float(mesh.nodes[mesh.start[s]] @ run))

    def name(indices: Sequence[int]) -> tuple[Edge, ...]:
        return tuple(dict.fromkeys(find(s) for s in indices))

    def reach(indices: Sequence[int]) -> tuple[float, float]:
        corners = [
            patchwork.patches[int(mesh.face[s])].outline[(int(mesh.edge[s]) + k) % 4] @ run
            for s in indices
            for k in (0, 1)
        ]
        return min(corners), max(corners)

    twins = [int(mesh.twin[s]) for s in sides]
    ours_reach, theirs_reach = reach(sides), reach(twins)
    return name(sides), name(twins), ours_reach[1] - ours_reach[0], theirs_reach[0] - ours_reach[0]


def _find_edge(cuts: CutList, patch: str, edge: int) -> Edge:
    piece = cuts.piece_of[patch]
    turn = piece.turns[piece.patches.index(patch)]
    return Edge(patch, (edge - turn) % len(piece.outline))


def _measure_run(cuts: CutList, edges: Sequence[Edge], allowance: float) -> float:
    """Return the finished length of edges of rectangles in one line."""
    total = 0.0
    for edge in edges:
        outline = cuts.piece_of[edge.patch].outline
        (x0, y0), (x1, y1) = outline[edge.edge], outline[(edge.edge + 1) % len(outline)]
        total += float(np.hypot(x1 - x0, y1 - y0)) - 2 * allowance
    return total
