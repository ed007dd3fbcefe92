"""The audit of a pattern written by hand, of broken forms, as a table, and by command."""

import csv
import re

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

import kit
from kit.__main__ import main
from kit.auditing.audit_form import audit_form
from kit.auditing.audit_lines import VERDICTS
from kit.auditing.form_entries import KEYS, read_table_form, read_toml_form
from kit.study import study_from_keys

LAP = """
title = "Harbour lights"

[[size]]
name = "lap"
finished = "24 x 24 in"
usable_width = "40 in"

[[size.piece]]
name = "A1"
shape = "square"
cut = "3 1/2 in"
finished = "3 in"
count = 32
fabrics = "32 Sand"

[[size.piece]]
name = "B1"
shape = "half-square triangle"
cut = "3 7/8 in"
finished = "3 in"
count = 64
fabrics = "32 Sand, 32 Sea"

[[size.unit]]
name = "halfsquare"
count = 32
size = "3 1/2 x 3 1/2 in"
parts = "2 B1"
shapes = ["B1: 0,0 3,0 0,3", "B1: 3,0 3,3 0,3"]

[[size.unit]]
name = "block"
count = 16
size = "6 1/2 x 6 1/2 in"
parts = "2 A1, 2 halfsquare"
rows = ["A1 halfsquare", "halfsquare A1"]

[[size.unit]]
name = "top"
count = 1
size = "24 1/2 x 24 1/2 in"
parts = "16 block"
rows = ["block block block block", "block block block block", "block block block block", "block block block block"]

[[size.cloth]]
fabric = "Sand"
buy = "5/8 yd"

[[size.cloth]]
fabric = "Sea"
buy = "1/4 yd"

[size.binding]
cut = "2 1/2 in"
finished = "3/8 in"
strips = 3

[size.backing]
size = "32 x 32 in"
overhang = "4 in"
buy = "1 yd"
"""


def look(text):
    found = audit_form(read_toml_form(text))
    return found, {line.where.removeprefix("lap, "): line for line in found.lines}


def test_a_pattern_written_by_hand_is_proved_line_by_line():
    found, lines = look(LAP)
    assert found.passes, found
    for where in ("piece A1: cut", "piece B1: cut", "unit halfsquare: size", "unit block: size", "unit top: size",
                  "piece A1: count", "piece B1: count", "unit block: count", "cloth Sand: buy", "cloth Sea: buy",
                  "binding: strips", "backing: size", "backing: buy"):  # fmt: skip
        assert lines[where].verdict == "proved", lines[where]


@pytest.mark.parametrize(
    ("old", "new", "where", "verdict", "found"),
    [
        ('cut = "3 7/8 in"', 'cut = "3 1/2 in"', "piece B1: cut", "wrong", "3⅞ in"),
        ('cut = "3 7/8 in"', 'cut = "4 1/8 in"', "piece B1: cut", "more than needed", "3⅞ in"),
        ('cut = "3 1/2 in"', 'cut = "3 3/4 in"', "piece A1: cut", "wrong", "3½ in"),
        ("count = 64", "count = 32", "piece B1: count", "wrong", "64"),
        ("count = 32\nsize", "count = 16\nsize", "unit halfsquare: count", "wrong", "32"),
        ('"6 1/2 x 6 1/2 in"', '"6 x 6 in"', "unit block: size", "wrong", "6½ in by 6½ in"),
        ('finished = "24 x 24 in"', 'finished = "26 x 26 in"', "size lap: finished", "wrong", "24 in by 24 in"),
        ('buy = "5/8 yd"', 'buy = "3/8 yd"', "cloth Sand: buy", "wrong", ""),
        ('buy = "5/8 yd"', 'buy = "2 yd"', "cloth Sand: buy", "more than needed", ""),
        ("strips = 3", "strips = 2", "binding: strips", "enough only if", "at least"),
        ('size = "32 x 32 in"', 'size = "28 x 32 in"', "backing: size", "wrong", "32 in by 32 in"),
        ('parts = "2 A1, 2 halfsquare"', 'parts = "3 A1, 1 halfsquare"', "unit block: parts", "wrong", "2 halfsquare"),
        ('cut = "2 1/2 in"', 'cut = "2 in"', "binding: cut", "wrong", ""),
    ],
)  # fmt: skip
def test_one_wrong_number_is_named_at_its_line_with_both_figures(old, new, where, verdict, found):
    assert old in LAP
    text = LAP.replace(old, new, 1)
    _, lines = look(text)
    line = lines.get(where) or lines["size lap: finished".removeprefix("size ")] if "size lap" not in where else next(
        one for key, one in lines.items() if key.endswith("lap: finished")
    )  # fmt: skip
    assert line.verdict == verdict, line
    assert found.replace(" ", "") in line.found.replace("\N{NO-BREAK SPACE}", "").replace(" ", "")
    assert text.splitlines()[line.line - 1].split(" = ")[0] == new.split(" = ")[0] or old.count("\n") or "=" not in new
    assert (line.verdict in ("wrong", "enough only if")) != audit_form(read_toml_form(text)).passes


