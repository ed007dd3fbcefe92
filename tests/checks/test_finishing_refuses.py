"""The finishing plan's check refuses damaged plans, each by the name of the part that was damaged."""

from dataclasses import replace

import pytest

from kit.checks.finishing_check import check_finishing_plan
from kit.errors import CheckError
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_figures import GapVerdict, Purchase
from kit.model.notices import notice
from kit.planning.finishing.finishing_plan import finishing_plan

TOP = TopFacts(
    title="Lamplight", borders=(3.0,), border_width=42.0, cuts=616, seams=615, seam_length=4308.0, gap=9.0,
    paths=(("white", 2000.0),), purchases=(Purchase("cloth", "Lamp", 1.0, "yd", 12.0),),
)  # fmt: skip
WISHES = FinishingWishes(
    on_hand=((40.0, 90.0), (40.0, 90.0)), left_over_first=True, backing_price=10.0, for_sale=True, bleeding=("Lamp",),
    backing="lengthwise",
)  # fmt: skip
PLAN = finishing_plan(66.0, 66.0, WISHES, TOP)


def refuse(plan, *words, size=(66.0, 66.0)):
    with pytest.raises(CheckError) as told:
        check_finishing_plan(*size, plan)
    for word in words:
        assert word in str(told.value)


def put(part, **changes):
    return replace(PLAN, **{part: replace(getattr(PLAN, part), **changes)})


def put_border(**changes):
    return replace(PLAN, borders=(replace(PLAN.borders[0], **changes),))


def put_way(name, **changes):
    ranked = tuple(replace(way, **changes) if way.way == name else way for way in PLAN.backing.ranked)
    chosen = next(way for way in ranked if way.way == PLAN.backing.chosen.way)
    return put("backing", ranked=ranked, chosen=chosen)


def get_way(name):
    return next(way for way in PLAN.backing.ranked if way.way == name)


def test_the_plan_itself_is_accepted():
    check_finishing_plan(66.0, 66.0, PLAN)


def test_a_plan_for_another_quilt_is_refused():
    refuse(PLAN, "size", "66", "67", size=(66.0, 67.0))


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"strips": 6, "joins": 5, "cloth": 21.0}, "strips"),
        ({"joins": 5}, "joins"),
        ({"join_cost": 0.0}, "join takes"),
        ({"cut": 3.25}, "cut 3.25"),
        ({"inner": (60.0, 59.0)}, "inner height"),
        ({"lengths": (60.5, 60.5, 60.5, 60.5)}, "strip 3"),
        ({"cloth": 24.0}, "cloth"),
        ({"bought": 22.5}, "bought"),
        ({"other": 1.0}, "the other way"),
        ({"finished": 2.0}, "borders"),
    ],
)
def test_a_damaged_border_is_refused(changes, word):
    refuse(put_border(**changes), "border", word)


@pytest.mark.parametrize("name", ["length", "ease", "per_quarter", "share"])
def test_a_fit_that_is_not_the_mean_is_refused(name):
    fit = PLAN.borders[0].sides
    refuse(put_border(sides=replace(fit, **{name: getattr(fit, name) + 0.25})), "border 1")


def test_a_border_that_is_left_out_is_refused():
    refuse(replace(PLAN, borders=()), "borders")


@pytest.mark.parametrize(
    ("way", "changes", "word"),
    [
        ("lengthwise", {"cloth": 74.0}, "bought"),
        ("lengthwise", {"cloth": 76.0, "bought": 81.0}, "cloth 76"),
        ("lengthwise", {"seams": 0}, "seams"),
        ("lengthwise", {"covers": (73.0, 74.0)}, "covers"),
        ("lengthwise", {"offcuts": ()}, "offcuts"),
        ("lengthwise", {"cloth_width": 44.0}, "wide"),
        ("wide", {"bought": 72.0}, "bought"),
    ],
)
def test_a_damaged_backing_is_refused_by_its_way(way, changes, word):
    refuse(put_way(way, **changes), f"backing, {way}", word)


