"""What a design refuses is said in the lengths of the study: a maker in centimetres reads no inches."""

import re

import pytest

import kit
from kit.errors import KitError
from kit.lengths import use_system
from kit.model.patchwork import patchwork_from_outlines
from kit.study import study_from_keys, study_keys

WRONG = {
    "tideline": {"column_finished": "2 cm"},
    "ferry-steps": {"block_finished": "1 cm", "strip_cut": "1.6 cm"},
    "lamplight": {"log_finished": ["1 cm"]},
    "boat-shed": {},
}
"""Lengths that cannot be sewn; Boat Shed has spacers that are narrower than two allowances of 0.75 cm as it stands."""


def refuse(name, system):
    keys = study_keys(kit.open_study(f"data/studies/{name}.toml"))
    keys["measures"] = {"system": system, "seam_allowance": "0.75 cm"}
    held = type(study_from_keys(keys).design).model_fields
    keys["design"] |= {key: value for key, value in WRONG[name].items() if key in held}
    keys.pop("editions", None)
    with pytest.raises(KitError) as refused:
        kit.make_sketch(study_from_keys(keys))
    return str(refused.value).replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("name", WRONG)
def test_centimetres_in_a_metric_study_and_inches_in_another(name):
    metric, inch = refuse(name, "metric"), refuse(name, "inch")
    assert re.search(r"\d cm", metric)
    assert not re.search(r"[\d½¼¾⅛⅜⅝⅞] in\b(?! row)", metric), metric
    assert re.search(r"[\d½¼¾⅛⅜⅝⅞] in\b", inch)
    assert not re.search(r"\d cm", inch), inch
    assert re.sub(r"[\d.½¼¾⅛⅜⅝⅞⁄\u202f]+", "#", metric).replace("# cm", "# in") == re.sub(
        r"[\d.½¼¾⅛⅜⅝⅞⁄\u202f]+", "#", inch
    )


def test_the_explorer_says_so_too():
    keys = study_keys(kit.open_study("data/studies/tideline.toml"))
    keys["measures"] = {"system": "metric", "seam_allowance": "0.75 cm"}
    explorer = kit.explore(study_from_keys(keys))
    column = next(one for one in explorer._panel.controls if one.quantity.path == ("design", "column_finished"))
    column.field.value = "2 cm"
    said = explorer.message.value.replace("\N{NO-BREAK SPACE}", " ")
    assert "is 2 cm, too narrow for a blade" in said
    assert "in, too narrow" not in said


def test_an_edge_too_short_to_be_sewn_is_measured_in_it_too():
    outlines = [[(0, 0), (8, 0), (8, 4), (0, 4)], [(0, 4), (8, 4), (8, 4.4), (0, 4.4)]]
    with use_system("metric"), pytest.raises(KitError) as refused:
        patchwork_from_outlines(outlines)
    assert "has a 1.02 cm edge" in str(refused.value)
    assert "with a 0.64 cm allowance the shortest sewable edge is 1.27 cm" in str(refused.value)
