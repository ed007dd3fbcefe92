"""From wishes to lines: the regions of each wish, and the lines in them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kit.errors import KitError
from kit.geometry.divided_areas import divide_area
from kit.geometry.outlines import Point, measure_area
from kit.geometry.paths import Path, Rings, find_holders, find_inner_place, measure_path, measure_region, merge_outlines
from kit.lengths import write_refused
from kit.model.patchwork import Patchwork
from kit.model.quilting import QuiltLine, QuiltRegion, RegionFit
from kit.model.quilting_wishes import QuiltingWay, QuiltingWishes, Stitching
from kit.planning.quilting.quilting_ways import stitch_region

PATCH_BY_PATCH = (
    "corner curves",
    "serpentine",
    "loops",
    "pebbles",
    "leaves",
    "feathers",
    "cable",
    "chain",
    "drawn line",
)
"""Ways that treat each patch separately even if the whole top is named."""
UNMEASURED = ("ditch", "outline", "motif", "corner curves", "clamshells", "feathers", "leaves", "drawn line")
"""Ways with a spacing other than the distance from one line to the next."""
MOST_INCHES = 200_000.0
"""More inches of lines than this are refused before they are drawn."""


@dataclass(frozen=True, eq=False)
class Area:
    """A part of the top to stitch: its name, its rings, the patches in it, and the lines drawn in it last."""

    name: str
    rings: Rings
    patches: tuple[int, ...]
    paths: tuple[Path, ...] = ()


def draft_lines(
    patchwork: Patchwork, wishes: QuiltingWishes
) -> tuple[list[QuiltRegion], list[QuiltLine], dict[int, str]]:
    """Return the regions and the lines of the wishes, and the line in the ditch of each seam of the mesh.

    An area too narrow for its way is stitched along its seams instead; an area within other lines is then left to them.

    Raises
    ------
    KitError
        A wish for a part missing from the top, or a spacing over the batting's limit.
    """
    regions: list[QuiltRegion] = []
    lines: list[QuiltLine] = []
    owners: dict[int, str] = {}
    taken: dict[str, int] = {}
    before: dict[str, list[Area]] = {}
    left, bottom, right, top = patchwork.box
    centre = (left + right) / 2, (bottom + top) / 2
    for stitching in wishes.stitchings:
        _refuse_wide(stitching, wishes.gap_limit)
        areas = list(_list_areas(patchwork, stitching, before.get(stitching.where)))
        drawn_areas = []
        for area in areas[stitching.turn - 1 :: stitching.turns]:
            taken[area.name] = taken.get(area.name, 0) + 1
            region_id = area.name if taken[area.name] == 1 else f"{area.name} ({taken[area.name]})"
            size = measure_region(area.rings)
            way: QuiltingWay = stitching.way
            fit: RegionFit = "as wished"
            spacing: float = stitching.spacing
            if way == "ditch":
                drawn = _follow_seams(patchwork, area.patches, owners, _name(region_id, way))
            else:
                _refuse_long(stitching, size)
                stitched = stitch_region(stitching, area.rings, centre, wishes.seed)
                drawn, fit, spacing = list(stitched.paths), stitched.fit, stitched.spacing
                if fit == "left" and stitching.within == "area":
                    way, fit = "ditch", "in the ditch"
                    drawn = _follow_seams(patchwork, area.patches, owners, _name(region_id, way))
            regions.append(QuiltRegion(region_id, area.rings, size, stitching.where, way, spacing, fit))
            lines.extend(
                _make_line(path, f"{_name(region_id, way)} {k}", region_id, way, stitching.colour)
                for k, path in enumerate(drawn, start=1)
            )
            drawn_areas.append(replace(area, paths=tuple(drawn)))
        before[stitching.where] = _keep_areas(areas, drawn_areas, stitching)
    return regions, lines, owners


def _keep_areas(areas: Sequence[Area], drawn: Sequence[Area], stitching: Stitching) -> list[Area]:
    """Return all areas of a wish, those whose turn it was with the lines drawn in them."""
    kept = list(areas)
    kept[stitching.turn - 1 :: stitching.turns] = drawn
    return kept


def _list_areas(patchwork: Patchwork, stitching: Stitching, before: list[Area] | None) -> Iterator[Area]:
    """Yield the areas of a wish: its regions, or what the wish before for the same place has left of them."""
    if stitching.within == "area" or before is None or stitching.way == "ditch":
        yield from _find_regions(patchwork, stitching)
        return
    for area in before:
        inside, around = divide_area(area.rings, area.paths)
        parts = inside if stitching.within == "inside" else around
        for k, rings in enumerate(parts, start=1):
            yield Area(f"{area.name} {stitching.within}{f' {k}' if len(parts) > 1 else ''}", rings, area.patches)


def _make_line(path: Path, name: str, region: str, way: QuiltingWay, colour: str) -> QuiltLine:
    return QuiltLine(name, region, way, colour, tuple(map(tuple, path.tolist())), measure_path(path))


def _name(region: str, way: str) -> str:
    return f"{region} · {way}"


def _refuse_wide(stitching: Stitching, limit: float) -> None:
    if stitching.way not in UNMEASURED and stitching.spacing > limit + 1e-9:
        raise KitError(
            f"The {stitching.way} on `{stitching.where}` is set {write_refused(stitching.spacing)} apart, and the"
            f" batting allows {write_refused(limit)}",
            needed=f"a spacing of at most {write_refused(limit)}",
            do="set the lines closer, or choose a batting whose label allows more",
        )


def _refuse_long(stitching: Stitching, area: float) -> None:
    if area / stitching.spacing > MOST_INCHES:
        raise KitError(
            f"The {stitching.way} on `{stitching.where}` would take some {area / stitching.spacing:,.0f} in",
            needed=f"at most {MOST_INCHES:,.0f} in",
            do="set the lines wider apart",
        )


def _find_regions(patchwork: Patchwork, stitching: Stitching) -> Iterator[Area]:
    """Yield each region of a wish."""
    where = stitching.where
    whole = where == "top"
    patches = [k for k, p in enumerate(patchwork.patches) if whole or where in (p.slot, p.name)]
    if not patches:
        known = ["top", *patchwork.slots, *sorted({p.name for p in patchwork.patches} - set(patchwork.slots))]
        raise KitError(
            f"The quilting names `{where}`, which this top does not have",
            needed=", ".join(known),
            do="choose one of these",
        )
    if stitching.way == "ditch" or (whole and stitching.way not in PATCH_BY_PATCH):
        yield Area(where, tuple(_outside(patchwork)), tuple(patches))
    elif stitching.together:
        parts = merge_outlines([patchwork.patches[k].outline for k in patches])
        inside = [find_inner_place(patchwork.patches[k].outline) for k in patches]
        holders = [find_holders([rings[0]], np.array(inside)) == 0 for rings in parts]
        for k, rings in enumerate(parts, start=1):
            own = tuple(np.array(patches)[holders[k - 1]].tolist())
            yield Area(f"{where} {k}" if len(parts) > 1 else where, rings, own)
    else:
        for k in patches:
            yield Area(patchwork.patches[k].id, (patchwork.patches[k].outline,), (k,))


def _outside(patchwork: Patchwork) -> Rings:
    loops = sorted(patchwork.mesh.trace_outside(), key=measure_area, reverse=True)
    return tuple(loops)


def _follow_seams(patchwork: Patchwork, patches: Sequence[int], owners: dict[int, str], name: str) -> list[Path]:
    """Return the straight runs of seam around patches that no earlier line has taken.

    Sides that continue one another in one direction make one line; each side is entered under its line's name.
    """
    mesh = patchwork.mesh
    meant = np.zeros(len(patchwork.patches), dtype=bool)
    meant[list(patches)] = True
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
        owners.update({s: f"{name} {len(paths)}" for _, _, s in chain})
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
