"""A sentence for each notice, and none without one; figures are written in the wanted system."""

from string import Formatter
from typing import get_args

import pytest

import kit
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.notices import NoticeKind, notice
from kit.output.words.notice_words import NOTICES, WRITERS, say_notice, say_notices
from kit.planning.finishing.finishing_plan import finishing_plan


def test_each_kind_of_notice_has_its_sentence_and_each_sentence_its_kind():
    assert set(NOTICES) == set(get_args(NoticeKind))


@pytest.mark.parametrize("kind", sorted(NOTICES))
def test_each_figure_of_a_sentence_is_written_in_a_way_that_is_known(kind):
    for _, name, how, _ in Formatter().parse(NOTICES[kind]):
        assert name is None or name.isidentifier()
        if how and how.partition(",")[0] not in (*WRITERS, "percent"):
            assert format(1, how), "the format of a bare number"


def test_lengths_are_written_as_the_system_has_them():
    gap = notice("gap-over-limit", gap=10.0, limit=8.0)
    assert "10\N{NO-BREAK SPACE}in" in say_notice(gap)
    assert "25.4\N{NO-BREAK SPACE}cm" in say_notice(gap, "metric")


def test_parts_of_width_and_height_are_said_once_where_they_are_alike():
    said = [
        say_notice(notice("losses", drawn=drawn, wash_width=0.03, wash_height=0.04))
        for drawn in ((0.02, 0.02), (0.02, 0.04))
    ]
    assert "draws in 2 % each way, the first wash takes 3 % of the width and 4 % of the height" in said[0]
    assert "draws in 2 % of the width and 4 % of the height" in said[1]


def test_of_many_patches_the_first_eight_are_named_and_the_others_counted():
    names = tuple(f"p{i}" for i in range(11))
    crowd = notice("crowd", slot="s", patches=names, rule=(notice("share-an-edge"),), needed=11, fabrics=3)
    assert "`p7` and 3 more all share an edge; they need 11 fabrics, there are 3" in say_notice(crowd)


def test_what_a_finishing_plan_says_has_the_figures_of_its_values():
    wishes = FinishingWishes(measured_heights=(40.0, 47.5), join_clear=30.0, prewash=0.03, for_sale=True)
    plan = finishing_plan(46.0, 47.5, wishes, TopFacts(borders=(3.0,), gap=9.0))
    kinds = {one.kind for one in plan.warnings}
    assert kinds >= {"ease-too-much", "join-near-corner", "gap-over-limit"}
    for said in (plan.warnings, plan.assumptions, plan.cautions):
        assert all("{" not in sentence for sentence in say_notices(said))


def test_warnings_of_a_pattern_are_the_sentences_of_its_notices():
    sketch = kit.make_sketch(kit.open_study("data/studies/ferry-steps.toml"))
    assert sketch.notices
    assert sketch.warnings == say_notices(sketch.notices, sketch.study.measures.system)
    assert all(isinstance(sentence, str) for sentence in sketch.warnings)
