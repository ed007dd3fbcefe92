"""The check of a cut list: every piece is laid on its patches again with a general geometry library."""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
import shapely

from kit.errors import CheckError
from kit.geometry.outlines import TOLERANCE
from kit.model.cutting import CutList, Piece, PieceKind
from kit.model.patchwork import Patch, Patchwork

GRID = 1e-9
"""Inches: the grid on which outlines are laid over one another."""


def check_cut_list(patchwork: Patchwork, cuts: CutList) -> None:
    """Refuse a cut list that does not make the patchwork.

    Each patch must have exactly one piece, of its slot. The piece, shrunk by the allowance with a general geometry
    library and turned as listed, must cover the patch's sewn shape; a mirror image does not. Hands must be those of
    the outline as drawn; every measure, with and without allowances, must be that of the outline, by its kind; no
    rounded size may be under the exact size; and the bias edges must be those off the grain.

    Raises
    ------
    CheckError
        Names the piece or patch and both figures.
    """
    if abs(cuts.allowance - patchwork.allowance) > TOLERANCE:
        raise CheckError(f"The allowance is {cuts.allowance:g} in, that of the patchwork {patchwork.allowance:g} in")
    owners = [patch for piece in cuts.pieces for patch in piece.patches]
    wanted = {patch.id: patch for patch in patchwork.patches}
    if sorted(owners) != sorted(wanted):
        odd = sorted(set(owners) ^ set(wanted)) or sorted(patch for patch in set(owners) if owners.count(patch) > 1)
        raise CheckError(f"The cut list has {len(owners)} pieces for {len(wanted)} patches; look at `{odd[0]}`")
    for piece in cuts.pieces:
        patches = [wanted[patch] for patch in piece.patches]
        _check_counts(piece)
        _check_hand(piece, cuts.allowance)
        _check_shapes(piece, patches, cuts.allowance)
        _check_sizes(piece, cuts)
        _check_bias(piece, patches)


def _check_counts(piece: Piece) -> None:
    if not piece.count == len(piece.patches) == len(piece.turns):
        raise CheckError(f"Piece {piece.id} is counted {piece.count} times for {len(piece.patches)} patches")


def _check_sizes(piece: Piece, cuts: CutList) -> None:
    shrunk = shapely.Polygon(piece.outline).buffer(-cuts.allowance, join_style="mitre", mitre_limit=1000.0)
    drawn = {"cut": np.array(piece.outline), "finished": np.array(shrunk.exterior.coords[:-1])}
    for state, given in (("cut", piece.cut), ("finished", piece.finished)):
        measured = _measure_again(piece.kind, drawn[state])
        if set(given) != set(measured):
            raise CheckError(f"Piece {piece.id}, a {piece.kind}, has the measures {', '.join(given)}")
        for name, size in given.items():
            if abs(size - measured[name]) > 1e-4:
                found = f"{name} {state} is given as {size:.4f} in, its outline has {measured[name]:.4f} in"
                raise CheckError(f"Piece {piece.id}: {found}")
    if set(piece.rounded) != set(piece.cut):
        raise CheckError(f"Piece {piece.id} is printed with the measures {', '.join(piece.rounded)}")
    for name, size in piece.cut.items():
        over = piece.rounded[name] - size
        if not -TOLERANCE < over < cuts.step + TOLERANCE:
            raise CheckError(f"Piece {piece.id}: {name} is {size:.4f} in, printed as {piece.rounded[name]:.4f} in")


