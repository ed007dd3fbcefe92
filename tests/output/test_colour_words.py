"""The word for a colour, beside the names that CSS Color 4 gives to colours, as the library webcolors lists them."""

import tomllib
from collections import Counter
from pathlib import Path

import pytest
import webcolors

import kit
from kit.explore.picture_words import describe_quilt
from kit.output.words.colour_words import say_colour, say_toned
from kit.output.words.strings import use_language

BASIC = ("black", "white", "grey", "red", "orange", "brown", "yellow", "green", "blue", "purple", "pink", "cream")
MEANS = {
    "cream": "antiquewhite beige bisque blanchedalmond cornsilk ivory linen navajowhite oldlace papayawhip wheat",
    "white": "azure aliceblue floralwhite ghostwhite mintcream seashell snow whitesmoke lavenderblush",
    "blue-green": "aqua aquamarine cyan darkcyan darkturquoise mediumaquamarine mediumturquoise paleturquoise teal"
    " turquoise cadetblue",
    "purple": "darkmagenta darkorchid fuchsia indigo lavender magenta mediumorchid mediumvioletred orchid plum thistle"
    " violet blueviolet darkviolet",
    "red": "crimson firebrick maroon tomato", "brown": "burlywood chocolate peru sandybrown sienna tan",
    "green": "chartreuse honeydew lime olive olivedrab", "yellow": "darkkhaki gold goldenrod khaki lemonchiffon",
    "grey": "gainsboro silver", "pink": "darksalmon lightcoral mistyrose salmon", "orange": "coral peachpuff",
    "blue": "navy",
}  # fmt: skip
"""What an English dictionary calls the thing that a colour of the list is named after, where its name holds no word."""


def find_hex(name):
    return webcolors.name_to_hex(name, spec=webcolors.CSS3)


def list_expected():
    """Return the word for every name of the list that has one: by its last basic word, or by the table."""
    known = {name: word for word, names in MEANS.items() for name in names.split()}
    found = {}
    for name in webcolors.names(webcolors.CSS3):
        last = [word for word in BASIC if name.replace("gray", "grey").endswith(word)]
        if name in known or last:
            found[name] = known.get(name) or last[0]
    return found


def test_nearly_every_published_name_is_told_by_its_word():
    expected = list_expected()
    assert len(expected) > 130
    wrong = {name: say_colour(find_hex(name)) for name, word in expected.items() if say_colour(find_hex(name)) != word}
    assert len(wrong) <= 0.1 * len(expected), wrong


def test_no_word_is_far_from_its_names():
    expected = list_expected()
    right = Counter(word for name, word in expected.items() if say_colour(find_hex(name)) == word)
    for word, count in Counter(expected.values()).items():
        assert right[word] >= 0.7 * count, (word, count)


@pytest.mark.parametrize(
    ("colour", "said"),
    [
        ("#5b4a3e", "dark brown"),
        ("#705a48", "brown"),
        ("#3b3430", "dark grey"),
        ("#8f8478", "grey"),
        ("#1c1c1c", "black"),
    ],
)
def test_a_little_colour_is_seen_in_dark_cloth_and_not_in_medium(colour, said):
    """Creek mud, bark, peat, weathered shell, soot: common names of cloth as an eye takes them, no source."""
    assert say_toned(colour) == said


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("ivory", "cream"), ("linen", "cream"), ("beige", "cream"), ("tan", "light brown"), ("navy", "dark blue"),
        ("teal", "blue-green"), ("maroon", "dark red"), ("olive", "green"), ("white", "white"), ("snow", "white"),
        ("silver", "light grey"), ("darkgreen", "dark green"), ("lightblue", "light blue"), ("yellow", "yellow"),
        ("blue", "blue"), ("pink", "light pink"), ("coral", "orange"),
    ],
)  # fmt: skip
def test_a_reader_hears_how_dark_it_is(name, said):
    assert say_toned(find_hex(name)) == said


def test_names_that_begin_with_dark_or_pale_are_not_told_the_other_way_round():
    for name in webcolors.names(webcolors.CSS3):
        said = say_toned(find_hex(name)).split()[0]
        if name.startswith("dark"):
            assert said != "light" or name == "darkgoldenrod", name
        if name.startswith(("light", "pale")):
            assert said != "dark", name


def test_cloth_that_its_maker_calls_canvas_is_told_as_cream():
    cloth = {}
    for file in Path("data/studies").glob("*.toml"):
        for fabric in tomllib.loads(file.read_text(encoding="utf-8")).get("fabric", []):
            cloth.setdefault(fabric["name"], fabric.get("colour", ""))
    for name in ("Canvas", "Bleached twine", "Gull wing", "Whitewash", "Linen", "Pale sand"):
        assert say_colour(cloth[name]) == "cream", name


def test_the_picture_of_a_quilt_tells_them_by_the_same_words():
    sketch = kit.make_sketch(kit.open_study("data/studies/ferry-steps.toml"))
    told = describe_quilt(sketch)
    for fabric in sketch.study.fabrics:
        assert f"{fabric.name}, {say_toned(fabric.colour)}, " in told


def test_in_german_it_is_one_word():
    with use_language("German"):
        assert [say_toned(one) for one in ("#22364d", "#add8e6", "#f6efe0")] == ["dunkelblau", "hellblau", "creme"]
