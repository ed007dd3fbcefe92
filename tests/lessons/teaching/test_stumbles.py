"""A made-up class of twelve: its table, its commonest slips, and a sheet that aims at them."""

import json
from collections import Counter, defaultdict
from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest
from made_up_class import TENDS, write_class

from kit.errors import KitError
from kit.lengths import write_plain
from kit.lessons import (
    LESSONS,
    aim_at_class,
    aim_exercises,
    collect_learners,
    count_slips,
    list_slips,
    list_stumbles,
    mark,
)  # fmt: skip

CLASS = Path("data/class")


def count_by_hand():
    """Return slip -> learners who certainly made it, read from the files by the test itself."""
    found = defaultdict(set)
    for path in CLASS.glob("*.json"):
        for one in json.loads(path.read_text(encoding="utf-8"))["tries"]:
            if len(one["mistakes"]) == 1:
                found[one["mistakes"][0]].add(path.stem)
    return found


def read_pages(held):
    with pdfplumber.open(BytesIO(held)) as book:
        return " ".join(" ".join((page.extract_text() or "").split()) for page in book.pages)


def test_twelve_files_give_a_row_each_and_the_columns_of_their_lessons():
    table = list_stumbles(collect_learners(CLASS))
    assert list(table["Learner"]) == [f"learner-{n}" for n in range(1, 13)]
    titles = [LESSONS[name].title for name in ("allowance", "sizes", "triangles", "on point", "strips")]
    assert list(table.columns) == ["Learner", *titles, "Altogether"]
    for _, row in table.iterrows():
        tries = json.loads((CLASS / f"{row['Learner']}.json").read_text(encoding="utf-8"))["tries"]
        asked = {(one["kind"], one["seed"]) for one in tries if one["typed"]}
        right = {(one["kind"], one["seed"]) for one in tries if one["verdict"] == "right"}
        assert row["Altogether"].startswith(f"{len(right)} of {len(asked)}")


def test_the_slips_are_those_that_the_class_was_made_with_the_commonest_first():
    """The class is written down in `TENDS`: 5 forget allowances, 5 divide areas, 4 take the wrong rule."""
    slips = list_slips(collect_learners(CLASS))
    by_hand = count_by_hand()
    assert dict(zip(slips["Slip"], slips["Learners"], strict=True)) == {name: len(who) for name, who in by_hand.items()}
    assert set(slips["Slip"][:3]) == {"allowance forgotten", "area instead of strips", "wrong triangle rule"}
    assert list(slips["Learners"][:3]) == [5, 5, 4]
    assert slips["Who"][0] == "learner-1, learner-2, learner-4, learner-6, learner-9"
    assert {slip for slips in TENDS.values() for slip in slips} >= set(by_hand)


def test_a_sheet_aims_at_the_three_commonest_slips_and_its_key_names_them():
    record = collect_learners(CLASS)
    sheet = aim_at_class(record, count=12, seed=2)
    commonest = [name for name, _ in Counter({name: len(who) for name, who in count_by_hand().items()}).most_common(3)]
    assert set(sheet.slips) == set(commonest)
    assert Counter(sheet.list_aims()) == dict.fromkeys(sheet.slips, 4)
    known = {(one.kind, one.seed) for learner in record.learners for one in learner.progress.tries}
    for exercise, slip in zip(sheet.exercises, sheet.list_aims(), strict=True):
        wrong = next(one for one in exercise.mistakes if one.name == slip)
        value = wrong.values[0]
        typed = write_plain(value) if exercise.asks == "length" else str(round(value))
        assert slip in mark(exercise, typed).mistakes
        assert (exercise.kind, exercise.seed) not in known
    assert len({exercise.question for exercise in sheet.exercises}) == 12
    page, key = read_pages(sheet.set_sheet()), read_pages(sheet.set_key())
    assert all(slip not in page for slip in sheet.slips)
    assert all(f"{slip} (" in key for slip in sheet.slips)
    mark_of_sheet = page.split("mark ")[1].split(" ")[0]
    assert f"mark {mark_of_sheet}" in key


def test_the_class_in_the_project_is_what_its_maker_writes(tmp_path):
    for path in write_class(tmp_path):
        assert json.loads(path.read_text(encoding="utf-8")) == json.loads(
            (CLASS / path.name).read_text(encoding="utf-8")
        )


def test_what_cannot_be_read_is_told_and_keeps_no_other_from_being_read():
    good = (CLASS / "learner-1.json").read_bytes()
    other = (CLASS / "learner-2.json").read_bytes()
    record = collect_learners([
        ("my-lessons.json", good), ("torn.json", b'{"version": 2, "tri'), ("my-lessons.json", other),
        ("again.json", good),
        ("<b>.json", b"[]"),
    ])  # fmt: skip
    assert [one.name for one in record.learners] == ["my-lessons", "my-lessons (2)"]
    assert len(record.refused) == 3
    assert "torn.json: the file is damaged" in record.refused[0]
    assert "again.json: the same as my-lessons.json" in record.refused[1]


def test_an_answer_that_two_slips_explain_is_certain_for_neither():
    one = {"kind": "strips", "seed": 1, "system": "inch", "typed": "3", "verdict": "mistake", "mistakes": ["a", "b"]}
    held = json.dumps({"version": 2, "tries": [one, {**one, "seed": 2, "mistakes": ["a"]}]}).encode()
    found = {
        slip.name: (len(slip.learners), slip.times, slip.perhaps)
        for slip in count_slips(collect_learners([("x", held)]))
    }
    assert found == {"a": (1, 1, 1), "b": (0, 0, 1)}


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: collect_learners("no such folder"),
        lambda: aim_exercises([], 12),
        lambda: aim_exercises(["dropped a stitch"], 12),
        lambda: aim_exercises(["allowance forgotten"], 0),
        lambda: aim_at_class(collect_learners([])),
        lambda: collect_learners([("a.json", b"{}")] * 201),
    ],
)
def test_nonsense_about_a_class_is_refused_in_a_sentence(wrong):
    with pytest.raises(KitError, match="Needed"):
        wrong()
