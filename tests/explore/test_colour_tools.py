import pytest

import kit
from kit.model.rules import Rules
from kit.study import study_from_keys

BLADES = ("c01-L004", "c01-R004")


@pytest.fixture
def explorer():
    return kit.explore("data/studies/tideline.toml")


def click(explorer, patch):
    """Do what the figure does when a patch of it is clicked."""
    place = [one.id for one in explorer.sketch.patchwork.patches].index(patch)
    explorer._picture._hear(["patch", place, 1])


def test_a_click_names_the_patch_its_fabric_and_the_fabrics_that_it_may_have(explorer):
    tools = explorer._panel.tools
    click(explorer, BLADES[0])
    assert tools.patch.value == BLADES[0]
    assert tools.fabric.value == explorer.sketch.colouring.assignment[BLADES[0]]
    assert len(tools.fabric.options) == 12
    assert "slot blade" in tools.said.value


def test_another_fabric_given_to_a_patch_is_pinned_and_few_others_change(explorer):
    tools, before = explorer._panel.tools, explorer.sketch.colouring.assignment
    click(explorer, BLADES[0])
    tools.fabric.value = next(name for name in tools.fabric.options if name != before[BLADES[0]])
    tools.give()
    after = explorer.sketch.colouring.assignment
    assert after[BLADES[0]] == tools.fabric.value
    assert explorer.study.rules.pins == ((BLADES[0], tools.fabric.value),)
    assert explorer.sketch.colouring.violations == 0
    moved = [patch for patch in after if after[patch] != before[patch] and patch != BLADES[0]]
    assert len(moved) <= 3
    assert f"{len(moved)} other patches changed" in tools.said.value


def test_two_patches_clicked_one_after_the_other_are_swapped_and_both_pinned(explorer):
    before = explorer.sketch.colouring.assignment
    for patch in BLADES:
        click(explorer, patch)
    explorer._panel.tools.swap()
    after = explorer.sketch.colouring.assignment
    assert (after[BLADES[0]], after[BLADES[1]]) == (before[BLADES[1]], before[BLADES[0]])
    assert {patch for patch, _ in explorer.study.rules.pins} == set(BLADES)


def test_pins_are_dropped_one_or_all(explorer):
    tools = explorer._panel.tools
    for patch in BLADES:
        click(explorer, patch)
        tools.pin()
    assert len(explorer.study.rules.pins) == 2
    tools.drop()
    assert [patch for patch, _ in explorer.study.rules.pins] == [BLADES[0]]
    tools.drop_all()
    assert explorer.study.rules == Rules()


def test_another_arrangement_keeps_the_pins(explorer):
    click(explorer, BLADES[0])
    explorer._panel.tools.pin()
    kept, before = explorer.study.rules.pins[0], explorer.sketch.colouring.assignment
    explorer._keys["seed"] += 1
    explorer._update()
    after = explorer.sketch.colouring.assignment
    assert after[kept[0]] == kept[1]
    assert after != before


def test_a_rule_ticked_or_chosen_goes_into_the_study_and_back_out(explorer):
    rules = explorer._panel.tools.rules
    rules["touching"].value = "corners"
    rules["apart"].value = 3
    rules["difference"].value = 15
    assert explorer.study.rules == Rules(touching="corners", apart=3, difference=15.0)
    assert study_from_keys(explorer._keys).rules == explorer.study.rules
    rules["touching"].value = "edges"
    rules["apart"].value = 1
    rules["difference"].value = 0
    assert explorer.study.rules == Rules()


def test_a_patch_that_is_not_there_is_a_sentence(explorer):
    explorer._panel.tools.patch.value = "<b>no</b>"
    explorer._panel.tools.pin()
    assert "There is no patch `&lt;b&gt;no&lt;/b&gt;`" in explorer._panel.tools.said.value
    assert explorer.study.rules == Rules()