def test_a_backing_with_a_panel_dropped_or_moved_is_refused():
    first, second = get_way("lengthwise").panels
    refuse(put_way("lengthwise", panels=(first,), seams=0), "backing, lengthwise", "square inches")
    moved = replace(second, outline=tuple((x + 1, y) for x, y in second.outline))
    refuse(put_way("lengthwise", panels=(first, moved)), "backing, lengthwise", "outside")


def test_a_panel_that_takes_more_than_its_width_is_refused():
    first, second = get_way("lengthwise").panels
    wide = replace(first, outline=tuple((x and 42.0, y) for x, y in first.outline))
    rest = replace(second, outline=tuple((42.0 if x < 50 else x, y) for x, y in second.outline))
    refuse(put_way("lengthwise", panels=(wide, rest)), "panel 1 takes")


def test_a_piece_that_is_not_on_hand_and_one_that_is_too_small_are_refused():
    first, second = get_way("on hand").panels
    refuse(put_way("on hand", panels=(replace(first, cut=(45.0, 90.0)), second)), "on hand", "pieces that are there")
    wide = replace(first, outline=tuple((x, y and 42.0) for x, y in first.outline))
    rest = replace(second, outline=tuple((x, 42.0 if y < 50 else y) for x, y in second.outline))
    refuse(put_way("on hand", panels=(wide, rest)), "on hand", "a panel takes")


def test_a_diagonal_cut_that_is_too_short_is_refused():
    plan = finishing_plan(44.0, 60.0, FinishingWishes(backing="diagonal"))
    check_finishing_plan(44.0, 60.0, plan)
    short = replace(plan.backing.chosen, cloth=plan.backing.chosen.cloth - 0.5)
    ranked = tuple(short if way.way == "diagonal" else way for way in plan.backing.ranked)
    damaged = replace(plan, backing=replace(plan.backing, chosen=short, ranked=ranked))
    refuse(damaged, "backing, diagonal", size=(44.0, 60.0))


def test_ways_out_of_rank_and_a_way_that_the_maker_did_not_choose_are_refused():
    refuse(put("backing", ranked=PLAN.backing.ranked[::-1]), "backing", "rank")
    refuse(put("backing", chosen=get_way("wide")), "backing", "wide")


def test_a_backing_or_batting_without_its_overhang_is_refused():
    refuse(put("backing", needed=(66.0, 66.0)), "backing", "overhang")
    refuse(put("batting", needed=(66.0, 66.0)), "batting", "overhang")


def test_a_batting_too_small_unknown_or_not_the_best_is_refused():
    best = PLAN.batting.ranked[0]
    for size, name in (((72.0, 90.0), "twin"), ((73.0, 74.0), best.name)):
        small = replace(best, size=size, name=name)
        refuse(put("batting", ranked=(small,), chosen=small), "batting", "holds")
    refuse(put("batting", chosen=PLAN.batting.ranked[-1]), "batting", "fewest joins")


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"lengths": PLAN.binding.lengths[:-1]}, "total"),
        ({"lengths": PLAN.binding.lengths[:-1], "total": PLAN.binding.total - 37.5}, "strips give"),
        ({"cut": 2.25}, "cut 2.25"),
        ({"join_cost": 0.5}, "join takes"),
        ({"needed": 264.0}, "needed"),
        ({"cloth": 17.5}, "cloth"),
        ({"bought": 18.0}, "bought"),
        ({"clear": 10.0}, "corners"),
        ({"joins": PLAN.binding.joins[:-1]}, "closing"),
    ],
)
def test_a_damaged_binding_is_refused(changes, word):
    refuse(put("binding", **changes), "binding", word)


