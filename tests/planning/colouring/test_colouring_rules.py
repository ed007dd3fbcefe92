"""Rules, wishes, bounds and reasons of a placement; each one is re-checked by the independent check."""

from itertools import combinations
from random import Random

import pytest

from kit.checks.colouring_check import check_colouring
from kit.errors import KitError, NoPlanError
from kit.geometry.outlines import make_rectangle
from kit.model.colour import find_lightness
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patch, Patchwork, Within
from kit.model.rules import Rules
from kit.output.words.notice_words import say_notice, say_notices
from kit.planning.colouring.colour_plan import colour_plan
from kit.planning.colouring.forbidden_pairs import join_pairs, list_pairs
from kit.solvers.placing.graph_bounds import count_most
from kit.study import open_study


def make_grid(columns, rows, group=lambda _c, _r: ()):
    patches = [
        Patch(f"r{r:02d}c{c:02d}", make_rectangle(2 * c, 2 * r, 2, 2), "scrap", group=group(c, r))
        for r in range(rows)
        for c in range(columns)
    ]
    return Patchwork(tuple(patches))


def make_fabrics(count, limits=None):
    return [
        Fabric(
            "scrap",
            f"Print {k}",
            f"#{(k * 37) % 256:02x}{(k * 91) % 256:02x}{(k * 53) % 256:02x}",
            limits and limits[k],
        )
        for k in range(count)
    ]


def plan(patchwork, fabrics, seed=0, **rules):
    made = colour_plan(patchwork, fabrics, seed, Rules(**rules))
    check_colouring(patchwork, fabrics, made, Rules(**rules))
    return made


def most_of_one(patchwork, **rules):
    pairs = list_pairs(patchwork, Rules(**rules), ["scrap"])
    return count_most(join_pairs(pairs, len(patchwork.patches)))


# W12


def test_w12_a_print_comes_at_most_21_times_on_6_by_7_and_12_times_where_corners_may_not_meet():
    grid = make_grid(7, 6)
    edges, corners = most_of_one(grid), most_of_one(grid, touching="corners")
    assert (edges.found, edges.bound) == (21, 21)
    assert (corners.found, corners.bound) == (12, 12)


@pytest.mark.parametrize(
    ("touching", "limits", "most", "room"),
    [("edges", [22, 20], 21, 41), ("corners", [13, 12, 10, 7], 12, 41), ("corners", [42, 42, 42], 12, 36)],
)
def test_w12_a_supply_that_the_rule_leaves_no_room_for_is_explained_with_both_figures(touching, limits, most, room):
    grid = make_grid(7, 6)
    made = plan(grid, make_fabrics(len(limits), limits), touching=touching)
    words = {"edges": "share an edge", "corners": "meet at a corner"}[touching]
    said = " ".join(say_notices(made.reasons))
    assert f"may cover at most {most} of its 42 patches without two that {words}" in said
    assert f"have room for {room}" in said
    assert 42 - room <= made.bound <= made.violations
    assert made.helps


def test_w12_with_21_of_each_of_two_prints_there_is_exactly_the_chessboard():
    made = plan(make_grid(7, 6), make_fabrics(2, [21, 21]))
    assert made.violations == 0
    assert set(made.uses.values()) == {21}


# Impossible, and said why


def test_three_prints_cannot_keep_apart_four_patches_round_a_corner_and_one_more_is_proposed():
    made = plan(make_grid(4, 4), make_fabrics(3), touching="corners")
    assert made.violations == made.bound > 0
    assert "all meet at a corner; they need 4 fabrics, there are 3" in say_notice(made.reasons[0])
    assert "1 more fabric for slot `scrap`" in say_notices(made.helps)
    assert plan(make_grid(4, 4), make_fabrics(4), touching="corners").violations == 0
    assert "allowing patches of one fabric that meet at a corner" in say_notices(made.helps)
    assert plan(make_grid(4, 4), make_fabrics(3)).violations == 0


def test_two_prints_on_an_odd_ring_are_refused_by_the_ring():
    frame = [(0, 0, 2, 2), (2, 0, 2, 2), (4, 0, 2, 4), (2, 4, 4, 2), (0, 2, 2, 4)]
    patches = [Patch(f"w{i}", make_rectangle(*box), "scrap") for i, box in enumerate(frame)]
    middle = Patch("x", make_rectangle(2, 2, 2, 2), "middle")
    made = plan(Patchwork((*patches, middle)), [*make_fabrics(2), Fabric("middle", "Plain", "#dddddd")])
    assert "an odd ring needs 3 fabrics, there are 2" in say_notice(made.reasons[0])
    assert made.bound == made.violations == 1
    assert say_notices(made.helps) == ("1 more fabric for slot `scrap`",)


