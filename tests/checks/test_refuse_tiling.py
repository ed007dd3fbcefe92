"""Two opinions on the tiling: pairs of sides and another library agree on sound and on damaged tops."""

from dataclasses import replace
from math import hypot
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from strategies import cases, random_cases

from kit.checks.tiling_check import check_tiling
from kit.errors import CheckError, KitError
from kit.geometry.outlines import make_rectangle, measure_area, offset_outline
from kit.model.patchwork import Patch, Patchwork
from kit.pipeline import make_pattern
from kit.study import open_study, study_from_keys, study_keys

STUDIES = sorted(Path("data/studies").glob("*.toml"))
SOME = settings(max_examples=40, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
GRID = Patchwork(
    tuple(Patch(f"p{x}{y}", make_rectangle(2 * x, 2 * y, 2, 2), "sky") for y in range(3) for x in range(3))
)


def list_inner(patchwork):
    """Return the places of the patches that share every piece of edge with a neighbour."""
    mesh = patchwork.mesh
    outer = set(mesh.face[mesh.twin < 0].tolist())
    return [i for i in range(len(patchwork.patches)) if i not in outer]


def damage(patchwork, which, kind):
    """Return the patchwork with one patch dropped, laid twice, or one of its corners moved by a hair."""
    patchwork = replace(patchwork, frames=())  # a frame names its patches, and one may be dropped here
    patches = list(patchwork.patches)
    patch = patches[which]
    (x, y), (p, q), *rest = patch.outline
    run = hypot(p - x, q - y)
    hair = (x - 0.002 * (q - y) / run, y + 0.002 * (p - x) / run)  # to the left of the edge is inside
    over = (2 * x - hair[0], 2 * y - hair[1])
    if kind == "gap":
        del patches[which]
    elif kind == "overlap":
        patches.append(replace(patch, id="twice"))
    elif kind == "narrow gap":
        patches[which] = replace(patch, outline=(hair, (p, q), *rest))
    else:
        patches[which] = replace(patch, outline=(over, (p, q), *rest))
    return replace(patchwork, patches=tuple(patches), frames=())  # a frame may name the patch that is gone


def refused_by_both(patchwork):
    """Return the overlay's words on a top that the pairing of sides refuses as well."""
    assert not patchwork.mesh.tiles()
    with pytest.raises(CheckError) as caught:
        check_tiling(patchwork)
    return str(caught.value)


KINDS = {"gap": "gap of", "overlap": "overlap by", "narrow gap": "gap of|overlap by", "narrow overlap": "overlap by"}


@pytest.mark.parametrize("path", STUDIES, ids=lambda path: path.stem)
def test_both_accept_every_study_and_refuse_it_with_any_patch_damaged(path):
    patchwork = open_study(path).make_patchwork().verify()
    check_tiling(patchwork)
    inner = list_inner(patchwork)
    for which in inner[:: len(inner) // 3]:
        for kind in KINDS:
            refused_by_both(damage(patchwork, which, kind))


@SOME
@given(st.one_of(cases(), random_cases()), st.integers(0, 10_000), st.sampled_from(sorted(KINDS)))
def test_both_accept_every_random_design_and_refuse_it_with_a_patch_damaged(case, which, kind):
    try:
        patchwork = case.build().verify()
    except KitError:
        assume(False)  # noqa: FBT003  # what cannot be built has no opinion to compare
    check_tiling(patchwork)
    inner = list_inner(patchwork)
    assume(inner)
    refused_by_both(damage(patchwork, inner[which % len(inner)], kind))


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_the_damage_is_named_by_what_it_is(kind):
    assert any(word in refused_by_both(damage(GRID, 4, kind)) for word in KINDS[kind].split("|"))


def test_a_gap_and_an_overlap_are_measured():
    assert "gap of 4.0000 square inches at" in refused_by_both(damage(GRID, 4, "gap"))
    assert "overlap by 4.0000 square inches at" in refused_by_both(damage(GRID, 4, "overlap"))
    small = offset_outline(GRID.patches[4].outline, -0.1)
    loose = replace(GRID, patches=(*GRID.patches[:4], replace(GRID.patches[4], outline=small), *GRID.patches[5:]))
    assert f"gap of {4 - measure_area(small):.4f} square inches" in refused_by_both(loose)


def test_patches_that_lie_apart_or_touch_in_a_corner_alone_are_refused():
    for x in (2, 5):
        pair = Patchwork((GRID.patches[0], Patch("far", make_rectangle(x, 2, 2, 2), "sky")))
        assert "fall into 2 parts" in refused_by_both(pair)


def test_a_patch_that_lies_three_times_is_refused():
    patches = tuple(Patch(f"p{i}", make_rectangle(0, 0, 2, 2), "sky") for i in range(3))
    assert "overlap by 4.0000" in refused_by_both(Patchwork(patches))


def test_corners_that_count_as_one_corner_leave_no_gap():
    pair = Patchwork((GRID.patches[0], Patch("near", make_rectangle(2 + 4e-6, -3e-6, 2, 2), "sky")))
    assert pair.mesh.tiles()
    check_tiling(pair)


def test_no_pattern_is_made_of_a_top_that_the_overlay_refuses(monkeypatch):
    study = open_study("data/studies/ferry-steps.toml")
    sound = study.make_patchwork()
    broken = damage(sound, list_inner(sound)[0], "narrow gap")
    monkeypatch.setattr("kit.pipeline._make_patchwork", lambda _: broken)
    monkeypatch.setattr("kit.pipeline.cut_list", lambda *_: pytest.fail("a plan was made of a top that does not close"))
    with pytest.raises(CheckError, match=r"gap of|overlap by"):
        make_pattern(study)


@pytest.mark.parametrize("geese", [5, 6, 9, 11])
@pytest.mark.parametrize("strip", ["2 1/2 in", "3 1/2 in", "4 in"])
def test_a_compass_whose_slanted_sides_meet_within_a_step_of_the_grid_is_accepted_by_both(geese, strip):
    keys = study_keys(replace(open_study("data/studies/harbour-wheel.toml"), editions=()))
    keys["unit"]["pier"]["geese"], keys["design"]["strip_cut"] = geese, strip
    patchwork = study_from_keys(keys).make_patchwork()
    assert patchwork.mesh.tiles()
    check_tiling(patchwork)
