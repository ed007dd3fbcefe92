"""The stitching of a plan on the design: the sides of the mesh sewn by each step, in every copy."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.geometry.mesh import Mesh
from kit.geometry.outlines import TOLERANCE
from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan, Step
from kit.planning.pieces.cut_list import cut_list

STRAIGHT = 1e-3
"""Sine of the largest angle between two sides in one line."""


@dataclass(frozen=True, slots=True)
class SeamPlace:
    """One seam in one copy of its unit.

    Attributes
    ----------
    step, copy
        The step, and the copy counted from 0.
    sides
        Sides of the mesh, with the first part on their left.
    follows
        For a closing, the step that began the seam, otherwise 0.
    """

    step: int
    copy: int
    sides: tuple[int, ...]
    follows: int = 0


@dataclass(frozen=True, slots=True)
class Crossing:
    """Two seams in one line that meet across a third.

    Attributes
    ----------
    node
        The junction.
    first, second
        (step, copy) of each.
    unlike
        Whether they nest if one is pressed to its first part and the other to its second; otherwise they nest if
        both are pressed to the part of the same rank.
    """

    node: int
    first: tuple[int, int]
    second: tuple[int, int]
    unlike: bool


def place_seams(patchwork: Patchwork, plan: SewingPlan) -> list[SeamPlace]:
    """Return every seam of a plan, in the order of sewing, with its sides.

    Two patches that meet along two lines (around an inner corner) have one step for each line; the named edges, then
    the lengths, tell the lines apart, and they are taken in turn.
    """
    turns = {
        patch: turn
        for piece in cut_list(patchwork).pieces
        for patch, turn in zip(piece.patches, piece.turns, strict=True)
    }
    mesh = patchwork.mesh
    ids = [patch.id for patch in patchwork.patches]
    twin, face = mesh.twin.tolist(), mesh.face.tolist()
    between: dict[tuple[str, str], list[int]] = defaultdict(list)
    for side, other in enumerate(twin):
        if other >= 0:
            between[ids[face[side]], ids[face[other]]].append(side)
    places = []
    begun: dict[tuple[int, int], int] = {}
    used: dict[int, int] = {}
    spots = {unit.name: [dict(zip(unit.copies[0], copy, strict=True)) for copy in unit.copies] for unit in plan.units}
    for step in plan.steps:
        if step.kind == "trim":
            continue
        for k, spot in enumerate(spots[step.unit]):
            sides = _pick_line(mesh, step, spot, between, used, turns)
            follows = 0
            for side in sides:
                low = min(side, twin[side])
                if step.kind == "partial":
                    begun[low, k] = step.number
                elif step.kind == "close":
                    follows = begun.get((low, k), follows)
                used[low] = step.number
            places.append(SeamPlace(step.number, k, tuple(sides), follows))
    return places


def _pick_line(
    mesh: Mesh,
    step: Step,
    spot: Mapping[str, str],
    between: Mapping[tuple[str, str], Sequence[int]],
    used: Mapping[int, int],
    turns: Mapping[str, int],
) -> list[int]:
    """Return the sides between the patches along a step that lie in its line."""
    ours = dict.fromkeys(spot[edge.patch] for edge in step.along_first)
    theirs = dict.fromkeys(spot[edge.patch] for edge in step.along_second)
    sides = [side for p in ours for q in theirs for side in between.get((p, q), ())]
    if len(sides) < 2:
        return sides
    lines: list[list[int]] = []
    for side in sides:
        for line in lines:
            if _in_line(mesh, line[0], side):
                line.append(side)
                break
        else:
            lines.append([side])
    if len(lines) == 1:
        return lines[0]
    wanted = step.sewn[1] - step.sewn[0]

    def rate(line: Sequence[int]) -> tuple[int, bool, float]:
        named = 0
        for edge, side in ((step.along_first[0], line[0]), (step.along_second[0], int(mesh.twin[line[0]]))):
            count = len(mesh.corners[int(mesh.face[side])])
            named += (edge.edge + turns[edge.patch]) % count != mesh.edge[side]
        taken = step.kind != "close" and any(min(s, int(mesh.twin[s])) in used for s in line)
        return named, taken, abs(float(mesh.lengths[list(line)].sum()) - wanted)

    return min(lines, key=rate)


def _in_line(mesh: Mesh, a: int, b: int) -> bool:
    """Return True if two sides lie in one line and run the same way."""
    nodes = mesh.nodes
    (ax, ay), (bx, by) = nodes[mesh.start[a]], nodes[mesh.end[a]]
    dx, dy = (bx - ax) / mesh.lengths[a], (by - ay) / mesh.lengths[a]
    (px, py), (qx, qy) = nodes[mesh.start[b]], nodes[mesh.end[b]]
    off = max(abs((x - ax) * dy - (y - ay) * dx) for x, y in ((px, py), (qx, qy)))
    return bool(off < 20 * TOLERANCE and (qx - px) * dx + (qy - py) * dy > 0)


def list_rays(
    patchwork: Patchwork, places: Sequence[SeamPlace]
) -> dict[int, list[tuple[complex, tuple[int, int], bool]]]:
    """Return for each inner junction its seams: direction away, (step, copy), and whether it is sewn away from there.

    A side shared by a partial seam and its closing counts for the first of them; both are pressed alike.
    """
    mesh = patchwork.mesh
    nodes = [complex(x, y) for x, y in mesh.nodes.tolist()]
    start, end, twin = mesh.start.tolist(), mesh.end.tolist(), mesh.twin.tolist()
    outside = {node for side, other in enumerate(twin) if other < 0 for node in (start[side], end[side])}
    rays: dict[int, dict[int, tuple[complex, tuple[int, int], bool]]] = defaultdict(dict)
    for place in places:
        key = place.step, place.copy
        for side in place.sides:
            a, b = start[side], end[side]
            run = (nodes[b] - nodes[a]) / abs(nodes[b] - nodes[a])
            low = min(side, twin[side])
            for node, away, onward in ((a, run, True), (b, -run, False)):
                if node not in outside and low not in rays[node]:
                    rays[node][low] = (away, key, onward)
    return {node: list(found.values()) for node, found in rays.items()}


def find_crossings(patchwork: Patchwork, places: Sequence[SeamPlace]) -> list[Crossing]:
    """Return the places where two seams in one line meet across a later third seam."""
    follows = {(place.step, place.copy): (place.follows or place.step, place.copy) for place in places}
    crossings = []
    for node, rays in sorted(list_rays(patchwork, places).items()):
        last = max(key[0] for _, key, _ in rays)
        for i, (run, key, onward) in enumerate(rays):
            for other, key2, onward2 in rays[:i]:
                if abs(run + other) < STRAIGHT and key[0] != last and follows[key] != follows[key2]:
                    crossings.append(Crossing(node, key2, key, unlike=onward != onward2))
    return crossings