def test_the_least_of_violations_is_the_one_that_trying_everything_gives():
    random = Random(5)
    grid = make_grid(3, 3)
    pairs = list_pairs(grid, Rules(touching="corners"), ["scrap"])["corners"]
    for _ in range(4):
        limits = [random.randint(2, 5) for _ in range(3)]
        limits[0] += max(0, 9 - sum(limits))
        every = ([number // 3**v % 3 for v in range(9)] for number in range(3**9))
        within = [of for of in every if all(of.count(k) <= limits[k] for k in range(3))]
        least = min(sum(of[a] == of[b] for a, b in pairs) for of in within)
        made = plan(grid, make_fabrics(3, limits), touching="corners")
        assert made.violations == made.bound == least


@pytest.mark.parametrize("seed", range(3))
def test_two_prints_with_exact_limits_are_placed_or_it_is_said_that_they_cannot_be(seed):
    grid = make_grid(5, 5)
    assert plan(grid, make_fabrics(2, [13, 12]), seed).violations == 0
    other = plan(grid, make_fabrics(2, [12, 13]), seed)
    assert other.violations == 0
    short = plan(grid, make_fabrics(2, [14, 11]), seed)
    assert short.violations >= short.bound >= 1


# Each rule


@pytest.mark.parametrize("steps", [1, 2, 3])
def test_along_a_row_no_print_comes_again_within_so_many_steps(steps):
    row = make_grid(12, 1)
    made = plan(row, make_fabrics(steps + 1), apart=steps)
    assert made.violations == 0
    names = [made.assignment[patch.id] for patch in row.patches]
    assert all(len(set(names[i : i + steps + 1])) == steps + 1 for i in range(12 - steps))
    if steps > 1:
        fewer = plan(row, make_fabrics(steps), apart=steps)
        assert fewer.violations >= fewer.bound >= 12 // (steps + 1)


def test_steps_are_taken_within_a_part_of_the_top_only():
    grid = make_grid(6, 2, lambda _c, r: (f"row {r}",))
    pairs = list_pairs(grid, Rules(apart=3), ["scrap"])["apart"]
    assert len(pairs) == 2 * (5 + 4 + 3)


def test_a_print_comes_once_in_a_unit_when_asked():
    grid = make_grid(6, 6, lambda c, r: (Within("block", f"{r // 3}-{c // 3}"),))
    made = plan(grid, make_fabrics(10), once_in_unit=True)
    assert made.violations == 0
    for number in range(4):
        unit = [p.id for p in grid.patches if p.group == (Within("block", f"{number // 2}-{number % 2}"),)]
        assert len({made.assignment[patch] for patch in unit}) == 9
    short = plan(grid, make_fabrics(8), once_in_unit=True)
    assert "all are in one unit; they need 9 fabrics, there are 8" in say_notice(short.reasons[0])
    assert short.bound >= 4


def test_mirror_pairs_of_one_strip_take_half_of_the_limit_for_each_hand():
    study = open_study("data/studies/tideline.toml")
    top = study.make_patchwork()
    blades = [patch for patch in top.patches if patch.slot == "blade"]
    fabrics = [
        *(Fabric("blade", f"Print {k}", f"#{40 + 15 * k:02x}4050", 10) for k in range(len(blades) // 9 + 2)),
        *(Fabric(slot, slot, "#dddddd") for slot in top.slots if slot != "blade"),
    ]
    made = plan(top, fabrics, pairs=True)
    assert made.violations == 0
    for fabric in fabrics[:-3]:
        mine = [patch.id for patch in blades if made.assignment[patch.id] == fabric.name]
        for hand in "LR":
            assert sum(hand in patch for patch in mine) <= 5


def test_mirror_pairs_that_the_limits_do_not_yield_are_refused_with_both_figures():
    top = open_study("data/studies/tideline.toml").make_patchwork()
    others = [Fabric(slot, slot, "#dddddd") for slot in top.slots if slot != "blade"]
    count = sum(patch.slot == "blade" for patch in top.patches)
    fabrics = [Fabric("blade", f"Print {k}", "#404040", 3) for k in range(count // 3 + 1)]
    with pytest.raises(NoPlanError, match="as mirror pairs its fabrics yield"):
        colour_plan(top, [*fabrics, *others], 0, Rules(pairs=True))


def test_a_fabric_that_is_set_aside_is_not_used():
    made = plan(make_grid(5, 5), make_fabrics(5), set_aside=("Print 2",))
    assert "Print 2" not in made.assignment.values()
    assert "Print 2" not in made.uses


@pytest.mark.parametrize(
    ("rules", "said"),
    [
        ({"touching": "sides"}, "edges, corners"),
        ({"apart": 0}, "from 1 to 50"),
        ({"difference": -3.0}, "over 0"),
        ({"gradient": "upwards"}, "left to right"),
        ({"pins": (("a", "b"), ("a", "c"))}, "pinned twice"),
    ],
)
def test_an_impossible_rule_is_a_sentence(rules, said):
    with pytest.raises(KitError, match=said):
        Rules(**rules)


def test_so_many_pairs_that_no_machine_would_bear_them_are_refused():
    with pytest.raises(NoPlanError, match="at most 500,000"):
        colour_plan(make_grid(50, 30, lambda _c, _r: ("top",)), make_fabrics(6), 0, Rules(once_in_unit=True))


# Wishes


def figure(made, name):
    (wish,) = [wish for wish in made.wishes if wish.name == name]
    return wish.count


@pytest.mark.parametrize(
    ("name", "wish"),
    [
        ("difference", {"difference": 25.0}),
        ("gradient", {"gradient": "left to right"}),
        ("symmetry", {"symmetry": "left and right"}),
        ("spread", {"spread": True}),
        ("no stripes", {"no_stripes": True}),
    ],
)
def test_a_wish_is_met_better_than_without_it_and_breaks_no_rule(monkeypatch, name, wish):
    grid, fabrics = make_grid(12, 10), make_fabrics(10, [20] * 10)
    asked = plan(grid, fabrics, 2, touching="corners", **wish)
    monkeypatch.setattr("kit.planning.colouring.annealing.TRIALS", 0)
    unasked = plan(grid, fabrics, 2, touching="corners", **wish)
    assert asked.violations == 0
    assert figure(asked, name) < figure(unasked, name) or figure(unasked, name) == 0
    assert max(asked.uses.values()) <= 20


def test_a_gradient_runs_from_dark_to_light():
    grid, fabrics = make_grid(16, 6), make_fabrics(12)
    made = plan(grid, fabrics, gradient="left to right")
    shade = {fabric.name: find_lightness(fabric.colour) for fabric in fabrics}
    half = [
        [shade[made.assignment[p.id]] for p in grid.patches if (p.outline[0][0] < 16) == left] for left in (True, False)
    ]
    assert sum(half[0]) / 48 + 15 < sum(half[1]) / 48


@pytest.mark.parametrize("symmetry", ["left and right", "top and bottom", "half turn", "quarter turn"])
def test_every_patch_of_a_square_grid_has_its_images(symmetry):
    made = plan(make_grid(6, 6), make_fabrics(9), symmetry=symmetry)
    (wish,) = made.wishes
    assert wish.total == {"quarter turn": 54}.get(symmetry, 18)
    assert wish.count < wish.total


def test_the_same_seed_gives_the_same_placement_and_another_seed_another():
    grid, fabrics = make_grid(8, 8), make_fabrics(9)
    rules = {"touching": "corners", "spread": True, "pins": (("r02c02", "Print 1"),)}
    first = plan(grid, fabrics, 1, **rules)
    assert plan(grid, fabrics, 1, **rules) == first
    assert plan(grid, fabrics, 2, **rules).assignment != first.assignment


# Planted placements


def plant(patchwork, count, rules, seed):
    """Return limits for which a placement without violation exists: the uses of one that was drawn at random."""
    random = Random(seed)
    near = join_pairs(list_pairs(patchwork, rules, ["scrap"]), len(patchwork.patches))
    weights = [random.random() ** 2 + 0.05 for _ in range(count)]
    of = [-1] * len(near)
    for patch, row in enumerate(near):
        free = [k for k in range(count) if all(of[other] != k for other in row)]
        of[patch] = random.choices(free, [weights[k] for k in free])[0]
    return [max(1, of.count(k)) for k in range(count)]


@pytest.mark.parametrize("rules", [{}, {"touching": "corners"}, {"touching": "corners", "apart": 2}], ids=str)
@pytest.mark.parametrize("seed", [1, 2])
def test_a_planted_placement_with_not_one_patch_to_spare_is_found_without_violation(rules, seed):
    grid = make_grid(20, 12)
    limits = plant(grid, 16, Rules(**rules), seed)
    assert plan(grid, make_fabrics(16, limits), seed, **rules).violations == 0


@pytest.mark.parametrize("seed", range(4))
def test_a_random_tight_supply_on_a_small_grid_is_met_exactly_when_it_can_be(seed):
    random = Random(seed)
    grid = make_grid(4, 2)
    limits = [random.randint(1, 3) for _ in range(4)]
    limits[0] += max(0, 8 - sum(limits))
    made = plan(grid, make_fabrics(4, limits), touching="corners")
    pairs = list_pairs(grid, Rules(touching="corners"), ["scrap"])["corners"]
    every = ([number // 4**v % 4 for v in range(8)] for number in range(4**8))
    fits = (of for of in every if all(of.count(k) <= limits[k] for k in range(4)))
    possible = any(all(of[a] != of[b] for a, b in pairs) for of in fits)
    assert possible == (made.violations == 0)
    assert possible or made.bound > 0


def test_pairs_listed_for_corners_hold_all_those_for_edges():
    pairs = list_pairs(make_grid(4, 3), Rules(touching="corners"), ["scrap"])
    assert pairs["edges"] < pairs["corners"]
    assert len(pairs["corners"]) == sum(
        max(abs(a % 4 - b % 4), abs(a // 4 - b // 4)) == 1 for a, b in combinations(range(12), 2)
    )
