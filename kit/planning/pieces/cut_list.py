"""Cut list: every patch grown by the allowance, equal patches counted together, and the shape named.

The cut outline is the (sewn) patch with every edge moved out by the allowance and neighbouring edges mitred. The
name and the measures are then read off that outline; no table of amounts is used.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from kit.geometry.congruence import ANGLE_TOLERANCE, Likeness, compare_outlines
from kit.geometry.outlines import (
    Outline,
    measure_angles,
    measure_area,
    measure_box,
    measure_directions,
    move_outline,
    offset_outline,
    turn_outline,
)
from kit.lengths import Length, round_up, take_length
from kit.model.cutting import CutList, Piece
from kit.model.patchwork import Patch, Patchwork
from kit.planning.pieces.shape_names import find_strip_grain, is_square_to, name_shape


def cut_list(patchwork: Patchwork, step: Length = 0.125) -> CutList:
    """List the pieces of a patchwork.

    Grow each patch by the allowance; sort the patches into pieces of the same cut shape, hand, grain and slot; name
    each shape and read its measures.

    Parameters
    ----------
    patchwork
        A verified patchwork.
    step
        What cut sizes are rounded up to, inches or a text with its unit.

    Returns
    -------
    CutList
        Exact and rounded cut sizes in inches, slot by slot, the largest pieces first.

    Notes
    -----
    O(n log n); about 40 ms for 3,000 patches of few shapes.

    Examples
    --------
    >>> from kit.model.patchwork import patchwork_from_outlines
    >>> half = [[(0, 0), (4, 0), (0, 4)], [(4, 0), (4, 4), (0, 4)]]
    >>> piece = cut_list(patchwork_from_outlines(half)).pieces[0]
    >>> piece.kind, piece.count, round(piece.cut["square"], 4), piece.rounded["square"]
    ('half-square triangle', 2, 4.8536, 4.875)
    """
    step, patches = take_length(step, "step", zero_allowed=False), patchwork.patches
    likes = _face_outside(patchwork, compare_outlines([patch.sewn or patch.outline for patch in patches]))
    likes, grains = _lay_on_grain(patches, likes)
    outside = _count_outside_bias(patchwork, likes, grains)
    groups: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for i, (patch, like) in enumerate(zip(patches, likes, strict=True)):
        groups[like.shape, patch.slot, patch.name, round(grains[i] * 100) % 9000].append(i)
    drafts = [
        _make_piece([patches[i] for i in found], [likes[i] for i in found], grains[found[0]], patchwork.allowance, step)
        for found in groups.values()
    ]
    pieces = [replace(draft, outside_bias=sum(outside.get(patch, 0) for patch in draft.patches)) for draft in drafts]
    return CutList(tuple(_name_pieces(pieces, patchwork.slots)), patchwork.allowance, step)


def _face_outside(patchwork: Patchwork, likes: Sequence[Likeness]) -> list[Likeness]:
    """Start shapes that repeat when turned (60° triangles, diamonds) at an edge on the outside, if there is one.

    Their strip edge, on the straight grain, is then on the outside of the top. If the grain is the same either way
    (squares, rectangles), the patch keeps its first edge: copies of a unit then lie alike.
    """
    mesh = patchwork.mesh
    faced = list(likes)
    for side in np.flatnonzero(mesh.twin < 0).tolist():
        face, edge = int(mesh.face[side]), int(mesh.edge[side])
        like = likes[face]
        n = len(patchwork.patches[face].outline)
        if patchwork.patches[face].sewn is not None or like.period == n or (edge - like.first) % like.period:
            continue
        directions = measure_directions(patchwork.patches[face].outline)
        if (directions[edge] - directions[like.first] + 1e-3) % 90 > 2e-3:
            faced[face] = replace(like, first=edge)
    return faced


def _lay_on_grain(patches: Sequence[Patch], likes: Sequence[Likeness]) -> tuple[list[Likeness], list[float]]:
    """Return for each patch its first edge and the direction of the straight grain in degrees from that edge.

    Shapes cut from strips have a strip edge on the grain, in any turn in the top. For others (right triangles with
    equal legs, templates) the patch's own grain decides; if such a shape repeats when turned, the first edge is
    chosen so that equal patches come out alike.
    """
    own: dict[int, float | None] = {}
    laid, grains = [], []
    for patch, found in zip(patches, likes, strict=True):
        like, outline = found, patch.sewn or patch.outline
        if like.shape not in own:
            own[like.shape] = find_strip_grain(outline[like.first :] + outline[: like.first])
        grain = own[like.shape]
        if grain is None:
            grain, first = min(
                (_angle_to_grain(patch, outline, start), start)
                for start in ((like.first + k) % len(outline) for k in range(0, len(outline), like.period))
            )
            like = replace(like, first=first)
        laid.append(like)
        grains.append(grain)
    return laid, grains


def _angle_to_grain(patch: Patch, outline: Outline, first: int) -> float:
    """Return the angle from an edge to the patch's straight grain, 0 to 90 degrees, without the last digits' noise."""
    (x0, y0), (x1, y1) = outline[first], outline[(first + 1) % len(outline)]
    angle = patch.grain - float(np.degrees(np.arctan2(y1 - y0, x1 - x0)))
    return round(angle, 3) % 90


def _make_piece(
    patches: Sequence[Patch], likes: Sequence[Likeness], grain: float, allowance: float, step: float
) -> Piece:
    patch, like = patches[0], likes[0]
    shape = patch.sewn or patch.outline
    ring = shape[like.first :] + shape[: like.first]
    finished = _lay_flat(ring)
    cut = _lay_flat(offset_outline(ring, allowance))
    kind, sizes = name_shape(cut, grain)
    bias = tuple(not is_square_to(direction - grain) for direction in measure_directions(cut))
    return Piece(
        id="",
        kind=kind,
        name=patch.name,
        count=len(patches),
        hand=like.hand,
        slot=patch.slot,
        cut=sizes,
        rounded={name: round_up(size, step) for name, size in sizes.items()},
        finished=name_shape(finished, grain)[1],
        outline=cut,
        angles=tuple(measure_angles(cut)),
        bias=bias,
        outside_bias=0,
        patches=tuple(patch.id for patch in patches),
        turns=tuple(like.first for like in likes),
        headings=tuple(
            round(measure_directions(patch.sewn or patch.outline)[like.first], 3) % 360
            for patch, like in zip(patches, likes, strict=True)
        ),
    )


def _lay_flat(outline: Outline) -> Outline:
    """Turn the outline so that its first edge lies at the bottom, and move its box to the origin."""
    flat = turn_outline(outline, -measure_directions(outline)[0])
    left, bottom, _, _ = measure_box(flat)
    return move_outline(flat, -left, -bottom)


def _name_pieces(pieces: Sequence[Piece], slots: Sequence[str]) -> list[Piece]:
    """Sort the pieces by slot and size, and give each a letter for its slot and a number."""
    named: list[Piece] = []
    for k, slot in enumerate(slots):
        letter = chr(65 + k) if k < 26 else f"{chr(64 + k // 26)}{chr(65 + k % 26)}"
        mine = [piece for piece in pieces if piece.slot == slot]
        mine.sort(key=lambda piece: (-round(measure_area(piece.outline), 4), piece.kind, piece.hand or "", piece.name))
        named.extend(replace(piece, id=f"{letter}{i}") for i, piece in enumerate(mine, start=1))
    return named


def _count_outside_bias(patchwork: Patchwork, likes: Sequence[Likeness], grains: Sequence[float]) -> dict[str, int]:
    """Count the edges of each patch on the outside of the top that run off its straight grain."""
    mesh = patchwork.mesh
    outer = np.flatnonzero(mesh.twin < 0)
    run = mesh.nodes[mesh.end[outer]] - mesh.nodes[mesh.start[outer]]
    direction = np.degrees(np.arctan2(run[:, 1], run[:, 0]))
    faces = mesh.face[outer].tolist()
    straight = {face: _find_grain(patchwork.patches[face], likes[face], grains[face]) for face in set(faces)}
    off = direction - np.array([straight[face] for face in faces])
    bias = np.abs((off + 45) % 90 - 45) > ANGLE_TOLERANCE * 4
    found = np.unique(np.column_stack([mesh.face[outer], mesh.edge[outer]])[bias], axis=0)
    counts: dict[str, int] = defaultdict(int)
    for face in found[:, 0].tolist():
        counts[patchwork.patches[face].id] += 1
    return counts


def _find_grain(patch: Patch, like: Likeness, grain: float) -> float:
    """Return the direction of the straight grain of a patch in the top, in degrees from x."""
    return measure_directions(patch.sewn or patch.outline)[like.first] + grain


def divide_by_fabric(cuts: CutList, assignment: Mapping[str, str]) -> CutList:
    """Return the cut list with one line per fabric: each piece divided by the fabrics of its patches.

    Parameters
    ----------
    cuts
        A cut list by slot.
    assignment
        Patch id -> fabric name, for every patch.
    """
    divided: list[Piece] = []
    for piece in cuts.pieces:
        by_fabric: dict[str, list[int]] = defaultdict(list)
        for i, patch in enumerate(piece.patches):
            by_fabric[assignment[patch]].append(i)
        for fabric, found in sorted(by_fabric.items()):
            divided.append(
                replace(
                    piece,
                    count=len(found),
                    patches=tuple(piece.patches[i] for i in found),
                    turns=tuple(piece.turns[i] for i in found),
                    headings=tuple(piece.headings[i] for i in found),
                    fabric=fabric,
                )
            )
    return replace(cuts, pieces=tuple(divided))