def test_a_join_that_is_moved_along_its_side_is_refused():
    first, join, *rest = PLAN.binding.joins
    step = 2 if join.along < 33 else -2
    ways = {"bottom": (-step, 0), "left": (0, step), "top": (step, 0), "right": (0, -step)}
    at = (join.at[0] + ways[join.side][0], join.at[1] + ways[join.side][1])
    moved = replace(join, along=join.along + step, corner=join.corner + 2, at=at)
    refuse(put("binding", joins=(first, moved, *rest)), "binding", "ends after")
    refuse(put("binding", joins=(first, replace(join, at=at), *rest)), "binding", "a join at")


def test_strips_of_left_over_cloth_that_is_not_there_are_refused():
    top = replace(TOP, left_over=((42.0, 5.0),))
    plan = finishing_plan(66.0, 66.0, WISHES, top)
    check_finishing_plan(66.0, 66.0, plan)
    assert plan.binding.from_left_over == 2
    refuse(replace(plan, top=replace(top, left_over=((42.0, 4.5),))), "binding", "left-over")
    refuse(replace(plan, top=replace(top, left_over=((41.0, 5.0),))), "binding", "left-over")
    refuse(replace(plan, wishes=replace(WISHES, left_over_first=False)), "binding", "does not ask")


def test_a_border_with_other_corners_than_the_design_or_without_its_points_is_refused():
    refuse(put_border(corner="mitred"), "border 1", "as in the design")
    top = replace(TOP, corners=("mitred",))
    plan = finishing_plan(66.0, 66.0, WISHES, top)
    check_finishing_plan(66.0, 66.0, plan)
    short = tuple(length - 2.5 for length in plan.borders[0].lengths)
    border = replace(plan.borders[0], lengths=short)
    refuse(replace(plan, borders=(border,)), "border 1")
    refuse(replace(plan, borders=(border,), wishes=replace(WISHES, mitre_extra=0.5)), "border 1", "points")
    turned = finishing_plan(66.0, 66.0, WISHES, replace(TOP, ends_first=(True,)))
    assert turned.borders[0].lengths == (66.5, 66.5, 60.5, 60.5)
    refuse(replace(turned, top=TOP), "border 1", "strip 1")


def test_quilting_minutes_and_limit_that_are_not_those_of_the_quilting_plan_are_refused():
    top = replace(TOP, quilting_minutes=300.0, gap_limit=10.0)
    plan = finishing_plan(66.0, 66.0, WISHES, top)
    check_finishing_plan(66.0, 66.0, plan)
    assert plan.gap.passes
    refuse(replace(plan, top=replace(top, quilting_minutes=200.0)), "time", "quilting")
    refuse(replace(plan, top=replace(top, gap_limit=8.0)), "gap")


def test_a_join_at_a_corner_without_a_warning_is_refused():
    plan = replace(PLAN, wishes=replace(PLAN.wishes, join_clear=20.0))
    refuse(plan, "binding", "no warning")


def test_a_bias_square_too_small_is_refused():
    plan = finishing_plan(40.0, 50.0, FinishingWishes(binding_grain="bias square"))
    check_finishing_plan(40.0, 50.0, plan)
    refuse(replace(plan, binding=replace(plan.binding, square=18.0)), "bias strips", size=(40.0, 50.0))


def test_a_damaged_sleeve_is_refused():
    refuse(put("sleeve", finished=(66.0, 4.0)), "sleeve", "length")
    refuse(put("sleeve", cut=(64.0, 8.5)), "sleeve", "hems")
    refuse(put("sleeve", cut=(66.0, 4.5)), "sleeve", "height")
    refuse(put("sleeve", cloth=0.0), "sleeve", "cloth")
    refuse(put("sleeve", offcut=(5.0, 74.0)), "sleeve", "offcut")
    refuse(replace(PLAN, sleeve=None), "sleeve")


def test_a_label_with_a_maker_or_without_a_date_or_title_is_refused():
    refuse(put("label", maker="Somebody"), "label", "a blank line")
    dated = finishing_plan(66.0, 66.0, replace(WISHES, date="May 2026"), TOP)
    refuse(replace(dated, label=replace(dated.label, date="")), "label", "date")
    refuse(put("label", title=""), "label", "title")