def _measure_again(kind: PieceKind, corners: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> dict[str, float]:
    """Return the measures of a kind of shape from the lengths of its edges and its area, wherever it begins."""
    edges = np.roll(corners, -1, axis=0) - corners
    sides = np.hypot(*edges.T)
    low, middle, high = float(sides.min()), float(np.sort(sides)[len(sides) // 2]), float(sides.max())
    area = float(shapely.area(shapely.Polygon(corners)))
    match kind:
        case "square":
            return {"side": high}
        case "rectangle":
            return {"width": low, "length": high}
        case "half-square triangle":
            return {"square": low}
        case "quarter-square triangle":
            return {"square": high}
        case "half-rectangle triangle":
            return {"short leg": low, "long leg": middle}
        case "parallelogram":
            return {"strip": area / high, "step": high}
        case "60° triangle":
            return {"strip": high * 3**0.5 / 2, "side": high}
        case "trapezoid" if len(sides) == 4:
            lean = [abs(float(edges[i] @ edges[i + 2])) / (sides[i] * sides[i + 2]) for i in (0, 1)]
            i = int(np.argmax(lean))
            short, long = sorted([float(sides[i]), float(sides[i + 2])])
            return {"strip": 2 * area / (short + long), "long side": long, "short side": short}
        case "template":
            wide, tall = (corners.max(axis=0) - corners.min(axis=0)).tolist()
            return {"width": wide, "height": tall}
    raise CheckError(f"A piece of {len(sides)} edges is called a {kind}, which is not a shape of the kit")


def _check_bias(piece: Piece, patches: Sequence[Patch]) -> None:
    """Compare the bias edges with the grain: along the long side for strips, as in the patch for other shapes."""
    corners = np.array(piece.outline)
    edges = np.roll(corners, -1, axis=0) - corners
    directions = np.degrees(np.arctan2(edges[:, 1], edges[:, 0]))
    sides = np.hypot(*edges.T)
    if piece.kind == "half-rectangle triangle":
        grains = [float(directions[np.argmin(sides)])]
    elif piece.kind in ("half-square triangle", "quarter-square triangle", "template"):
        shapes = [patch.sewn or patch.outline for patch in patches]
        firsts = [np.subtract(s[(k + 1) % len(s)], s[k]) for s, k in zip(shapes, piece.turns, strict=True)]
        grains = [p.grain - float(np.degrees(np.arctan2(y, x))) for p, (x, y) in zip(patches, firsts, strict=True)]
    else:
        grains = [0.0]
    off = (directions[None, :] - np.array(grains)[:, None] + 45) % 90 - 45
    wrong = (np.abs(off) > 0.1) != np.array(piece.bias)[None, :]
    longest_is_bias = {"half-square triangle": True, "quarter-square triangle": False}.get(piece.kind)
    if longest_is_bias is not None and piece.bias[int(np.argmax(sides))] != longest_is_bias:
        raise CheckError(f"Piece {piece.id} is not a {piece.kind} by the grain of its long side")
    if wrong.any():
        patch = patches[int(np.argwhere(wrong)[0, 0])]
        raise CheckError(f"Piece {piece.id}: its bias edges are not those off the grain of patch `{patch.id}`")


def _check_hand(piece: Piece, allowance: float) -> None:
    """Compare the hand with the difference between the outline and its mirror image, read from every corner in turn."""
    corners = np.array(piece.outline)
    edges = np.roll(corners, -1, axis=0) - corners
    lengths = np.hypot(*edges.T)
    unit = edges / lengths[:, None]
    cosine = -np.einsum("ij,ij->i", unit, np.roll(unit, 1, axis=0))
    here = np.column_stack([cosine, lengths])
    mirrored = np.column_stack([cosine[::-1], np.roll(lengths[::-1], -1)])
    off = min(float(np.abs(np.roll(mirrored, k, axis=0) - here).max()) for k in range(len(here)))
    if (piece.hand is None and off > 1e-3) or (piece.hand is not None and off < 1e-6):
        raise CheckError(f"Piece {piece.id} is said to have the hand {piece.hand}, its outline says otherwise")
    half = np.tan(np.arccos(np.clip(cosine, -1.0, 1.0)) / 2)
    seams = lengths - allowance * (1 / half + 1 / np.roll(half, -1))
    longest = np.flatnonzero(seams > seams.max() - 1e-4)
    if len(longest) > 1:  # with two longest edges a piece and its image may both have the sharper end at one side
        readings = [np.column_stack([-cosine, seams]), np.column_stack([-cosine[::-1], np.roll(seams[::-1], -1)])]
        mine, image = (
            min(np.roll(one, -k, axis=0).round(3).tolist() for k in np.flatnonzero(one[:, 1] > seams.max() - 1e-4))
            for one in readings
        )
        apart = (np.array(image) - np.array(mine)).ravel()
        sharp_left = float(next((step for step in apart if abs(step) > 2e-3), 0.0) / 2e-3)
    else:
        sharp_left = cosine[0] - cosine[1]
    if piece.hand and abs(sharp_left) > 0.01 and (piece.hand == "left") != (sharp_left > 0):
        raise CheckError(f"Piece {piece.id} is said to be {piece.hand}-handed, its outline is of the other hand")


def _check_shapes(piece: Piece, patches: Sequence[Patch], allowance: float) -> None:
    for patch in patches:
        if patch.slot != piece.slot:
            raise CheckError(f"Patch `{patch.id}` is of slot `{patch.slot}`, its piece {piece.id} of `{piece.slot}`")
    shrunk = shapely.Polygon(piece.outline).buffer(-allowance, join_style="mitre", mitre_limit=1000.0)
    by_size: dict[int, list[int]] = defaultdict(list)
    for i, patch in enumerate(patches):
        by_size[len(patch.sewn or patch.outline)].append(i)
    for found in by_size.values():
        corners = np.array([patches[i].sewn or patches[i].outline for i in found])
        plane = corners[..., 0] + 1j * corners[..., 1]
        rows = np.arange(len(found))
        first = np.array([piece.turns[i] for i in found])
        edge = plane[rows, (first + 1) % plane.shape[1]] - plane[rows, first]
        flat = plane * (np.conj(edge) / np.abs(edge))[:, None]
        x = flat.real - flat.real.min(axis=1)[:, None] + shrunk.bounds[0]
        y = flat.imag - flat.imag.min(axis=1)[:, None] + shrunk.bounds[1]
        # on a grid: of two outlines that differ in the last digits alone the overlay may otherwise lose their overlap
        laid = shapely.polygons(np.stack([x, y], axis=2))
        odd = shapely.area(shapely.symmetric_difference(laid, shrunk, grid_size=GRID))
        worst = int(np.argmax(odd))
        if odd[worst] > 1e-4 * shrunk.length:
            patch = patches[found[worst]]
            raise CheckError(
                f"Patch `{patch.id}` and its piece {piece.id} less the allowance differ by {odd[worst]:.4f} square"
                f" inches"
            )
