"""Spun seams: the four seams of a four-patch turn the same way round its centre, which then lies flat.

The last seam of a four-patch goes to one side up to the centre and to the other side beyond it. All centres of a top
turn the same way, so that four-patches nest side by side, however they are turned.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from kit.geometry.joined_outline import trace_together
from kit.geometry.mesh import Mesh
from kit.geometry.outlines import measure_area, measure_edges
from kit.model.patchwork import Patchwork
from kit.model.pressing import Press, Spin
from kit.model.sewing import SewingPlan, Step
from kit.planning.pressing.crossings import STRAIGHT, Crossing, SeamPlace, list_rays
from kit.planning.pressing.seam_graph import CopySeam

SAME = 1e-4
"""Inches, or square inches: the greatest difference of parts of one size."""
Rays: TypeAlias = Sequence[tuple[complex, CopySeam, bool]]
"""The seams of a junction: direction away, seam, and whether it is sewn away from there."""
Makers: TypeAlias = tuple[CopySeam, CopySeam]
"""The seams that made the two halves of a four-patch."""


@dataclass(frozen=True)
class SpunCentres:
    """The four-patches of a top whose seams are spun.

    Attributes
    ----------
    mesh
        Of the finished top.
    spin
        The way round, as seen on the right side of the top.
    nodes
        The last seam of each four-patch -> the junction at its centre.
    along
        The same -> its direction of sewing.
    at
        Step of such a seam -> the place of the centre, inches from the beginning of its first run.
    presses
        Every seam at a centre -> its side, for the last seam that of its beginning.
    """

    mesh: Mesh
    spin: Spin
    nodes: Mapping[CopySeam, int]
    along: Mapping[CopySeam, complex]
    at: Mapping[int, float]
    presses: Mapping[CopySeam, Press]

    @property
    def unlike(self) -> frozenset[int]:
        """Steps with copies that are pressed in two ways."""
        ways: dict[int, set[Press]] = defaultdict(set)
        for (step, _), press in self.presses.items():
            ways[step].add(press)
        return frozenset(step for step, found in ways.items() if len(found) > 1)

    def is_beyond(self, seam: CopySeam, node: int) -> bool:
        """Return True if a junction lies beyond the centre of a spun seam, which goes to the other side there."""
        if seam not in self.nodes:
            return False
        (x, y), (cx, cy) = self.mesh.nodes[node].tolist(), self.mesh.nodes[self.nodes[seam]].tolist()
        return bool((complex(x - cx, y - cy) * self.along[seam].conjugate()).real > 0)

    def turn_crossings(self, crossings: Sequence[Crossing]) -> list[Crossing]:
        """Return the crossings, with what nests there said of the sides at the beginning of spun seams."""
        return [
            replace(one, unlike=not one.unlike)
            if self.is_beyond(one.first, one.node) != self.is_beyond(one.second, one.node)
            else one
            for one in crossings
        ]


def find_spun_centres(
    patchwork: Patchwork, plan: SewingPlan, places: Sequence[SeamPlace], darker: Mapping[CopySeam, Press]
) -> SpunCentres:
    """Find every four-patch of a plan, and press its seams round the centre.

    A four-patch is a unit whose last seam joins two parts that were both made of two, all four of one size, with four
    seams at the point where they meet. In the top as a whole the four must be single patches. They turn the way that
    presses more seams to the darker side, or else clockwise.

    Parameters
    ----------
    patchwork, plan
        The design and its sewing plan.
    places
        Where each seam lies.
    darker
        Seams with a clearly darker side, and which it is.

    Notes
    -----
    Near-linear.
    """
    rays = list_rays(patchwork, places)
    by_seam = {(place.step, place.copy): place for place in places}
    found: dict[CopySeam, tuple[int, Rays]] = {}
    spun: set[int] = set()
    for step, makers in _list_candidates(patchwork, plan):
        if spun.isdisjoint(number for made in makers.values() for number, _ in made):
            here = {
                (step.number, copy): _find_centre(rays, patchwork.mesh, by_seam[step.number, copy], made)
                for copy, made in makers.items()
            }
            if here and all(one is not None for one in here.values()):
                spun.add(step.number)
                found.update({seam: one for seam, one in here.items() if one is not None})
    turned: dict[CopySeam, Press] = {}  # clockwise: the allowances lie to the right of each seam, seen from the centre
    for last, (_, around) in found.items():
        for _, seam, onward in around:
            if seam != last or not onward:
                turned[seam] = "second" if onward else "first"
    back: dict[CopySeam, Press] = {seam: "second" if press == "first" else "first" for seam, press in turned.items()}
    clockwise = sum(darker.get(seam) == press for seam, press in turned.items())
    counter = sum(darker.get(seam) == press for seam, press in back.items())
    along = {
        last: next(run for run, seam, onward in around if seam == last and onward)
        for last, (_, around) in found.items()
    }
    return SpunCentres(
        patchwork.mesh,
        "counter-clockwise" if counter > clockwise else "clockwise",
        {last: node for last, (node, _) in found.items()},
        along,
        {
            step: _measure_place(patchwork.mesh, by_seam[step, copy], node, along[step, copy], plan.steps[step - 1])
            for (step, copy), (node, _) in found.items()
            if not copy
        },
        back if counter > clockwise else turned,
    )


def _list_candidates(patchwork: Patchwork, plan: SewingPlan) -> Iterator[tuple[Step, dict[int, Makers]]]:
    """Yield the last seam of each unit of four equal parts, and for each copy the two seams that made its halves."""
    steps: dict[str, list[Step]] = defaultdict(list)
    for step in plan.steps:
        steps[step.unit].append(step)
    made = {(min(copy), len(copy)): unit for unit in plan.units for copy in unit.copies}
    holders: dict[str, dict[str, int]] = {}
    for unit in plan.units:
        own = steps[unit.name]
        if not own or not _is_whole_seam(own[-1]):
            continue
        last, halves = own[-1], []
        for half in (own[-1].first, own[-1].second):
            inner = made.get((min(half), len(half)), unit)
            mine = own[:-1] if inner is unit else steps[inner.name][-1:]
            maker = next((step for step in reversed(mine) if len(step.first) + len(step.second) == len(half)), None)
            if maker is None or not _is_whole_seam(maker):
                break
            if inner is unit and {*maker.first, *maker.second} != set(half):
                break
            if inner.name not in holders:
                holders[inner.name] = {patch: copy for copy, found in enumerate(inner.copies) for patch in found}
            halves.append((maker, half[0], holders[inner.name]))
        quarters = [quarter for maker, _, _ in halves for quarter in (maker.first, maker.second)]
        whole = unit.name == plan.units[-1].name and max(map(len, quarters), default=0) > 1
        if len(halves) == 2 and not whole and _are_equal(patchwork, quarters):
            place = {patch: i for i, patch in enumerate(unit.copies[0])}
            (a, p, in_a), (b, q, in_b) = halves
            yield (
                last,
                {
                    k: ((a.number, in_a[copy[place[p]]]), (b.number, in_b[copy[place[q]]]))
                    for k, copy in enumerate(unit.copies)
                },
            )


def _is_whole_seam(step: Step) -> bool:
    return step.kind == "join" and bool(step.second) and not step.ragged


def _are_equal(patchwork: Patchwork, parts: Sequence[Sequence[str]]) -> bool:
    """Return True if parts of a top are of one size: equal in area and in the length of their outlines."""
    sizes = []
    for part in parts:
        shapes = [patchwork.by_id[patch].sewn or patchwork.by_id[patch].outline for patch in part]
        outline = shapes[0] if len(shapes) == 1 else trace_together(shapes)
        sizes.append((measure_area(outline), sum(measure_edges(outline))))
    return all(max(values) - min(values) < SAME for values in zip(*sizes, strict=True))


def _find_centre(rays: Mapping[int, Rays], mesh: Mesh, place: SeamPlace, makers: Makers) -> tuple[int, Rays] | None:
    """Return the junction of four seams within a seam where those that made its halves end, and its seams."""
    last = place.step, place.copy
    ends = {node for side in place.sides for node in (int(mesh.start[side]), int(mesh.end[side]))}
    for node in sorted(ends):
        around = rays.get(node, ())
        if sorted(seam for _, seam, _ in around) == sorted([last, last, *makers]) and _is_crossing(around, last):
            return node, around
    return None


def _is_crossing(around: Rays, last: CopySeam) -> bool:
    """Return True if the seams of a junction are two lines."""
    lines = [[run for run, seam, _ in around if (seam == last) == own] for own in (True, False)]
    return all(len(line) == 2 and abs(line[0] + line[1]) < STRAIGHT for line in lines)


def _measure_place(mesh: Mesh, place: SeamPlace, node: int, along: complex, step: Step) -> float:
    """Return the place of a junction along the first run of a seam, inches from its beginning."""
    ends = {int(end) for side in place.sides for end in (mesh.start[side], mesh.end[side])}
    steps = {end: (complex(*mesh.nodes[end].tolist()) * along.conjugate()).real for end in ends}
    return round(step.sewn[0] + steps[node] - min(steps.values()), 9)
