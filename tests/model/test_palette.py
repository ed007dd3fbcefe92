import pytest

from kit.geometry.outlines import make_rectangle
from kit.model.colour import SIGHTS, find_hue, measure_difference, name_values, see_as
from kit.model.fabrics import Fabric
from kit.model.palette import describe_palette, propose_aside
from kit.model.patchwork import patchwork_from_outlines

TOP = patchwork_from_outlines([make_rectangle(2 * i, 0, 2, 2) for i in range(4)], ["print", "ground", "print", "other"])
FABRICS = [
    Fabric("print", "Near", "#dde4e8"),
    Fabric("print", "Far", "#203050"),
    Fabric("ground", "Fog", "#dfe6ea"),
    Fabric("other", "Far too", "#2c4a80"),
]


def test_value_words_are_relative_to_the_set():
    assert name_values(["#202020", "#303030", "#f0f0f0"]) == ("dark", "dark", "light")
    assert name_values(["#202020", "#303030", "#404040"]) == ("dark", "medium", "light")
    assert name_values(["#808080", "#828282"]) == ("medium", "medium")
    assert name_values([]) == ()


def test_only_prints_too_near_a_background_that_their_slot_touches_are_proposed_with_figure_and_threshold():
    (found,) = propose_aside(TOP, FABRICS, 5.0)
    assert (found.fabric, found.background, found.threshold) == ("Near", "Fog", 5.0)
    assert found.difference == pytest.approx(measure_difference("#dde4e8", "#dfe6ea"))
    assert propose_aside(TOP, FABRICS, 0.1) == ()
    backgrounds = {p.background for p in propose_aside(TOP, FABRICS, 100.0)}
    assert backgrounds == {"Fog", "Far too"}


def test_each_fabric_is_named_with_the_one_that_looks_most_like_it():
    found = {swatch.fabric: swatch for swatch in describe_palette(FABRICS)}
    assert found["Near"].nearest == "Fog"
    assert found["Far"].nearest == "Far too"
    assert found["Far"].value == "dark"
    assert found["Near"].busy is None


@pytest.mark.parametrize("sight", SIGHTS)
def test_greys_look_the_same_to_every_eye(sight):
    for grey in ("#000000", "#7f7f7f", "#ffffff"):
        assert measure_difference(see_as(grey, sight), grey) < 1


@pytest.mark.parametrize(
    ("sight", "one", "other"), [("deutan", "#b0782a", "#7f8d2f"), ("protan", "#7a3030", "#4a4430")]
)
def test_red_and_green_come_nearer_together_without_long_or_middle_cones(sight, one, other):
    assert measure_difference(see_as(one, sight), see_as(other, sight)) < 0.6 * measure_difference(one, other)


def test_a_grey_has_a_hue_that_can_be_sorted_by():
    assert 0 <= find_hue("#808080") < 360
    assert find_hue("#ff0000") < find_hue("#00ff00") < find_hue("#0000ff")
