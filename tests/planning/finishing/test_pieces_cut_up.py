"""A backing of pieces on hand that are cut: what is left of one piece serves further on."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.checks.finishing_check import check_finishing_plan
from kit.errors import CheckError
from kit.model.finishing import FinishingWishes, TopFacts
from kit.output.words.finishing_words import describe_finishing
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.finishing.pieces_cut_up import cut_up_backing

WISHES = FinishingWishes(on_hand=((40.0, 72.0), (40.0, 36.0)), backing="on hand", overhang_sides=4, overhang_ends=4)


def plan_it(wishes=WISHES):
    return finishing_plan(45.0, 54.0, wishes, TopFacts())


def test_a_backing_of_53_by_62_comes_out_of_two_pieces():
    # By hand: 40 x 62 from the long piece. Beside it 53 - 40 + 1 = 14 in wide: 14 x 36 and 14 x 27 side by side from
    # the short one (28 of 40 in), for 36 + 27 - 1 = 62.
    plan = plan_it()
    check_finishing_plan(45.0, 54.0, plan)
    assert plan.backing.needed == (53.0, 62.0)
    panels = plan.backing.chosen.panels
    assert sorted((panel.source, panel.cut) for panel in panels) == [
        (0, (40.0, 62.0)),
        (1, (14.0, 27.0)),
        (1, (14.0, 36.0)),
    ]
    assert plan.backing.chosen.seams == 2
    assert plan.backing.chosen.bought == 0.0


def test_the_words_say_what_is_cut_from_which_piece():
    told = " ".join(line for part in describe_finishing(plan_it(), 1) for line in part[1])
    plain = told.replace("\N{NO-BREAK SPACE}", " ")
    assert "From the piece of 40 in × 72 in cut (1) 40 in × 62 in." in plain
    assert "From the piece of 40 in × 36 in cut (1) 14 in × 36 in, (1) 14 in × 27 in." in plain


def test_an_inch_less_is_not_enough_in_one_way_or_the_other():
    # 53 x 62 with its seams takes 40 x 62 + 14 x 36 + 14 x 27: from 13 in less of the second piece it cannot come
    panels, _ = cut_up_backing((53, 62), [(40, 61), (26, 36)], 0.5)
    assert panels == ()


def test_a_print_with_a_top_is_not_laid_on_its_side():
    both = ((40.0, 72.0), (36.0, 20.0))
    turned, _ = cut_up_backing((53, 62), both, 0.5)
    assert any(panel.turned for panel in turned) or not turned
    upright, _ = cut_up_backing((53, 62), both, 0.5, turning=False)
    assert not any(panel.turned for panel in upright)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.integers(10, 60), st.integers(10, 80)), min_size=1, max_size=4),
    st.integers(20, 60),
    st.integers(20, 70),
)
def test_every_backing_that_is_found_is_accepted_by_the_check(pieces, wide, high):
    sizes = tuple((float(a), float(b)) for a, b in pieces)
    panels, covers = cut_up_backing((wide, high), sizes, 0.5)
    if not panels:
        return
    assert covers == (wide, high)
    area = sum(panel.cut[0] * panel.cut[1] for panel in panels)
    assert area <= sum(a * b for a, b in sizes) + 1e-6
    if wide > 28 and high > 28:
        wishes = replace(WISHES, on_hand=sizes, backing="on hand")
        plan = finishing_plan(wide - 8.0, high - 8.0, wishes, TopFacts())
        check_finishing_plan(wide - 8.0, high - 8.0, plan)


def damage(**changes):
    plan = plan_it()
    way = plan.backing.chosen
    number = changes.pop("panel")
    panels = tuple(replace(panel, **changes) if i == number else panel for i, panel in enumerate(way.panels))
    worse = replace(way, panels=panels)
    ranked = tuple(worse if one == way else one for one in plan.backing.ranked)
    return replace(plan, backing=replace(plan.backing, chosen=worse, ranked=ranked))


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"panel": 0, "place": (1.0, 0.0)}, "reaches 41 x 62 in into piece 1"),
        ({"panel": 2, "place": (0.0, 0.0)}, "two panels of piece 2 overlap"),
        ({"panel": 2, "source": 7}, "piece 8 is cut"),
        ({"panel": 2, "source": 0, "place": (0.0, 0.0)}, "two panels of piece 1 overlap"),
        ({"panel": 0, "source": None}, "pieces that are there"),
        ({"panel": 1, "cut": (13.0, 36.0)}, "a panel takes 14 in"),
        ({"panel": 2, "turned": True, "place": (13.0, 0.0)}, "overlap"),
    ],
)
def test_damaged_pieces_are_refused_by_name(changes, says):
    with pytest.raises(CheckError) as refused:
        check_finishing_plan(45.0, 54.0, damage(**changes))
    assert says in str(refused.value)
    assert "on hand" in str(refused.value)