def test_cloth_that_is_enough_on_wider_cloth_says_from_which_width():
    # six squares of 7 in across 42 in, five across 40 in: 12 of them take two strips or three
    text = """
    [[size]]
    name = "lap"
    usable_width = "40 in"
    [[size.piece]]
    name = "A1"
    shape = "square"
    cut = "7 in"
    finished = "6 1/2 in"
    count = 12
    fabrics = "12 Sand"
    [[size.cloth]]
    fabric = "Sand"
    buy = "14 in"
    """
    _, lines = look(text)
    line = lines["cloth Sand: buy"]
    assert line.verdict == "enough only if"
    assert "42" in line.found
    assert "7\N{NO-BREAK SPACE}in too little" in line.note


def test_what_nothing_decides_is_said_so():
    _, lines = look(
        '[[size]]\nname = "lap"\n[[size.piece]]\nname = "A1"\nshape = "template"\ncut = "3 x 4 in"\ncount = 2\n'
    )
    assert lines["piece A1: cut"].verdict == "not decidable"
    assert "shapes" in lines["piece A1: cut"].note
    assert lines["piece A1: count"].verdict == "not decidable"


def test_shapes_that_do_not_close_are_wrong_and_say_why():
    _, lines = look(LAP.replace('"B1: 3,0 3,3 0,3"', '"B1: 4,0 4,3 1,3"'))
    assert lines["unit halfsquare: shapes"].verdict == "wrong"
    assert lines["unit halfsquare: shapes"].note


def test_a_metric_size_is_compared_with_the_one_in_inches():
    inch = LAP
    pieces = [("C1", "2", "5"), ("C2", "3", "7.5"), ("C3", "4", "10"), ("C4", "6", "12")]
    square = '[[size.piece]]\nname = "{}"\nshape = "square"\nfinished = "{} {}"\ncount = 1\ncut = "{} {}"\n'
    inch += "".join(square.format(n, i, "in", f"{i} 1/2", "in") for n, i, _ in pieces)
    metric = '[[size]]\nname = "metric"\nsystem = "metric"\n'
    metric += "".join(square.format(n, c, "cm", f"{float(c) + 1.5:g}", "cm") for n, _, c in pieces)
    found = audit_form(read_toml_form(inch + metric))
    wrong = [line.where for line in found.list_faults()]
    assert wrong == ["metric, piece C4: finished"]


# the form as a table, the corrections, the command


def test_the_kits_own_form_as_a_table_says_the_same(tmp_path):
    pattern = kit.make_pattern(kit.open_study("data/studies/gull-point.toml"))
    forms = [kit.write_form(pattern, tmp_path / name) for name in ("form.toml", "form.csv")]
    both = [kit.audit(form) for form in forms]
    assert all(one.passes for one in both)
    told, again = ({(line.where, line.verdict) for line in one.lines} for one in both)
    assert told == again
    with forms[1].open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[0][:3] == ["size", "kind", "name"]
    for line in both[1].lines:
        kind = line.where.split(", ")[1].split(" ")[0].removesuffix(":") if ", " in line.where else "size"
        assert rows[line.line - 1][1] == kind


def test_corrections_are_written_as_a_page_and_as_a_table(tmp_path):
    form = tmp_path / "lap.toml"
    form.write_text(LAP.replace('cut = "3 7/8 in"', 'cut = "3 1/2 in"').replace("Harbour lights", "<b>Lights</b>"))
    found = kit.audit(form)
    page = kit.write_corrections(found, tmp_path / "errata.html").read_text(encoding="utf-8")
    table = kit.write_corrections(found, tmp_path / "errata.csv").read_text(encoding="utf-8")
    assert "3⅞" in page
    assert "3⅞" in table
    assert "<b>Lights" not in page
    assert len(table.splitlines()) == 1 + len(found.list_faults())
    with pytest.raises(kit.KitError, match="ends in"):
        kit.write_corrections(found, tmp_path / "errata.doc")


def test_the_command_audits_writes_corrections_and_the_form_of_a_study(tmp_path, capsys):
    form = tmp_path / "own.toml"
    assert main(["audit", str(form), "--form-of", "data/studies/ferry-steps.toml"]) == 0
    assert main(["audit", str(form)]) == 0
    text = form.read_text(encoding="utf-8")
    form.write_text(text.replace("count = 1\n", "count = 3\n", 1) if "count = 1\n" in text else text, encoding="utf-8")
    lap = tmp_path / "lap.toml"
    lap.write_text(LAP.replace("count = 64", "count = 32"), encoding="utf-8")
    capsys.readouterr()
    assert main(["audit", str(lap), "--corrections", str(tmp_path / "errata.html"), "--every"]) == 1
    said = capsys.readouterr().out
    assert "32 too few" in said
    assert "proved" in said
    assert (tmp_path / "errata.html").is_file()
    assert main(["audit", str(tmp_path / "none.toml")]) == 1
    assert "cannot be read" in capsys.readouterr().err


# whatever is in the form

