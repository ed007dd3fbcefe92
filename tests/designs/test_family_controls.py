"""The controls of every family: each stands where the family does, and offers what the family takes."""

from typing import get_args

import pytest

from kit.designs import FAMILIES
from kit.explore.quantities import DESIGN, FRAME, read_value, set_value
from kit.lengths import read_length

QUANTITIES = [(family, quantity) for family in sorted(FAMILIES) for quantity in DESIGN[family]]


def name(value):
    return value if isinstance(value, str) else value.path[-1]


def test_every_family_has_controls_and_every_control_a_family():
    assert set(DESIGN) == set(FAMILIES)


@pytest.mark.parametrize(("family", "quantity"), QUANTITIES, ids=name)
def test_a_control_begins_where_the_family_does_and_offers_all_that_it_takes(family, quantity):
    field = FAMILIES[family].model_fields[quantity.path[1]]
    default = field.default[0] if isinstance(field.default, tuple) else field.default
    assert quantity.first == (default or 0)
    assert set(quantity.choices) == (set(get_args(field.annotation)) if quantity.kind == "choice" else set())


@pytest.mark.parametrize("table", ["alternate", "on_point"])
def test_a_flag_of_a_setting_puts_its_table_in_and_takes_it_out(table):
    (flag,) = [quantity for quantity in FRAME if quantity.path == ("design", table)]
    keys = {"design": {"family": "whirl"}}
    assert read_value(flag, keys) is False
    for on in (True, False):
        set_value(keys, flag, on)
        assert keys["design"] == {"family": "whirl"} | ({table: {}} if on else {})
        assert read_value(flag, keys) is on


def test_a_float_is_set_on_point_only_and_leaves_a_straight_setting_alone():
    (control,) = [quantity for quantity in FRAME if quantity.path[-1] == "float_finished"]
    straight, pointed = {"design": {"family": "whirl"}}, {"design": {"family": "whirl", "on_point": {}}}
    for keys in (straight, pointed):
        set_value(keys, control, "1 in")
    assert straight["design"] == {"family": "whirl"}
    assert pointed["design"]["on_point"] == {"float_finished": "1 in"}
    assert read_length(pointed["design"]["on_point"]["float_finished"]) == read_value(control, pointed)
