"""The pattern in another language: every sentence is there, with the same braces, and no English is left on a page."""

import json
import re
from string import Formatter

import pytest
from printed import pattern_of

import kit
from kit.errors import CheckError, KitError
from kit.lengths import write_faithful, write_length
from kit.output.document.document import choose_layout, list_sources, prepare, set_document
from kit.output.document.language_proof import compare_sentences
from kit.output.words.strings import LANGUAGES, PRINTED, TEXTS, _load, listen, name_language, say, use_language

OTHERS = [language for language in LANGUAGES if language != "English"]
COMMON = """
    about across added after all along and are away backing batting been before between binding border borders
    both bottom buy by cloth come comes corner corners count cut dotted drawn each edge edges end ends enough
    every fabric fabrics finished for from half has have if is it its join joined joins lay left length letter lie
    long lower made make making measure needed no not of one only open opened or other over page part parts
    picture piece pieces press ready rectangle right seam seams sew sewn short side sides size sleeve spare square
    squares step steps strip strips take takes than that the then there this thread three through toward triangle
    triangles turn turned two under unfinished until upper used when where which wide width with
"""
ENGLISH = frozenset(COMMON.split())
"""The commonest words of the English pattern, written down by reading one. None is a German word, a letter code, or a
word that German patchwork makers use too (top, label, quilting)."""
STUDIES = ("tideline", "harbour-wheel", "saltmarsh", "town-quay")


def list_braces(text):
    """Return the fields of a sentence with their formats, sorted: their order is the language's own."""
    return sorted((field, spec or "") for _, field, spec, _ in Formatter().parse(text) if field is not None)


def list_lines(text):
    """Return a text, or the lines of a list of texts, as a list."""
    return list(text) if isinstance(text, list) else [text]


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("table", PRINTED)
def test_every_sentence_is_in_both_with_the_same_braces(language, table):
    ours, theirs = _load("English")[table], _load(language)[table]
    assert set(theirs) == set(ours)
    for key, text in ours.items():
        assert isinstance(theirs[key], list) == isinstance(text, list), key
        lines, translated = list_lines(text), list_lines(theirs[key])
        assert len(translated) == len(lines), key
        for line, other in zip(lines, translated, strict=True):
            assert {*list_braces(other)} == {*list_braces(line)}, key
            assert other.strip(), key


@pytest.mark.parametrize("language", OTHERS)
def test_a_sentence_is_translated_unless_it_is_nothing_but_braces_and_signs(language):
    same = {
        f"{table}.{key}"
        for table in PRINTED
        for key, whole in _load("English")[table].items()
        for text, other in zip(list_lines(whole), list_lines(_load(language)[table][key]), strict=True)
        if other == text and set(re.findall(r"[a-z]+", re.sub(r"\{.*?\}", "", text))) & ENGLISH
    }
    assert same == set()


def list_words(sources):
    """Return every word that is printed, drawn or read aloud, lower case."""
    data = json.loads(sources["data.json"])
    used = {key for key in data["words"] if f"w.{key}" in sources["main"].decode()}
    data["words"] = {key: data["words"][key] for key in used}
    texts = [value for value in walk(data) if isinstance(value, str)]
    for name, text in sources.items():
        if name.endswith(".svg"):
            texts += re.findall(r"<(?:text|title)[^>]*>([^<]*)<", text.decode())
    return {word for text in texts for word in re.findall(r"[^\W\d_]+", text.lower())}


def walk(value):
    if isinstance(value, dict):
        for key, entry in value.items():
            if key not in ("file", "colour", "font"):
                yield from walk(entry)
    elif isinstance(value, list):
        for entry in value:
            yield from walk(entry)
    else:
        yield value


def list_designers(study):
    """Return the words of the title, of the fabrics and of the units and slots that the study itself names."""
    keys = kit.study_keys(study)
    names = [study.title, *(fabric.name for fabric in study.fabrics), *keys.get("unit", {})]
    names += [fabric.slot for fabric in study.fabrics]
    return {word for name in names for word in re.findall(r"[^\W\d_]+", name.lower())}


