"""Purchases, charges, label and care in words: every value has its words, and the words hold the maker's own names."""

from dataclasses import replace
from typing import get_args

import pytest

from kit.errors import NoPlanError
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_figures import Charge, Purchase, TimeLine
from kit.model.finishing_ways import Bought, Charged, ChargeUnit, Work, WorkUnit
from kit.output.tables import finishing_tables
from kit.output.words.cost_words import (
    BASES,
    name_charge,
    name_purchase,
    name_work,
    write_amount,
    write_basis,
    write_work,
)
from kit.output.words.finishing_words import write_care, write_label
from kit.output.words.notice_words import say_notice
from kit.planning.finishing.finishing_plan import finishing_plan

NAME = "{0} % Brick lane"


@pytest.mark.parametrize("what", get_args(Bought))
def test_a_purchase_is_named_and_its_fabric_with_it_where_it_has_one(what):
    named = name_purchase(Purchase(what, NAME, 1.0, "yd", None, holds=90.0))
    assert named.strip()
    assert (NAME in named) == (what not in ("wide-backing", "batting-roll", "sleeve"))


@pytest.mark.parametrize("work", get_args(Work))
@pytest.mark.parametrize("unit", get_args(WorkUnit))
def test_each_work_and_each_of_its_units_has_a_word(work, unit):
    line = TimeLine(work, 12.0, unit, 5.0)
    assert name_work(line).strip()
    assert write_work(line).startswith("12 ")


@pytest.mark.parametrize("what", get_args(Charged))
@pytest.mark.parametrize("unit", get_args(ChargeUnit))
def test_a_charge_says_its_amount_and_its_rate(what, unit):
    charge = Charge(what, 1200.0, unit, 0.021, 150.0, 150.0)
    assert name_charge(charge) == what
    assert write_basis(charge).startswith("1200")
    assert " at 0.021" in write_basis(charge)
    assert set(BASES) == set(get_args(Charged))


def test_a_least_charge_is_said():
    assert write_basis(Charge("quilting", 4800.0, "square-inches", 0.02, 150.0, 150.0)).endswith("at least 150")


def test_a_spool_says_what_it_holds_and_a_pack_what_it_is():
    spool = Purchase("thread", "white", 2.0, "piece", None, "spool", 200 * 36)
    assert write_amount(spool) == "2 × spool of 200\N{NO-BREAK SPACE}yd"
    assert write_amount(Purchase("batting", "queen", 1.0, "piece", 30.0, "package")) == "1 × package"


@pytest.mark.parametrize(
    ("quantity", "unit", "said"), [(0.875, "yd", "⅞ yd"), (5.0, "yd", "5 yd"), (1.1, "m", "1.1 m")]
)
def test_cloth_is_written_as_it_is_bought(quantity, unit, said):
    assert write_amount(Purchase("backing", "", quantity, unit, None)).replace("\N{NO-BREAK SPACE}", " ") == said


def test_the_care_card_names_the_fibre_and_each_fabric_that_bled():
    wishes = FinishingWishes(fibre=NAME, bleeding=("Swell", "Railing"), wash_width=0.035)
    fibre, loss, bled = write_care(finishing_plan(60.0, 80.0, wishes))
    assert NAME in fibre
    assert "3.5 % of its width and 3 % of its height" in loss
    assert "Swell, Railing" in bled
    assert "Test each strong colour" in write_care(finishing_plan(60.0, 80.0))[-1]


def test_a_label_leaves_blank_what_only_the_maker_can_fill_in():
    plan = finishing_plan(60.0, 80.0, FinishingWishes(), TopFacts(title=NAME))
    blank = [line for line in write_label(plan) if line.endswith("____________________")]
    assert blank == ["Made by: ____________________", "Date: ____________________"]
    assert write_label(plan)[0] == NAME
    dated = replace(plan, label=replace(plan.label, date="May 2026"))
    assert "Date: May 2026" in write_label(dated)


@pytest.mark.parametrize(
    "wishes",
    [
        {"backing": "crosswise", "backing_one_way": True},
        {"backing": "wide", "wide_width": None},
        {"backing": "diagonal", "backing_width": 42.0},
        {"backing": "on hand"},
        {"backing": "on hand", "on_hand": ((40.0, 41.0), (5.0, 6.0))},
    ],
)
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_a_way_of_the_backing_that_is_wished_and_cannot_be_is_refused_in_the_words_of_its_notice(wishes, system):
    top = TopFacts(system=system)
    plan = finishing_plan(90.0, 90.0, FinishingWishes(**{**wishes, "backing": "least cloth"}), top)
    (reason,) = [one for one in plan.backing.refused if one["way"] == wishes["backing"]]
    with pytest.raises(NoPlanError) as told:
        finishing_plan(90.0, 90.0, FinishingWishes(**wishes), top)
    said = say_notice(reason, system)
    assert said.replace("\N{NO-BREAK SPACE}", " ")[1:] in str(told.value)
    assert said in set(finishing_tables.list_refused_backings(plan)["does not serve"])
