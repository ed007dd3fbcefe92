import pytest

import kit
from kit.errors import KitError
from kit.model.colour import SIGHTS, find_grey, measure_difference, see_as
from kit.output.pictures import colour_views
from kit.output.pictures.svg import write_svg


@pytest.fixture(scope="module")
def pattern():
    return kit.make_sketch(kit.open_study("data/studies/lamplight.toml"))


@pytest.fixture(scope="module")
def braid():
    return kit.make_sketch(kit.open_study("data/studies/tideline.toml"))


def colour_of(sketch, patch):
    return {f.name: f.colour for f in sketch.study.fabrics}[sketch.colouring.assignment[patch]]


@pytest.mark.parametrize("sight", SIGHTS)
def test_each_patch_is_drawn_as_that_eye_sees_it(pattern, sight):
    for polygon in colour_views.draw_view(pattern, sight).polygons:
        assert polygon.fill == see_as(colour_of(pattern, polygon.label), sight)


def test_the_grey_view_is_the_grey_of_each_patch(pattern):
    for polygon in colour_views.draw_view(pattern, "value").polygons:
        assert polygon.fill == find_grey(colour_of(pattern, polygon.label))


@pytest.mark.parametrize("threshold", [0.0, 8.0, 20.0, 101.0])
def test_a_line_lies_on_every_seam_piece_of_weak_contrast_and_on_no_other(pattern, threshold):
    drawing = colour_views.draw_weak_neighbours(pattern, threshold)
    mesh, patches = pattern.patchwork.mesh, pattern.patchwork.patches
    backgrounds = {"centre", "border"}
    weak = [
        side
        for side, twin in enumerate(mesh.twin.tolist())
        if twin > side
        and not (
            patches[mesh.face[side]].slot == patches[mesh.face[twin]].slot
            and patches[mesh.face[side]].slot in backgrounds
        )
        and measure_difference(
            colour_of(pattern, patches[mesh.face[side]].id), colour_of(pattern, patches[mesh.face[twin]].id)
        )
        < threshold
    ]
    assert len(drawing.lines) == len(weak)
    table = colour_views.list_weak_pairs(pattern, threshold)
    assert table["Seam pieces"].sum() == len(weak)
    assert table["Inches"].sum() == pytest.approx(
        sum(mesh.lengths[side] for side in weak), abs=0.06 * len(table) + 1e-9
    )
    assert (table["Difference"] <= threshold).all()


def test_the_map_gives_every_patch_a_number_of_its_own_and_its_letter(braid):
    numbers = colour_views.number_patches(braid.patchwork)
    assert len(set(numbers.values())) == len(braid.patchwork.patches)
    table = colour_views.list_placement(braid)
    words = {polygon.label: polygon.word for polygon in colour_views.draw_view(braid, "map").polygons}
    for row in table.itertuples():
        assert words[row.Patch] == f"{row.Row}.{row.Column} {row.Letter}"
        assert row.Fabric == braid.colouring.assignment[row.Patch]
    assert "<text" in write_svg(colour_views.draw_view(braid, "map"))


def test_rows_run_from_the_top_and_columns_from_the_left(pattern):
    numbers = colour_views.number_patches(pattern.patchwork)
    middle = {
        p.id: (sum(x for x, _ in p.outline) / len(p.outline), sum(y for _, y in p.outline) / len(p.outline))
        for p in pattern.patchwork.patches
    }
    at = {number: patch for patch, number in numbers.items()}
    for (row, column), patch in at.items():
        right, below = at.get((row, column + 1)), at.get((row + 1, 1))
        assert right is None or middle[right][0] >= middle[patch][0]
        assert below is None or column > 1 or middle[below][1] < middle[patch][1]


@pytest.mark.parametrize("name", ["pattern", "braid"])
def test_the_stacks_hold_every_patch_once(request, name):
    sketch = request.getfixturevalue(name)
    table = colour_views.list_stacks(sketch)
    assert table["Patches"].sum() == len(sketch.patchwork.patches)
    letters = " ".join(table.iloc[:, -1]).split()
    wanted = colour_views.list_placement(sketch)["Letter"]
    assert sorted(letters) == sorted(wanted)


def test_the_palette_names_every_fabric_with_its_value_and_its_uses(pattern):
    table = colour_views.list_palette(pattern)
    assert list(table["Fabric"]) == [fabric.name for fabric in pattern.study.fabrics]
    assert table["Patches"].sum() == len(pattern.patchwork.patches)
    values = dict(zip(table["Fabric"], table["Value"], strict=True))
    assert (values["Shell"], values["Damson"]) == ("light", "dark")


def test_the_verdict_gives_violations_bound_and_evenness(pattern):
    found = dict(colour_views.list_verdict(pattern).itertuples(index=False))
    assert found["pairs of one fabric that the rules forbid"] == found["proven least of them"] == found["gap"] == 0
    assert "most and least used fabric of `light`" in found


def test_a_view_of_another_name_is_refused_with_those_that_are(pattern):
    with pytest.raises(KitError, match=r"colour, value.*weak, map"):
        colour_views.draw_view(pattern, "x-ray")
