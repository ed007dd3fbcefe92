"""The result of the rehearsal, laid on the design and measured patch by patch."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from kit.geometry.mesh import Mesh, build_mesh, find_overlaps
from kit.geometry.outlines import TOLERANCE, Outline, measure_area, measure_box, offset_outline, tidy_outline
from kit.model.cutting import CutList
from kit.model.sewing import Rehearsal, SewingPlan
from kit.rehearsal.cut_cloth import REACH, CutPiece, as_points
from kit.rehearsal.sewn_parts import SewnParts

AGREED = 1e-6
"""Inches: the tolerance for every corner, if the design gives its corners exactly."""

MOST = 12
"""The number of patches named before the rest is only counted."""

Complex = NDArray[np.complex128]


def appraise(
    cut_list: CutList,
    plan: SewingPlan,
    parts: SewnParts,
    placed_by: Mapping[str, int],
    made_of: Mapping[str, Sequence[tuple[str, tuple[str, ...]]]],
    done: Mapping[str, Mapping[str, CutPiece]],
) -> Rehearsal:
    """Compare what is sewn with the design.

    The largest part is the top; the rest is left over. One move and turn lays the top on the design so that most
    patches are in their place. Then every corner is compared. The outlines must tile, every inner edge must be
    sewn, and the printed figures of units must equal the measured ones.

    Parameters
    ----------
    cut_list, plan
        As rehearsed.
    parts
        After the last step.
    placed_by
        Patch -> number of its step.
    made_of
        Unit -> the pieces and units of its first copy.
    done
        Unit -> the cloth of its first copy, patch by patch, when it was done; a later trim is not in it.
    """
    patches = [patch for piece in cut_list.pieces for patch in piece.patches]
    top = max((parts.find(patch)[0] for patch in patches), key=lambda root: len(parts.members(root)), default="")
    inside = parts.members(top)
    left_over = tuple(patch for patch in patches if patch not in inside)
    shapes = {patch: _place(parts, patch) for patch in patches if patch in inside}
    target = {patch: np.array(as_points(outline)) for patch, outline in plan.target}
    move = _lay_on_design(shapes, target)
    shapes = {patch: move[0] * shape + move[1] for patch, shape in shapes.items()}
    placed = {patch: tuple(zip(s.real.tolist(), s.imag.tolist(), strict=True)) for patch, s in shapes.items()}
    slack = _measure_slack(shapes, target)
    lying = {
        unit: [_lay(parts, patch, cloth, move) for patch, cloth in cloths.items()]
        for unit, cloths in done.items()
        if inside.issuperset(cloths)
    }
    scale = min(1.0, TOLERANCE / (2 * slack))  # drawn so small, corners lie within the tolerance of a mesh
    left, bottom, right, upper = measure_box(point for outline in placed.values() for point in outline)
    said = [
        *_say_left_over(left_over, cut_list),
        *_say_strangers(target, shapes),
        *_compare_patches(shapes, target, placed_by, slack),
        *_compare_size((right - left, upper - bottom), plan, slack),
        *_check_cover(placed, parts, placed_by, scale),
        *_check_units(plan, lying, cut_list.allowance, made_of, scale),
        *_check_counts(plan),
    ]
    return Rehearsal((right - left, upper - bottom), not said, tuple(said), placed, left_over)


def _place(parts: SewnParts, patch: str) -> Complex:
    _, z, w = parts.find(patch)
    return z * np.array(parts.cloth[patch].corners) + w


def _lay(parts: SewnParts, patch: str, cloth: CutPiece, move: tuple[complex, complex]) -> Outline:
    """Return an earlier outline of a patch where the patch lies in the top."""
    _, z, w = parts.find(patch)
    corners = move[0] * (z * np.array(cloth.corners) + w) + move[1]
    return tuple(zip(corners.real.tolist(), corners.imag.tolist(), strict=True))


def _stack(
    shapes: Mapping[str, Complex], target: Mapping[str, Complex]
) -> dict[int, tuple[list[str], Complex, Complex]]:
    """Return patches that can be compared by their number of corners, with the result and the design."""
    groups: dict[int, list[str]] = defaultdict(list)
    for patch, shape in shapes.items():
        if patch in target and len(shape) == len(target[patch]):
            groups[len(shape)].append(patch)
    return {
        n: (names, np.array([shapes[p] for p in names]), np.array([target[p] for p in names]))
        for n, names in groups.items()
    }


def _find_distances(out: Complex, meant: Complex) -> NDArray[np.float64]:
    """Return for each patch the distance of its worst corner from its place, whichever corner is counted first."""
    worst = [np.abs(np.roll(out, k, axis=1) - meant).max(axis=1) for k in range(out.shape[1])]
    return np.asarray(np.min(worst, axis=0), dtype=np.float64)


def _measure_slack(shapes: Mapping[str, Complex], target: Mapping[str, Complex]) -> float:
    """Return the tolerance for the place of corners.

    Equal pieces are cut alike, though the design may give their corners only to some decimals. The error of a single
    patch against its drawing adds up from seam to seam, so twenty times that error is allowed; a difference beyond
    rounded figures is not. The same holds for corners that lie within an edge of a neighbour, and a little off it.
    """
    worst, away = 0.0, 0.0
    for _, out, meant in _stack(shapes, target).values():
        away = max(away, float(_find_distances(out, meant).max()))
        a, b = out - out.mean(axis=1, keepdims=True), meant - meant.mean(axis=1, keepdims=True)
        far = []
        for k in range(out.shape[1]):
            turned = np.roll(a, k, axis=1)
            fit = (np.conj(turned) * b).sum(axis=1, keepdims=True)
            far.append(np.abs(turned * fit / np.maximum(np.abs(fit), TOLERANCE**2) - b).max(axis=1))
        own = np.min(far, axis=0)
        worst = max(worst, float(own[own <= REACH].max(initial=0.0)))
    if away > AGREED + 20 * worst:
        worst = max(worst, _measure_off_edges(list(target.values())))
    return AGREED + 20 * worst


def _measure_off_edges(outlines: Sequence[Complex]) -> float:
    """Return how far a corner of the design lies off the edge of a neighbour that it lies on, at most a tolerance."""
    mesh = build_mesh([tuple(zip(o.real.tolist(), o.imag.tolist(), strict=True)) for o in outlines])
    first = np.array([outlines[i][e] for i, e in zip(mesh.face.tolist(), mesh.edge.tolist(), strict=True)])
    run = np.array([np.roll(outlines[i], -1)[e] for i, e in zip(mesh.face.tolist(), mesh.edge.tolist(), strict=True)])
    at = mesh.nodes[mesh.start] @ np.array([1, 1j])
    off = np.abs(((at - first) * np.conj(run - first)).imag) / np.abs(run - first)
    return float(off[off <= TOLERANCE].max(initial=0.0))


def _lay_on_design(shapes: Mapping[str, Complex], target: Mapping[str, Complex]) -> tuple[complex, complex]:
    """Return the turn and move that bring most patches to their place, judged from up to nine patches."""
    stacks = _stack(shapes, target)
    names = [name for group in stacks.values() for name in group[0]]
    every = max(1, len(names) // 9)
    best: tuple[int, float, complex, complex] = (-1, 0.0, 1 + 0j, 0j)
    for name in names[::every]:
        out, meant = shapes[name], target[name]
        n = len(out)
        longest = int(np.argmax(np.abs(np.roll(out, -1) - out)))
        run = out[(longest + 1) % n] - out[longest]
        for k in range(n):
            aim = meant[(k + 1) % n] - meant[k]
            if abs(abs(aim) - abs(run)) > 100 * TOLERANCE:
                continue
            z = complex(aim / run)
            z /= abs(z)
            w = complex(meant[k] - z * out[longest])
            far = [_find_distances(z * a + w, b) for _, a, b in stacks.values()]
            hits = sum(int((d <= 10 * TOLERANCE).sum()) for d in far)
            score = (hits, -float(sum(np.minimum(d, 1.0).sum() for d in far)))
            if score > best[:2]:
                best = (*score, z, w)
        if best[0] == len(names):
            break
    return _settle(stacks, best[2], best[3])


def _settle(
    stacks: Mapping[int, tuple[list[str], Complex, Complex]], z: complex, w: complex
) -> tuple[complex, complex]:
    """Return the least-squares move for all patches near their place after a first guess."""
    ours, theirs = [], []
    for _, out, meant in stacks.values():
        near = _find_distances(z * out + w, meant) <= 10 * TOLERANCE
        ours.append(out[near].mean(axis=1))
        theirs.append(meant[near].mean(axis=1))
    if sum(map(len, ours)) < 2:
        return z, w
    a, b = np.concatenate(ours), np.concatenate(theirs)
    turn = complex((np.conj(a - a.mean()) * (b - b.mean())).sum())
    z = turn / abs(turn) if abs(turn) > TOLERANCE else z
    return z, complex(b.mean() - z * a.mean())


def _say_left_over(left_over: Sequence[str], cut_list: CutList) -> list[str]:
    if not left_over:
        return []
    pieces = Counter(cut_list.piece_of[patch].id for patch in left_over)
    kinds = ", ".join(f"{count} of {piece}" for piece, count in pieces.items())
    names = ", ".join(f"`{patch}`" for patch in left_over[:MOST]) + (" ..." if len(left_over) > MOST else "")
    one = len(left_over) == 1
    return [f"{len(left_over)} {'piece is' if one else 'pieces are'} left over instead of 0 ({kinds}): {names}"]


def _say_strangers(target: Mapping[str, Complex], shapes: Mapping[str, Complex]) -> list[str]:
    lacking = [patch for patch in target if patch not in shapes]
    extra = [patch for patch in shapes if patch not in target]
    said = [f"Patch `{patch}` of the design is missing from the sewn top" for patch in lacking[:MOST]]
    return said + [f"Patch `{patch}` is sewn in, but the design has no such patch" for patch in extra[:MOST]]


def _compare_patches(
    shapes: Mapping[str, Complex], target: Mapping[str, Complex], placed_by: Mapping[str, int], slack: float
) -> list[str]:
    said = []
    for patch, shape in shapes.items():
        if patch in target and len(shape) != len(target[patch]):
            step = placed_by.get(patch, 0)
            said.append(
                f"Step {step}: patch `{patch}` comes out with {len(shape)} corners instead of {len(target[patch])}"
            )
    for names, out, meant in _stack(shapes, target).values():
        far = _find_distances(out, meant)
        for i in np.flatnonzero(far > slack).tolist():
            turns = [np.roll(out[i], k) for k in range(out.shape[1])]
            ours = turns[int(np.argmin([np.abs(turn - meant[i]).max() for turn in turns]))]
            c = int(np.argmax(np.abs(ours - meant[i])))
            here, there = complex(ours[c]), complex(meant[i][c])
            said.append(
                f"Step {placed_by.get(names[i], 0)}: a corner of patch `{names[i]}` comes out at ({here.real:.4f},"
                f" {here.imag:.4f}) instead of ({there.real:.4f}, {there.imag:.4f}), {far[i]:.2g} in away"
            )
    return said if len(said) <= MOST else [*said[:MOST], f"{len(said) - MOST} more patches are out of place"]


def _compare_size(size: tuple[float, float], plan: SewingPlan, slack: float) -> list[str]:
    if not plan.target:
        return ["The plan has no design for the comparison"]
    left, bottom, right, top = measure_box(point for _, outline in plan.target for point in outline)
    if max(abs(size[0] - (right - left)), abs(size[1] - (top - bottom))) <= 2 * slack:
        return []
    return [
        f"The top finishes {size[0]:.4f} by {size[1]:.4f} in instead of {right - left:.4f} by {top - bottom:.4f} in"
    ]


def _check_cover(
    placed: Mapping[str, Outline], parts: SewnParts, placed_by: Mapping[str, int], scale: float
) -> list[str]:
    """Refuse patches that overlap or gape, and inner edges that no step sewed.

    Corners of neighbours may lie apart by as much as each may be out of its place.
    """
    names = list(placed)
    outlines = [_draw_small(placed[name], scale) for name in names]
    mesh = build_mesh(outlines)
    if not mesh.tiles():
        overlaps = find_overlaps(outlines)
        said = [
            f"Step {max(placed_by.get(names[i], 0), placed_by.get(names[j], 0))}: patches `{names[i]}` and `{names[j]}`"
            f" overlap by {area / scale**2:.4f} square inches instead of 0"
            for i, j, area in overlaps[:MOST]
        ]
        return said or ["The sewn top has a gap, or hangs together only at a corner"]
    return _find_open_seams(names, mesh, parts, scale)


def _find_open_seams(names: Sequence[str], mesh: Mesh, parts: SewnParts, scale: float) -> list[str]:
    edges = max(len(parts.cloth[name].labels) for name in names)
    inner = np.flatnonzero(mesh.twin >= 0)
    meets = np.zeros((len(names), edges))
    np.add.at(meets, (mesh.face[inner], mesh.edge[inner]), mesh.lengths[inner] / scale)
    room = 20 * TOLERANCE / scale
    said = []
    for i, name in enumerate(names):
        for e, label in enumerate(parts.cloth[name].labels):
            sewn = parts.measure_sewn(name, label)
            if abs(sewn - meets[i, e]) > room:
                said.append(
                    f"Edge {label} of patch `{name}` meets its neighbours for {meets[i, e]:.4f} in, and"
                    f" {sewn:.4f} in of it are sewn"
                )
    return said[:MOST]


def _check_units(
    plan: SewingPlan,
    lying: Mapping[str, Sequence[Outline]],
    allowance: float,
    made_of: Mapping[str, Sequence[tuple[str, tuple[str, ...]]]],
    scale: float,
) -> list[str]:
    """Refuse a unit with printed parts or an unfinished size other than rehearsed."""
    said = []
    for unit in plan.units:
        parts = Counter(name for name, _ in made_of.get(unit.name, ()))
        if parts and parts != Counter(dict(unit.parts)):
            said.append(
                f"Unit {unit.name} is made of {_list_parts(parts)}; the plan says {_list_parts(dict(unit.parts))}"
            )
        if unit.name in lying:
            wide, high = measure_unfinished(lying[unit.name], allowance, scale)
            if max(abs(wide - unit.unfinished[0]), abs(high - unit.unfinished[1])) > 10 * TOLERANCE / scale:
                said.append(
                    f"Unit {unit.name} measures {wide:.4f} by {high:.4f} in unfinished; the plan says"
                    f" {unit.unfinished[0]:.4f} by {unit.unfinished[1]:.4f} in"
                )
    return said


def _list_parts(parts: Mapping[str, int]) -> str:
    return ", ".join(f"{count} {name}" for name, count in sorted(parts.items()))


def _draw_small(outline: Outline, scale: float) -> Outline:
    return tuple((x * scale, y * scale) for x, y in outline) if scale < 1 else outline


def measure_unfinished(outlines: Sequence[Outline], allowance: float, scale: float = 1.0) -> tuple[float, float]:
    """Return width and height of patches with their allowance, in their place in the top.

    Corners that lie apart by less than the tolerance, drawn at the scale, are one.
    """
    left, bottom, right, top = measure_box(point for outline in outlines for point in outline)
    area = sum(measure_area(outline) for outline in outlines)
    if abs(area - (right - left) * (top - bottom)) < TOLERANCE / scale * (right - left + top - bottom):
        return right - left + 2 * allowance, top - bottom + 2 * allowance
    loops = build_mesh([_draw_small(outline, scale) for outline in outlines]).trace_outside()
    if len(loops) != 1:
        return right - left + 2 * allowance, top - bottom + 2 * allowance
    left, bottom, right, top = measure_box(offset_outline(tidy_outline(loops[0]), allowance * scale))
    return (right - left) / scale, (top - bottom) / scale


def _check_counts(plan: SewingPlan) -> list[str]:
    """Refuse a printed number of partial seams that differs from the steps, counted for every copy."""
    made = {unit.name: unit.count for unit in plan.units}
    begun, closed, set_in = (
        sum(made[step.unit] for step in plan.steps if step.kind == kind) for kind in ("partial", "close", "set in")
    )
    said = []
    if closed != plan.partial_seams:
        said.append(f"The steps finish {closed} partial seams; the plan says {plan.partial_seams}")
    if begun > closed or (closed and not begun):
        said.append(f"The steps begin {begun} partial seams and finish {closed}")
    if set_in != plan.set_in_seams:
        said.append(f"The steps set in {set_in} seams; the plan says {plan.set_in_seams}")
    return said