VALUES = st.one_of(
    st.text(max_size=20), st.integers(-5, 10**9), st.booleans(), st.floats(), st.none().map(lambda _: []),
    st.lists(st.text(max_size=8), max_size=3), st.dictionaries(st.text(max_size=4), st.integers(), max_size=2),
    st.sampled_from(["3 in", "3 x 4 in", "2 A1", "A1", "0,0 1,0 0,1", "A1: 0,0 3,0 0,3", "-2 in", "1e99 in",
                     "half-square triangle",
                     "square", "2 yd", "top", "999999 A1"]),
)  # fmt: skip


@st.composite
def broken_forms(draw):
    held = {"title": draw(st.one_of(st.text(max_size=10), VALUES))}
    sizes = []
    for _ in range(draw(st.integers(0, 2))):
        size = {key: draw(VALUES) for key in draw(st.lists(st.sampled_from(KEYS["size"]), max_size=3, unique=True))}
        for kind in draw(
            st.lists(st.sampled_from([k for k in KEYS if k not in ("size", "measures")]), max_size=5, unique=True)
        ):
            entries = [
                {
                    key: draw(VALUES)
                    for key in draw(st.lists(st.sampled_from([*KEYS[kind], "colour"]), max_size=6, unique=True))
                }
                for _ in range(draw(st.integers(1, 2)))
            ]
            size[kind] = draw(st.sampled_from([entries, entries[0], draw(VALUES)]))
        sizes.append(size)
    held["size"] = draw(st.sampled_from([sizes, draw(VALUES)])) if draw(st.booleans()) else sizes
    if draw(st.booleans()):
        held["measures"] = draw(VALUES)
    return held


@settings(max_examples=300, deadline=None)
@given(broken_forms())
def test_any_form_however_broken_gets_sentences(held):
    try:
        text = tomli_w.dumps(held)
    except (TypeError, ValueError):
        return
    found = audit_form(read_toml_form(text))
    assert all(line.verdict in VERDICTS for line in found.lines)
    assert all(line.note or line.found for line in found.lines if line.verdict != "proved"), found
    assert found._repr_html_()


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_audited_or_refused_in_words(text):
    for read in (read_toml_form, read_table_form):
        try:
            form = read(text)
        except kit.KitError as error:
            told = str(error)
        else:
            told = str(audit_form(form))
        assert told


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(LAP) - 1), st.text(max_size=3), st.integers(0, 12))
def test_a_form_with_some_letters_changed_gets_sentences(place, put, out):
    text = LAP[:place] + put + LAP[place + out :]
    try:
        found = audit_form(read_toml_form(text))
    except kit.KitError as error:
        found = error
    assert str(found)


def test_the_form_of_a_metric_pattern_is_in_centimetres_as_a_maker_reads_them(tmp_path):
    cloths = (("sail", "Net blue"), ("ground", "Salt"), ("rim", "Rust"))
    pattern = kit.make_pattern(study_from_keys({
        "title": "Gull Watch",
        "measures": {"system": "metric", "seam_allowance": "0.75 cm", "usable_width": "107 cm"},
        "design": {"family": "pinwheel", "columns": 4, "rows": 5, "block_finished": "16 cm",
                   "border": [{"finished": "7 cm", "slot": "rim"}]},
        "fabric": [{"slot": slot, "name": name, "colour": "#33566e"} for slot, name in cloths],
    }), "quick")  # fmt: skip
    text = kit.write_form(pattern, tmp_path / "watch.toml").read_text(encoding="utf-8")
    assert 'seam_allowance = "0.75 cm"' in text
    assert 'cut = "8.5 cm x 81.5 cm"' in text
    assert not re.search(r"\d in\b", text)
    assert kit.audit(tmp_path / "watch.toml").passes


PIECE = """
[[size]]
name = "lap"
system = "metric"

[[size.piece]]
name = "B1"
shape = "{shape}"
cut = "{cut}"
count = 2
"""
FINISHED = 'finished = "7 cm"\n'
BATCH = """
[[size.batch]]
name = "X"
unit = "half-square"
way = "two at a time"
finished = "7 x 7 cm"
cuts = "1 B1, 1 B1"
units = 4
batches = 2
makes = 2
"""


@pytest.mark.parametrize(
    ("shape", "cut", "more", "note"),
    [
        ("half-square triangle", "9 cm", FINISHED, "It is 0.6 cm too small"),
        ("half-square triangle", "10 cm", FINISHED, "0.4 cm larger: safe, if the unit is trimmed"),
        ("half-square triangle", "13 cm", FINISHED, "It is 3.4 cm too large"),
        ("square", "9 x 9 cm", BATCH, "It is 0.6 cm too small"),
    ],
)
def test_the_difference_is_that_of_the_two_sizes_that_are_shown(shape, cut, more, note):
    # 7 + 0.75 (2 + √2) = 9.5607: 9.6 cm on the ruler; the exact size is 0.56, 0.44 and 3.44 cm off
    _, lines = look(PIECE.format(shape=shape, cut=cut) + more)
    assert lines["piece B1: cut"].found.split(" x ")[0] == "9.6\N{NO-BREAK SPACE}cm"
    assert lines["piece B1: cut"].note.replace("\N{NO-BREAK SPACE}", " ") == note
