"""The rehearsal by human hands: the effect of small errors in seams and cuts on the finished size."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.errors import KitError
from kit.geometry.mesh import Mesh, build_mesh
from kit.geometry.outlines import TOLERANCE, measure_box
from kit.lengths import Length, take_length, take_lengths
from kit.model.cutting import CutList
from kit.model.hand import HandRehearsal, Meeting
from kit.model.notices import notice
from kit.model.sewing import SewingPlan, Step
from kit.progress import Progress, keep_quiet, report

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LINES = 60
"""The number of lines measured across the top in each direction."""
CHUNK = 100
"""Rehearsals computed at a time, between two reports of progress."""


def rehearse_by_hand(  # noqa: PLR0913  each is a quantity of its own, named at the call
    cut_list: CutList,
    plan: SewingPlan,
    trials: int = 1000,
    seed: int = 0,
    *,
    seam_bias: Length = 0.0,
    seam_spread: Length = 1 / 64,
    cut_spread: Length = 1 / 64,
    fold: Length = 0.0,
    limit: Length = 0.125,
    progress: Progress = keep_quiet,
) -> HandRehearsal:
    """Rehearse a plan many times with seams and cuts that are a little off.

    Each seam, from end to end, has one error: the bias and a normal deviate. It takes twice that, and the fold, from
    every line across it, more where the line crosses at a slant. Each cut edge has its own error. A trimmed part
    forgets the errors inside it. Widths and heights are added up along lines across the top and averaged; for
    each join the errors that end in its two edges are added up and compared.

    Parameters
    ----------
    cut_list, plan
        As for `rehearse`.
    trials, seed
        The number of rehearsals, and the start of their random errors.
    seam_bias
        Average error of a seam in inches, positive if too deep; negative if too shallow.
    seam_spread, cut_spread
        Standard deviations of the depth of a seam, and of the place of a cut edge, inches.
    fold
        Inches lost in the fold of a pressed seam.
    limit
        Inches of mismatch that can be eased in.
    progress
        Told the number of rehearsals done and the number wanted; a stop leaves no result.

    Raises
    ------
    KitError
        Fewer than one rehearsal, a negative spread, or a plan with patches that are not cut.

    Notes
    -----
    First order: errors are small beside the patches, they add up and nothing else moves. A seam is off by the same
    amount along its whole length, including all legs of a set-in seam. An edge that is too long is eased in and does
    not tilt its neighbour. Stretch, and the maker's corrections on the way, are left out. Pieces from one strip do
    not share an error. A thousand rehearsals of 1,000 patches take about a second.
    """
    seam_bias = take_length(seam_bias, "seam bias", signed=True)
    seam_spread, cut_spread = take_length(seam_spread, "seam spread"), take_length(cut_spread, "cut spread")
    fold, limit = take_length(fold, "fold"), take_length(limit, "limit")
    _check_input(cut_list, plan, trials, min(seam_spread, cut_spread))
    names = [patch for patch, _ in plan.target]
    mesh = build_mesh([outline for _, outline in plan.target])
    seam, count = _number_seams(plan, names, mesh)
    across = _measure_lines(mesh, 1)
    upward = _measure_lines(mesh, 0)
    meetings = list(_find_meetings(plan, names, mesh, seam))
    first = _Errors.collect(mesh, seam, count, [m.first for m in meetings])
    second = _Errors.collect(mesh, seam, count, [m.second for m in meetings])
    wide, high = _Errors.collect(mesh, seam, count, across), _Errors.collect(mesh, seam, count, upward)
    chance = np.random.default_rng(seed)
    edges = len(mesh.start)
    widths, heights, misses = [], [], []
    left, bottom, right, top = measure_box(point for _, outline in plan.target for point in outline)
    for done in range(0, trials, CHUNK):
        size = min(CHUNK, trials - done)
        depth = chance.normal(seam_bias, seam_spread, (size, count))
        loss = 2 * depth + fold
        slip = chance.normal(0.0, cut_spread, (size, edges))
        widths.append(right - left - wide.add_up(loss, slip).mean(axis=1))
        heights.append(top - bottom - high.add_up(loss, slip).mean(axis=1))
        misses.append(first.add_up(loss, slip) - second.add_up(loss, slip))
        report(progress, "rehearsals", done + size, trials)
    mean = np.full((1, count), 2 * seam_bias + fold)
    still = np.zeros((1, edges))
    short = np.column_stack([first.add_up(mean, still)[0], second.add_up(mean, still)[0]])
    return HandRehearsal(
        design=(right - left, top - bottom),
        width=tuple(np.concatenate(widths).tolist()),
        height=tuple(np.concatenate(heights).tolist()),
        meetings=_rank(meetings, short, np.concatenate(misses), limit),
        limit=limit,
        assumptions=(
            notice("seams-too-deep", bias=seam_bias, spread=seam_spread),
            notice("cuts-off", spread=cut_spread, fold=fold),
            notice("eased-in", limit=limit),
        ),
    )


def find_allowance(cut: Sequence[Length], measured: Length) -> float:
    """Return the seam allowance actually sewn, from strips of known cut width and the set's measured width.

    Parameters
    ----------
    cut
        Cut width of each strip, inches or a text with its unit.
    measured
        Width of the sewn and pressed set from raw edge to raw edge, likewise.

    Raises
    ------
    KitError
        Fewer than two strips.

    Examples
    --------
    >>> round(find_allowance([1.5, 1.5, 1.5, 1.5], 4.375), 4)
    0.2708
    """
    if len(cut) < 2:
        raise KitError("There is no seam in a set of fewer than two strips", needed="two strips", do="sew a second one")
    return (sum(take_lengths(cut, "strip")) - take_length(measured, "measured width")) / (2 * (len(cut) - 1))


def _check_input(cut_list: CutList, plan: SewingPlan, trials: int, spread: float) -> None:
    if trials < 1:
        raise KitError(f"The number of rehearsals is {trials}", needed="at least 1", do="use 1000")
    if spread < 0:
        raise KitError(f"A spread is {spread:g} in", needed="zero or more", do="use 1/64 in")
    missing = next((patch for patch, _ in plan.target if patch not in cut_list.piece_of), None)
    if missing is not None or not plan.target:
        raise KitError(
            f"The plan's patch `{missing}` is not cut",
            needed="a plan of this cut list",
            do="make both from one patchwork",
        )


@dataclass(frozen=True)
class _Crossing:
    """Sides of the mesh along one line, each with 1 / sin of its angle, and the outer sides at its ends."""

    sides: Ints
    weights: Floats


@dataclass(frozen=True)
class _Errors:
    """The loss of each of several lines in each seam and each cut edge."""

    by_seam: Floats
    by_edge: Floats

    @classmethod
    def collect(cls, mesh: Mesh, seam: Ints, count: int, lines: Sequence[_Crossing]) -> "_Errors":
        by_seam, by_edge = np.zeros((len(lines), count)), np.zeros((len(lines), len(mesh.start)))
        leader = _find_leaders(mesh)
        for k, line in enumerate(lines):
            inner = mesh.twin[line.sides] >= 0
            number = seam[line.sides]
            np.add.at(by_seam[k], number[inner & (number >= 0)], line.weights[inner & (number >= 0)])
            counts = ~inner | (number >= 0)
            np.add.at(by_edge[k], leader[line.sides[counts]], -line.weights[counts])
            both = inner & counts
            np.add.at(by_edge[k], leader[mesh.twin[line.sides[both]]], -line.weights[both])
        return cls(by_seam, by_edge)

    def add_up(self, loss: Floats, slip: Floats) -> Floats:
        """Return (trials, lines) inches by which each line is short."""
        return np.asarray(loss @ self.by_seam.T + slip @ self.by_edge.T, dtype=np.float64)


def _find_leaders(mesh: Mesh) -> Ints:
    """Return for each side the first side of the same edge of the same patch: one cut made both."""
    key = mesh.face * (int(mesh.edge.max()) + 1) + mesh.edge
    _, first, inverse = np.unique(key, return_index=True, return_inverse=True)
    return np.asarray(first[inverse], dtype=np.int64)


def _measure_lines(mesh: Mesh, axis: int) -> list[_Crossing]:
    """Return the crossings of lines spread evenly over the bands between corners; axis 1 holds level lines."""
    levels = np.unique(np.round(mesh.nodes[:, axis], 4))
    middles = (levels[1:] + levels[:-1]) / 2
    bands = middles[np.diff(levels) > 4 * TOLERANCE]
    chosen = bands[np.unique(np.linspace(0, len(bands) - 1, min(LINES, len(bands))).round().astype(int))]
    a, b = mesh.nodes[mesh.start], mesh.nodes[mesh.end]
    once = (mesh.twin < 0) | (np.arange(len(mesh.start)) < mesh.twin)
    low, high = np.minimum(a[:, axis], b[:, axis]), np.maximum(a[:, axis], b[:, axis])
    weights = mesh.lengths / np.maximum(high - low, TOLERANCE)
    lines = []
    for level in chosen.tolist():
        sides = np.flatnonzero(once & (low < level) & (level < high))
        lines.append(_Crossing(sides, weights[sides]))
    return lines


def _spell_out(plan: SewingPlan) -> Iterator[tuple[Step, bool, tuple[str, ...], tuple[str, ...]]]:
    """Yield each step for every copy of its unit, with a mark for the first copy, and its named patches."""
    units = {unit.name: unit for unit in plan.units}
    for step in plan.steps:
        yield step, True, step.first, step.second
        unit = units[step.unit]
        place = {patch: i for i, patch in enumerate(unit.copies[0])}
        first, second = [place[p] for p in step.first], [place[p] for p in step.second]
        for copy in unit.copies[1:]:
            yield step, False, tuple(copy[i] for i in first), tuple(copy[i] for i in second)


def _number_seams(plan: SewingPlan, names: Sequence[str], mesh: Mesh) -> tuple[Ints, int]:
    """Return the number of the seam of each side, -1 on the outside and within trimmed parts."""
    index = {name: i for i, name in enumerate(names)}
    touching: dict[int, list[int]] = defaultdict(list)
    for side in np.flatnonzero(mesh.twin >= 0).tolist():
        touching[int(mesh.face[side])].append(side)
    seam = np.full(len(mesh.start), -1, dtype=np.int64)
    part = np.arange(len(names))
    forgotten = np.zeros(len(mesh.start), dtype=bool)
    count = 0
    for step, _, first, second in _spell_out(plan):
        ours = np.array([index[p] for p in first])
        if step.kind == "trim":
            inside = np.zeros(len(names), dtype=bool)
            inside[ours] = True
            inner = mesh.twin >= 0
            forgotten[inner] |= inside[mesh.face[inner]] & inside[mesh.face[mesh.twin[inner]]]
        if not second:
            continue
        theirs = np.array([index[p] for p in second])
        label = int(part[ours[0]])
        for p in theirs.tolist():
            for side in touching[p]:
                if part[mesh.face[mesh.twin[side]]] == label and seam[side] < 0:
                    seam[side] = seam[mesh.twin[side]] = count
        part[theirs] = label
        count += 1
    seam[forgotten] = -1
    return seam, count


@dataclass(frozen=True)
class _Ends:
    """A join of the first copies, and the seams that end in its two edges."""

    step: Step
    first: _Crossing
    second: _Crossing


def _find_meetings(plan: SewingPlan, names: Sequence[str], mesh: Mesh, number: Ints) -> Iterator[_Ends]:
    index = {name: i for i, name in enumerate(names)}
    inner = np.flatnonzero(mesh.twin >= 0)
    once = inner[(inner < mesh.twin[inner]) & (number[inner] >= 0)]
    for step in plan.steps:
        if not step.second or len(step.along_first) + len(step.along_second) < 3:
            continue
        side = np.zeros(len(names), dtype=np.int64)
        side[[index[p] for p in step.first]] = 1
        side[[index[p] for p in step.second]] = 2
        seam = inner[(side[mesh.face[inner]] == 1) & (side[mesh.face[mesh.twin[inner]]] == 2)]
        if not len(seam):
            continue
        nodes, times = np.unique(np.concatenate([mesh.start[seam], mesh.end[seam]]), return_counts=True)
        within = nodes[times == 2]
        longest = seam[np.argmax(mesh.lengths[seam])]
        run = (mesh.nodes[mesh.end[longest]] - mesh.nodes[mesh.start[longest]]) / mesh.lengths[longest]
        ends = [_find_ending(mesh, once[side[mesh.face[once]] == k], side, k, within, run) for k in (1, 2)]
        if len(ends[0].sides) + len(ends[1].sides):
            yield _Ends(step, *ends)


def _find_ending(mesh: Mesh, sides: Ints, side: Ints, part: int, within: Ints, run: Floats) -> _Crossing:
    """Return the seams of one part that end at the given nodes on a line in the given direction."""
    sides = sides[side[mesh.face[mesh.twin[sides]]] == part]
    sides = sides[np.isin(mesh.start[sides], within) | np.isin(mesh.end[sides], within)]
    way = mesh.nodes[mesh.end[sides]] - mesh.nodes[mesh.start[sides]]
    sine = np.abs(way[:, 0] * run[1] - way[:, 1] * run[0]) / mesh.lengths[sides]
    return _Crossing(sides[sine > TOLERANCE], 1 / sine[sine > TOLERANCE])


def _rank(meetings: Sequence[_Ends], short: Floats, misses: Floats, limit: float) -> tuple[Meeting, ...]:
    """Return the joins with sides that will not meet, the worst first."""
    if not meetings:
        return ()
    worst = np.quantile(np.abs(misses), 0.95, axis=0)
    found = [
        Meeting(
            end.step.number,
            end.step.unit,
            (len(end.first.sides), len(end.second.sides)),
            (float(short[k, 0]), float(short[k, 1])),
            float(short[k, 0] - short[k, 1]),
            float(worst[k]),
        )
        for k, end in enumerate(meetings)
        if max(worst[k], abs(short[k, 0] - short[k, 1])) > limit
    ]
    return tuple(sorted(found, key=lambda meeting: (-meeting.worst, meeting.step)))
