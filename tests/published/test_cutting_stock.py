"""Cutting stock in one dimension: the published least number of stock lengths, by the code that plans strips.

Each length is a strip of 2 1/2 in, an eighth of an inch for each unit of the instance, so that the ruler reads it
exactly. Sources stand in `cutting_stock_1d.json`. Whole optima are compared without tolerance.
"""

import json
from math import ceil

import pytest
from cut_lists import make_list
from published_tables import DATA

from kit.checks.cutting_check import check_cutting_plan
from kit.model.fabrics import Supply
from kit.planning.cutting.cutting_plan import cutting_plan

INSTANCES = json.loads((DATA / "cutting_stock_1d.json").read_text(encoding="utf-8"))["instances"]
EIGHTH = 0.125
STRIP = 1.0  # inches; no length is shorter, so that none can be turned


def name(instance):
    return instance["name"]


def cut(instance, scale=EIGHTH):
    """Return the lengths of an instance as strips of cloth."""
    pairs = zip(instance["lengths"], instance["demand"], strict=True)
    return make_list([(STRIP, length * scale, number) for length, number in pairs])


@pytest.mark.parametrize("effort", ["steady", "thorough"])
@pytest.mark.parametrize("instance", INSTANCES, ids=name)
def test_strips_of_a_roll_reach_the_published_optimum_and_prove_it(instance, effort):
    cuts = cut(instance)
    plan = cutting_plan(cuts, [Supply("patch", "strips", STRIP, instance["stock_length"] * EIGHTH)], effort=effort)
    check_cutting_plan(cuts, plan)
    assert plan.short == {}
    assert plan.cloth["patch"] == plan.bound["patch"] == instance["optimum"]


@pytest.mark.parametrize("instance", INSTANCES, ids=name)
def test_strips_across_yardage_reach_the_published_optimum_and_prove_it(instance):
    # The stock is the usable width: each strip of an inch across it is one stock length.
    cuts = cut(instance)
    cloth = Supply("patch", "yardage", instance["stock_length"] * EIGHTH, nap=True)
    plan = cutting_plan(cuts, [cloth])
    check_cutting_plan(cuts, plan)
    assert plan.cloth["patch"] == plan.bound["patch"] == instance["optimum"] * STRIP


@pytest.mark.parametrize("instance", INSTANCES, ids=name)
def test_one_stock_length_fewer_leaves_something_short(instance):
    cuts = cut(instance)
    few = instance["optimum"] - 1
    plan = cutting_plan(cuts, [Supply("patch", "strips", STRIP, instance["stock_length"] * EIGHTH, few)])
    check_cutting_plan(cuts, plan)
    assert plan.short["patch"]


@pytest.mark.parametrize("instance", INSTANCES, ids=name)
def test_the_printed_figures_of_an_instance_agree_with_one_another(instance):
    total = sum(length * number for length, number in zip(instance["lengths"], instance["demand"], strict=True))
    assert total <= instance["optimum"] * instance["stock_length"]
    assert ceil(instance["linear_bound"]) == instance["optimum"]
    assert total / instance["stock_length"] <= instance["linear_bound"] + 5e-5
    if "waste_percent" in instance:
        waste = 100 * (1 - total / (instance["optimum"] * instance["stock_length"]))
        assert waste == pytest.approx(instance["waste_percent"], abs=0.0005)  # printed to three places


@pytest.mark.parametrize("instance", INSTANCES, ids=name)
def test_each_instance_names_its_source(instance):
    assert set(instance["source"]) == {"author", "title", "year", "seen"}
