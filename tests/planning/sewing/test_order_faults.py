"""Studies that the order of sewing once failed on, each as small as it still failed, with what was wrong."""

from random import Random

import kit
from kit.checks.sewing_check import check_sewing_plan
from kit.designs import FAMILIES
from kit.planning.cutting.blanks import join_strips
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.least_cost import LeastCostSearch
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.study import study_from_keys


def test_mirrored_units_that_are_cut_in_two_ways_have_names_of_their_own():
    # two kinds of mirrored block, whose pieces differ, were both called "block mirrored": later plans mixed them up
    keys = {"family": "grid blocks", "pattern": ["rope:kelp:tide:tide kelp"], "column_widths": [3, 2], "quarters": {}}
    slots = [{"slot": slot, "name": slot, "colour": "#7b2716"} for slot in ("rope", "kelp", "tide")]
    pattern = kit.make_pattern(study_from_keys({"title": "Rope", "design": keys, "fabric": slots}), "quick")
    names = [unit.name for unit in pattern.sewing.units]
    assert len(set(names)) == len(names)
    assert {name for name in names if name.startswith("block mirrored")} == {"block mirrored A", "block mirrored B"}
    for unit in pattern.sewing.units:
        steps = [step for step in pattern.sewing.steps if step.unit == unit.name]
        assert {patch for step in steps for patch in step.first + step.second} <= set(unit.copies[0])


def test_bits_joined_from_narrow_cloth_and_their_seams_keep_a_third_of_it():
    # a strip cut shorter to spare the end of a piece was 3 in of a 10 in square; of 2 1/2 in squares it was 1.2 in
    rng = Random(16)
    for _ in range(3000):
        room = rng.choice((2.5, 5.0, 8.0, 10.0, 11.0, 12.0, 18.0, 22.0, 40.0))
        length, count, allowance = room + rng.uniform(0.01, 60), rng.randint(1, 9), rng.choice((0.25, 0.375))
        strips = join_strips(length, count, room, allowance)
        least = min(4.0, room / 3)
        assert least - 1e-9 <= min(strips)
        assert max(strips) <= room + 1e-9
        assert abs(sum(strips) - 2 * allowance * (len(strips) - 1) - count * length) < 1e-6
        seam = 0.0
        for strip in strips[:-1]:  # a strip brings its width less two allowances; the first lies wholly in the piece
            seam += strip - 2 * allowance
            here = (seam + allowance) % length
            assert least - 1e-6 <= min(here, length - here)


def build_blocks_in_a_turned_border():
    """Return tumbling blocks within a border that turns round: no line straight through, and twelve corners set in."""
    keys = {
        "family": "sixty degrees", "shape": "tumbling blocks", "edge_finished": "2.5 in", "across": 2, "down": 2,
        "columns": 2, "offset": {"shifts": ["whole", "2.25 in"]}, "sashing": {"finished": "2.5 in"},
        "border": [{"finished": "3.75 in", "corners": "turned", "first": "ends"}],
    }  # fmt: skip
    return FAMILIES["sixty degrees"].model_validate(keys).patchwork()


def test_corners_that_must_be_set_in_count_in_the_bound_of_the_search(monkeypatch):
    # the bound of a part was one set-in seam, whatever its corners: the search ran through its whole budget
    searches = []
    solve = LeastCostSearch.solve

    def look(search, part):
        searches.append(search)
        return solve(search, part)

    monkeypatch.setattr(LeastCostSearch, "solve", look)
    plan = sewing_plan(build_blocks_in_a_turned_border())
    assert (plan.set_in_seams, plan.set_in_bound) == (12, 12)
    assert (plan.partial_seams, plan.partial_bound) == (1, 1)
    assert searches
    assert all(search.budget - search.left < 1000 for search in searches)


def test_a_search_whose_budget_is_spent_gives_an_order_and_an_honest_bound(monkeypatch):
    start = LeastCostSearch.__init__
    monkeypatch.setattr(LeastCostSearch, "__init__", lambda self, state, **more: start(self, state, 1, **more))
    plan = sewing_plan(build_blocks_in_a_turned_border())
    assert plan.set_in_bound <= 12 <= plan.set_in_seams
    check_sewing_plan(build_blocks_in_a_turned_border(), cut_list(build_blocks_in_a_turned_border()), plan)


def test_a_cross_of_blocks_is_sewn_in_quarters_from_its_middle_line_outward():
    # the line within the upper arm was opened before the one that parts the arm from the rest: no line of sewing then
    units = {
        "pinwheel": {"family": "pinwheel"},
        "middle": {"patch": "square", "slot": "middle", "side_finished": "pinwheel.bottom"},
        "whole": {"around": "pinwheel.bottom", "times": 4, "centre": "middle.top"},
    }
    cloth = [{"slot": slot, "name": slot, "colour": "#3b720b"} for slot in ("middle", "sail", "ground")]
    keys = {"title": "Cross", "design": {"family": "units"}, "unit": units, "fabric": cloth}
    pattern = kit.make_pattern(study_from_keys(keys | {"sewing": {"assembly": "quarters"}}), "quick")
    check_sewing_plan(pattern.patchwork, pattern.cut_list, pattern.sewing)
    last = pattern.sewing.steps[-1]
    assert {frozenset(last.first), frozenset(last.second)} == {
        frozenset(one for one in pattern.patchwork.by_id if one.startswith("pinwheel3") is arm) for arm in (True, False)
    }
