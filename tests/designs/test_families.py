"""All families: whatever the keys, the patches tile the top once, and a mirrored design is cut as its mirror image."""

from collections import Counter

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from strategies import cases

from kit.geometry.outlines import measure_area, measure_box, mirror_outline
from kit.model.patchwork import Patch, Patchwork
from kit.planning.pieces.cut_list import cut_list

MANY = settings(max_examples=60)
SWAP = {"left": "right", "right": "left", None: None}


def mirrored(patchwork):
    """Return the patchwork with every outline mirrored in an upright line."""
    patches = [
        Patch(
            p.id, mirror_outline(p.outline), p.slot, p.name, p.group, (180 - p.grain) % 360,
            mirror_outline(p.sewn) if p.sewn else None,
        )
        for p in patchwork.patches
    ]  # fmt: skip
    return Patchwork(tuple(patches), patchwork.allowance)


def tally(cuts, swap):
    """Count the pieces of each slot, shape, hand and cut size."""
    counts = Counter()
    for piece in cuts.pieces:
        sizes = tuple(sorted((name, round(size, 4)) for name, size in piece.cut.items()))
        counts[piece.slot, piece.name, piece.kind, swap[piece.hand], sizes] += piece.count
    return counts


@MANY
@given(cases())
def test_patch_areas_add_up_to_width_times_height(case):
    patchwork = case.build()
    width, height = patchwork.finished
    assert sum(measure_area(patch.outline) for patch in patchwork.patches) == pytest.approx(width * height, abs=1e-3)


@MANY
@given(cases())
def test_patches_tile_the_top_as_the_kit_and_as_a_union_see_it(case):
    patchwork = case.build().verify()
    polygons = [shapely.Polygon(patch.outline) for patch in patchwork.patches]
    assert all(polygon.is_valid for polygon in polygons)
    top = shapely.box(*patchwork.box)
    assert shapely.unary_union([p.buffer(1e-7) for p in polygons]).symmetric_difference(top).area < 1e-3
    tree = shapely.STRtree(polygons)
    a, b = tree.query(polygons, predicate="intersects")
    shared = shapely.area(shapely.intersection(np.array(polygons)[a[a < b]], np.array(polygons)[b[a < b]]))
    assert shared.max(initial=0) < 1e-4


@MANY
@given(cases())
def test_every_side_inside_has_exactly_two_patches(case):
    patchwork = case.build()
    mesh = patchwork.mesh
    inner = np.flatnonzero(mesh.twin >= 0)
    assert (mesh.twin[mesh.twin[inner]] == inner).all()
    assert (mesh.face[mesh.twin[inner]] != mesh.face[inner]).all()
    left, bottom, right, top = patchwork.box
    for side in np.flatnonzero(mesh.twin < 0):
        (x0, y0), (x1, y1) = mesh.nodes[mesh.start[side]], mesh.nodes[mesh.end[side]]
        on_edge = [max(abs(x0 - e), abs(x1 - e)) < 1e-4 for e in (left, right)]
        on_edge += [max(abs(y0 - e), abs(y1 - e)) < 1e-4 for e in (bottom, top)]
        assert any(on_edge), "a side with one patch lies inside the top"


@MANY
@given(cases())
def test_ids_are_unique_and_every_patch_has_the_hand_of_the_clock(case):
    patches = case.build().patches
    assert len({patch.id for patch in patches}) == len(patches)
    assert all(measure_area(patch.outline) > 0 for patch in patches)
    assert all(measure_area(patch.sewn) > measure_area(patch.outline) for patch in patches if patch.sewn)


@MANY
@given(cases())
def test_a_trimmed_patch_is_sewn_larger_than_it_shows_and_lies_inside_what_is_sewn(case):
    patchwork = case.build()
    trimmed = {trim.group: shapely.Polygon(trim.outline) for trim in patchwork.trims}
    for patch in patchwork.patches:
        if patch.sewn:
            seen = shapely.Polygon(patch.sewn).intersection(trimmed[patch.group])
            assert seen.symmetric_difference(shapely.Polygon(patch.outline)).area < 1e-3


@MANY
@given(cases())
def test_a_mirrored_design_is_cut_from_the_mirrored_pieces(case):
    patchwork = case.build()
    assert tally(cut_list(mirrored(patchwork)), SWAP) == tally(cut_list(patchwork), {h: h for h in SWAP})


@MANY
@given(cases())
def test_the_same_keys_give_the_same_patchwork(case):
    assert case.build() == case.build()


@MANY
@given(cases())
def test_every_block_covers_its_place_with_sashing_and_borders_round_it(case):
    family, patchwork = case.family, case.build()
    block = family.make_block(case.allowance)
    sash = family.sashing.finished if family.sashing else 0.0
    ends = 1 if family.sashing and family.sashing.outer else -1
    frame = 2 * sum(border.finished for border in family.border)
    width = family.columns * block.width + (family.columns + ends) * sash + frame
    height = family.rows * block.height + (family.rows + ends) * sash + frame
    assert patchwork.finished == pytest.approx((width, height), abs=1e-6)
    inside = [patch for patch in patchwork.patches if patch.group]
    assert len(inside) == family.columns * family.rows * len(block.shapes)
    groups = {}
    for patch in inside:
        groups.setdefault(patch.group, []).append(patch.outline)
    for outlines in groups.values():
        left, bottom, right, top = measure_box(point for outline in outlines for point in outline)
        assert (right - left, top - bottom) == pytest.approx((block.width, block.height), abs=1e-6)