def test_a_label_of_another_size_or_fibre_is_refused():
    refuse(put("label", finished=(60.0, 66.0)), "label", "width")
    refuse(put("label", finished=(66.0, 60.0)), "label", "height")
    refuse(put("label", fibre="linen"), "label", "linen", "cotton")


@pytest.mark.parametrize(
    ("name", "value"), [("needle", 4000.0), ("bobbin", 3000.0), ("spools", 9), ("bobbins", 1), ("path", 100.0)]
)
def test_a_damaged_line_of_thread_is_refused(name, value):
    piecing, white = PLAN.thread.lines
    refuse(put("thread", lines=(piecing, replace(white, **{name: value}))), "thread")


def test_thread_by_another_rate_is_refused():
    refuse(put("thread", per_inch=(1.0, 2.0)), "thread", "needle")


def test_time_that_is_not_work_over_speed_is_refused():
    lines = tuple(replace(line, minutes=line.minutes / 2) if line.work == "quilting" else line for line in PLAN.time)
    refuse(replace(PLAN, time=lines), "time", "quilting")
    refuse(replace(PLAN, time=PLAN.time[1:]), "time", "cutting")


def test_a_cost_sheet_by_used_inches_or_with_a_wrong_sum_is_refused():
    back = next(p for p in PLAN.cost.purchases if p.what == "backing")
    used = replace(back, quantity=148 / 36)
    rest = tuple(used if p is back else p for p in PLAN.cost.purchases)
    refuse(put("cost", purchases=rest), "cost sheet", "backing")
    refuse(put("cost", purchases=PLAN.cost.purchases[1:]), "cost sheet", "Lamp")
    refuse(put("cost", total=PLAN.cost.total + 1), "cost sheet", "total")
    refuse(put("cost", price=PLAN.cost.price + 1), "cost sheet", "price")
    refuse(put("cost", deposit=0.0), "cost sheet", "deposit")
    refuse(put("cost", unpriced=()), "cost sheet", "without a price")


def test_a_charge_that_is_not_its_amount_at_its_rate_is_refused():
    charged = finishing_plan(66.0, 66.0, replace(WISHES, quilting_rate=0.02, hour_rate=18.0), TOP)
    for k, charge in enumerate(charged.cost.charges):
        wrong = list(charged.cost.charges)
        wrong[k] = replace(charge, cost=charge.cost + 1)
        refuse(
            replace(charged, cost=replace(charged.cost, charges=tuple(wrong))), "cost sheet", f"{charge.what}, charged"
        )
    assert [charge.what for charge in charged.cost.charges] == ["quilting", "work"]


def test_a_damaged_care_card_is_refused():
    refuse(put("care", washed=(66.0, 66.0)), "care card", "washed")
    refuse(put("care", quilted=(66.0, 66.0)), "care card", "quilted")
    refuse(put("care", bleeding=()), "care card", "Lamp")
    refuse(put("care", fibre="linen"), "care card", "linen", "cotton")
    refuse(put("care", shrinkage=(0.05, 0.03)), "care card", "loss of width")
    refuse(put("care", shrinkage=(0.03, 0.05)), "care card", "loss of height")


def test_a_caution_warning_or_verdict_that_is_missing_is_refused():
    refuse(replace(PLAN, cautions=PLAN.cautions[1:]), "cautions", "needles")
    refuse(replace(PLAN, cautions=PLAN.cautions[:-1]), "cautions", "sale")
    refuse(replace(PLAN, gap=GapVerdict(7.0, 8.0)), "gap")
    refuse(replace(PLAN, warnings=()), "warnings", "gap")
    wrong = tuple(notice("gap-over-limit", gap=7.0, limit=8.0) for _ in PLAN.warnings)
    refuse(replace(PLAN, warnings=wrong), "warnings", "7.0")
    refuse(replace(PLAN, assumptions=()), "assumptions")