@pytest.mark.parametrize("name", STUDIES)
@pytest.mark.parametrize("edition", ["standard", "large print"])
def test_no_english_is_left_on_the_pages_of_four_studies(name, edition):
    pattern = pattern_of(name)
    layout = choose_layout("A4", edition)
    with use_language("German"):
        sources = list_sources(prepare([pattern], rooms=layout.rooms), layout)
    left = (list_words(sources) & ENGLISH) - list_designers(pattern.study)
    assert left == set()
    assert json.loads(sources["data.json"])["lang"] == "de"
    plain = list_sources(
        prepare([pattern], rooms=layout.rooms), layout
    )  # the list does find English where there is any
    assert len((list_words(plain) & ENGLISH) - list_designers(pattern.study)) > 60


def test_metric_measures_have_a_decimal_comma_and_english_ones_stay():
    with use_language("German"):
        assert write_length(2.5, "metric") == "6,35\u00a0cm"
        assert write_faithful(0.75 / 2.54, "inch") == "0,75\u00a0cm"
        assert write_length(2.5) == "2½\u00a0Zoll"
        assert name_language() == "de"
    assert write_length(2.5, "metric") == "6.35\u00a0cm"
    assert (name_language(), say("step", number=3)) == ("en", "Step 3")


def test_a_metric_pattern_has_no_decimal_point_in_german():
    pattern = kit.redraft(pattern_of("tideline"), "metric")
    layout = choose_layout("A4")
    with use_language("German"):
        sources = list_sources(prepare([pattern], rooms=layout.rooms), layout)
    data = json.loads(sources["data.json"])
    data["colophon"] = data["layout"] = data["templates"] = None  # a version; measures of the page
    texts = [value for value in walk(data) if isinstance(value, str)]
    texts += [text for name, svg in sources.items() if name.endswith(".svg")
              for text in re.findall(r"<(?:text|title)[^>]*>([^<]*)<", svg.decode())]  # fmt: skip
    assert [text for text in texts if re.search(r"\d\.\d", text)] == []
    assert any(re.search(r"\d,\d\u00a0cm", text) for text in texts)


def test_a_missing_sentence_or_another_figure_is_refused():
    with listen() as heard:
        say("step", number=3)
        say("make", count=2)
        say("of_each", count=2, what="6.5 cm")
    assert compare_sentences(heard, heard).passed
    comma = [(name, {key: str(fact).replace("6.5", "6,5") for key, fact in facts.items()}) for name, facts in heard]
    for damaged in (heard[1:], [*heard, heard[0]], [("pattern.step", {"number": 4}), *heard[1:]]):
        with pytest.raises(CheckError, match="is not in both languages"):
            compare_sentences(heard, damaged)
    with pytest.raises(CheckError, match=r"pattern\.of_each"):
        compare_sentences(heard, [*heard[:2], ("pattern.of_each", {"count": 2, "what": "6.6 cm"})])
    assert compare_sentences([heard[2]], [comma[2]]).passed


def test_the_proof_sheet_says_what_is_proved_and_what_is_not():
    pattern = pattern_of("tideline")
    first, again = (set_document(pattern, "A4", language="German") for _ in range(2))
    assert first == again
    with use_language("German"):
        lines = prepare([pattern], rooms=choose_layout("A4").rooms).data["proof"][0]["lines"]
    line = lines[-1]
    assert line["name"] == "Die deutschen Sätze sind die der geprüften englischen Fassung"
    assert re.match(r"\d{3,} Sätze mit \d{3,} Zahlen", line["figures"])


def test_an_unknown_language_is_refused():
    with pytest.raises(KitError, match="English, German"):
        set_document(pattern_of("tideline"), language="Latin")


def test_tables_that_are_not_printed_stay_english():
    with use_language("German"):
        assert TEXTS["stash"]["everything"] == "every piece"
