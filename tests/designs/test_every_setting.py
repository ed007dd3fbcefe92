"""Every family in every setting: each plan is made and accepted, or words say why the two do not go together."""

import pytest
from hypothesis import given, settings
from random_designs import FAMILIES as DRAWN
from random_designs import SETTINGS, draw_settings, seed_dice
from redrawing import attempt
from strategies import Case, random_cases

from kit.checks.colouring_check import check_colouring
from kit.checks.cut_list_check import check_cut_list
from kit.checks.cutting_check import check_cutting_plan
from kit.checks.sewing_check import check_sewing_plan
from kit.designs import FAMILIES
from kit.model.fabrics import Fabric
from kit.planning.colouring.colour_plan import colour_plan
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list, divide_by_fabric
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

pytestmark = pytest.mark.slow

TABLES = draw_settings(seed_dice(4), 0.25)
ON_POINT = [name for name in SETTINGS if "on point" in name]
BEYOND = ["on point, float", "on point, oversize", "bars, on point"]
"""Settings on point whose triangles reach beyond the points, with the lengths of TABLES."""
LONG = ["bargello", "braid", "chevron", "flying geese", "sixty degrees"]
"""Families whose blocks, by their defaults, are longer than wide or wider than long."""
IMPOSSIBLE = {
    **{(family, name): "its points would not line up" for family in LONG for name in ON_POINT},
    **{(family, "quarters turned"): '"turned" for a quarter that finishes' for family in LONG},
    **{("string panels", name): "beyond the points of a trimmed block" for name in BEYOND},
}
"""What does not go together, and the reason that is given."""
NEEDS = {
    "braid": {"rows": 1},
    "lines": {"lines": ["0,6 12,6", "6,6 6,12"]},
    "outlines": {"outlines": ["a: 0,0 6,0 6,12 0,12", "b: 6,0 12,0 12,12 6,12"]},
    "units": {
        "unit": {
            "bar": {"patch": "rectangle", "width_finished": "3 in", "height_finished": "6 in"},
            "whole": {"rows": ["bar bar"]},
        }
    },
}
"""Keys without which a family has no design."""


def prove(patchwork, seed=0):
    """Make every plan of a top that two fabrics a slot are bought for, each accepted by its own check."""
    cuts = cut_list(patchwork)
    check_cut_list(patchwork, cuts)
    fabrics = [Fabric(slot, f"{slot} {n}", f"#{n}0{n}0{n}0") for slot in patchwork.slots for n in (1, 2)]
    colouring = colour_plan(patchwork, fabrics, seed)
    check_colouring(patchwork, fabrics, colouring)
    by_fabric = divide_by_fabric(cuts, colouring.assignment)
    cutting = cutting_plan(by_fabric, [fabric.supply() for fabric in fabrics], effort="quick")
    check_cutting_plan(by_fabric, cutting)
    sewing = sewing_plan(patchwork, cuts)
    check_sewing_plan(patchwork, cuts, sewing)
    rehearsal = rehearse(cuts, sewing)
    assert rehearsal.agrees, rehearsal.differences
    assert rehearsal.finished == pytest.approx(patchwork.finished, abs=1e-4)


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_a_family_goes_into_every_setting_but_those_where_a_reason_is_given(family):
    refused = {}
    for name, tables in TABLES.items():
        keys = {"family": family, "columns": 2, "rows": 2} | NEEDS.get(family, {}) | tables
        patchwork, refusal = attempt(lambda keys=keys: Case(keys, "1/4 in").build().verify())
        if patchwork is None:
            refused[family, name] = refusal.found
    wanted = {pair: said for pair, said in IMPOSSIBLE.items() if pair[0] == family}
    assert set(refused) == set(wanted)
    assert all(said in refused[pair] for pair, said in wanted.items())


@pytest.mark.parametrize("setting", SETTINGS)
@pytest.mark.parametrize("family", sorted(DRAWN))
def test_every_family_in_every_setting_is_cut_coloured_and_sewn_as_designed_or_refused_in_words(family, setting):
    @settings(max_examples=2, database=None)
    @given(random_cases(family, setting, borders=1))
    def try_one(case):
        patchwork, refusal = attempt(lambda: case.build().verify())
        if patchwork is None:
            assert refusal.do
        else:
            prove(patchwork)

    try_one()
