"""From wishes to lines: the regions of each wish, and the lines in them."""

from collections.abc import Iterator

import numpy as np

from kit.errors import KitError
from kit.geometry.outlines import Point, measure_area
from kit.geometry.paths import Path, Rings, measure_path, measure_region, merge_outlines
from kit.model.patchwork import Patch, Patchwork
from kit.model.quilting import QuiltLine, QuiltRegion
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.planning.quilting.quilting_ways import stitch_region

PATCH_BY_PATCH = ("corner curves", "serpentine")
"""Ways that treat each patch separately even if the whole top is named."""
UNMEASURED = ("ditch", "outline", "motif", "corner curves")
"""Ways with a spacing other than the distance from one line to the next."""
MOST_INCHES = 200_000.0
"""More inches of lines than this are refused before they are drawn."""


def draft_lines(
    patchwork: Patchwork, wishes: QuiltingWishes
) -> tuple[list[QuiltRegion], list[QuiltLine], dict[int, str]]:
    """Return the regions and the lines of the wishes, and the line in the ditch of each seam of the mesh.

    Raises
    ------
    KitError
        A wish for a part missing from the top, a spacing over the batting's limit, a region too narrow.
    """
    regions: list[QuiltRegion] = []
    lines: list[QuiltLine] = []
    owners: dict[int, str] = {}
    taken: dict[str, int] = {}
    left, bottom, right, top = patchwork.box
    centre = (left + right) / 2, (bottom + top) / 2
    for stitching in wishes.stitchings:
        _refuse_wide(stitching, wishes.gap_limit)
        for name, rings in _find_regions(patchwork, stitching):
            taken[name] = taken.get(name, 0) + 1
            region_id = name if taken[name] == 1 else f"{name} ({taken[name]})"
            area = measure_region(rings)
            regions.append(QuiltRegion(region_id, rings, area, stitching.where, stitching.way, stitching.spacing))
            if stitching.way == "ditch":
                drawn = _follow_seams(patchwork, stitching, owners, region_id)
            else:
                _refuse_long(stitching, area)
                drawn = stitch_region(stitching, rings, centre, wishes.seed, region_id)
            lines.extend(_make_line(path, k, region_id, stitching) for k, path in enumerate(drawn, start=1))
    return regions, lines, owners


def _make_line(path: Path, k: int, region: str, stitching: Stitching) -> QuiltLine:
    points = tuple(map(tuple, path.tolist()))
    return QuiltLine(
        _name_line(region, stitching, k), region, stitching.way, stitching.colour, points, measure_path(path)
    )


def _name_line(region: str, stitching: Stitching, k: int) -> str:
    return f"{region} · {stitching.way} {k}"


def _refuse_wide(stitching: Stitching, limit: float) -> None:
    if stitching.way not in UNMEASURED and stitching.spacing > limit + 1e-9:
        raise KitError(
            f"The {stitching.way} on `{stitching.where}` is set {stitching.spacing:g} in apart, and the batting allows"
            f" {limit:g} in",
            needed=f"a spacing of at most {limit:g} in",
            do="set the lines closer, or choose a batting whose label allows more",
        )


def _refuse_long(stitching: Stitching, area: float) -> None:
    if area / stitching.spacing > MOST_INCHES:
        raise KitError(
            f"The {stitching.way} on `{stitching.where}` would take some {area / stitching.spacing:,.0f} in",
            needed=f"at most {MOST_INCHES:,.0f} in",
            do="set the lines wider apart",
        )


def _find_regions(patchwork: Patchwork, stitching: Stitching) -> Iterator[tuple[str, Rings]]:
    """Yield the name and the rings of each region of a wish."""
    where = stitching.where
    whole = where == "top"
    patches = [p for p in patchwork.patches if whole or where in (p.slot, p.name)]
    if not patches:
        known = ["top", *patchwork.slots, *sorted({p.name for p in patchwork.patches} - set(patchwork.slots))]
        raise KitError(
            f"The quilting names `{where}`, which this top does not have",
            needed=", ".join(known),
            do="choose one of these",
        )
    if stitching.way == "ditch" or (whole and stitching.way not in PATCH_BY_PATCH):
        yield where, tuple(_outside(patchwork))
    elif stitching.together:
        parts = merge_outlines([p.outline for p in patches])
        for k, rings in enumerate(parts, start=1):
            yield f"{where} {k}" if len(parts) > 1 else where, rings
    else:
        for patch in patches:
            yield patch.id, (patch.outline,)


def _outside(patchwork: Patchwork) -> Rings:
    loops = sorted(patchwork.mesh.trace_outside(), key=measure_area, reverse=True)
    return tuple(loops)


def _follow_seams(patchwork: Patchwork, stitching: Stitching, owners: dict[int, str], region: str) -> list[Path]:
    """Return the straight runs of seam around the patches of a wish that no earlier wish has taken.

    Sides that continue one another in one direction make one line; each side is entered under its line's name.
    """
    mesh = patchwork.mesh

    def means(patch: Patch) -> bool:
        return stitching.where in ("top", patch.slot, patch.name)

    meant = np.array([means(p) for p in patchwork.patches])
    inner = np.flatnonzero(mesh.twin > np.arange(len(mesh.twin)))
    mine = inner[meant[mesh.face[inner]] | meant[mesh.face[mesh.twin[inner]]]]
    free = [side for side in mine.tolist() if side not in owners]
    run = mesh.nodes[mesh.end] - mesh.nodes[mesh.start]
    angle = np.round(np.degrees(np.arctan2(run[:, 1], run[:, 0])) % 180, 3) % 180
    at: dict[tuple[int, float], list[int]] = {}
    for side in free:
        for node in (int(mesh.start[side]), int(mesh.end[side])):
            at.setdefault((node, float(angle[side])), []).append(side)
    paths = []
    left = set(free)
    for side in free:
        if side not in left:
            continue
        chain = _chain(mesh.start, mesh.end, angle, at, left, side)
        paths.append(mesh.nodes[[chain[0][0], chain[-1][1]]])
        owners.update({s: _name_line(region, stitching, len(paths)) for _, _, s in chain})
    return paths


def _chain(
    start: np.ndarray,
    end: np.ndarray,
    angle: np.ndarray,
    at: dict[tuple[int, float], list[int]],
    left: set[int],
    side: int,
) -> list[tuple[int, int, int]]:
    """Return the sides in line with one side, as (from, to, side), and remove them from the remaining sides."""
    left.discard(side)
    chain = [(int(start[side]), int(end[side]), side)]
    for ahead in (True, False):
        while True:
            node = chain[-1][1] if ahead else chain[0][0]
            more = [s for s in at[node, float(angle[side])] if s in left]
            if not more:
                break
            left.discard(more[0])
            other = int(end[more[0]]) if int(start[more[0]]) == node else int(start[more[0]])
            if ahead:
                chain.append((node, other, more[0]))
            else:
                chain.insert(0, (other, node, more[0]))
    return chain


def find_middle(patchwork: Patchwork) -> Point:
    """Return the middle of the top."""
    left, bottom, right, top = patchwork.box
    return (left + right) / 2, (bottom + top) / 2
