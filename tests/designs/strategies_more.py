"""What hypothesis draws of the newer families and of every setting, as a study file holds it."""

from math import sqrt
from typing import Any

from hypothesis import strategies as st
from strategies import ALLOWANCES, Case, braids, lengths, log_cabins, strip_quilts, turns

from kit.lengths import read_length

ROOT2 = sqrt(2)
SLOTS = st.sampled_from(["tide", "foam", "kelp", "rope"])
ROUND = st.sampled_from(["counter-clockwise", "clockwise"])


def _blocks(draw, family: str) -> dict[str, Any]:
    return {"family": family, "columns": draw(st.integers(1, 3)), "rows": draw(st.integers(1, 3))}


def _cells(count: int) -> st.SearchStrategy[str]:
    """Draw a row of cells: plain, divided one way or the other, divided both ways."""
    halves = st.builds("{}{}{}".format, SLOTS, st.sampled_from("/\\"), SLOTS)
    quarters = st.lists(SLOTS, min_size=4, max_size=4).map(":".join)
    return st.lists(st.one_of(SLOTS, halves, quarters), min_size=count, max_size=count).map(" ".join)


@st.composite
def grid_blocks(draw, a: float) -> dict[str, Any]:
    across, down = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    keys = _blocks(draw, "grid blocks") | {
        "pattern": [draw(_cells(across)) for _ in range(down)],
        "cell_finished": draw(lengths((2 + ROOT2) * a * 2, 5)),
    }
    square = across == down
    if draw(st.booleans()):
        keys["column_widths"] = draw(st.lists(st.integers(1, 3), min_size=across, max_size=across))
        square = False
    keys["symmetry"] = draw(st.sampled_from(["none", "mirrored", "turned"] if square else ["none", "mirrored"]))
    keys["turns"] = draw(turns(("0", "90", "180", "270") if square else ("0", "180")))
    return keys


@st.composite
def flying_geese(draw, a: float) -> dict[str, Any]:
    return _blocks(draw, "flying geese") | {
        "geese": draw(st.integers(1, 5)),
        "goose_finished": draw(lengths(2 * a, 4)),
        "direction": draw(st.sampled_from(["up", "down", "left", "right"])),
        "running": draw(st.sampled_from(["same", "alternate"])),
        "goose_slots": draw(st.lists(SLOTS, min_size=1, max_size=3)),
    }


@st.composite
def squares_in_squares(draw, a: float) -> dict[str, Any]:
    rounds = draw(st.integers(1, 4))
    return _blocks(draw, "square in square") | {
        "rounds": rounds,
        "block_finished": draw(lengths(2 * a * ROOT2 ** (rounds + 1) + 1 / 8, 24)),
        "turns": draw(turns(("0", "90", "180", "270"))),
    }


@st.composite
def stars(draw, a: float) -> dict[str, Any]:
    return _blocks(draw, "eight-pointed star") | {
        "drafting": draw(st.sampled_from(["diamonds", "half squares"])),
        "block_finished": draw(lengths(8 * a, 16)),
        "point_slots": draw(st.lists(SLOTS, min_size=1, max_size=4)),
        "turns": draw(turns(("0", "90"))),
    }


@st.composite
def chevrons(draw, a: float) -> dict[str, Any]:
    return _blocks(draw, "chevron") | {
        "strips": draw(st.integers(1, 6)),
        "strip_cut": draw(lengths(4 * a, 4)),
        "column_finished": draw(lengths(2 * a, 6)),
        "points": draw(st.sampled_from(["up", "down"])),
        "strip_slots": draw(st.lists(SLOTS, min_size=1, max_size=3)),
        "mirror_slots": draw(st.lists(SLOTS, max_size=3)),
    }


@st.composite
def bargellos(draw, a: float) -> dict[str, Any]:
    halves = st.integers(-12, 12).map(lambda n: n / 2)
    return _blocks(draw, "bargello") | {
        "strip_cut": draw(lengths(6 * a, 4)),
        "strip_slots": draw(st.lists(SLOTS, min_size=2, max_size=4)),
        "loops": draw(st.integers(1, 3)),
        "widths_cut": draw(st.lists(lengths(4 * a, 4), min_size=1, max_size=3)),
        "shifts": draw(st.lists(halves, min_size=1, max_size=5)),
    }


@st.composite
def sixty_degrees(draw, a: float) -> dict[str, Any]:
    return _blocks(draw, "sixty degrees") | {
        "shape": draw(st.sampled_from(["triangles", "diamonds", "hexagons", "tumbling blocks"])),
        "edge_finished": draw(lengths(4 * a, 5)),
        "across": draw(st.integers(1, 4)),
        "down": draw(st.integers(1, 4)),
    }


@st.composite
def pinwheels(draw, a: float) -> dict[str, Any]:
    return _blocks(draw, "pinwheel") | {
        "block_finished": draw(lengths(4 * ROOT2 * a, 16)),
        "sails": draw(st.sampled_from(["single", "double"])),
        "direction": draw(ROUND),
        "turns": draw(turns(("0", "90"))),
    }


@st.composite
def whirls(draw, a: float) -> dict[str, Any]:
    return _blocks(draw, "whirl") | {
        "centre_finished": draw(lengths(2 * a, 6)),
        "rectangle_finished": draw(lengths(2 * a, 6)),
        "direction": draw(ROUND),
        "rectangle_slots": draw(st.lists(SLOTS, min_size=1, max_size=4)),
    }


@st.composite
def string_panels(draw, a: float) -> dict[str, Any]:
    return _blocks(draw, "string panels") | {
        "panel_finished": draw(lengths(4 * a, 12)),
        "strips_cut": draw(st.lists(lengths(4 * a, 4), min_size=1, max_size=4)),
        "strip_slots": draw(st.lists(SLOTS, min_size=1, max_size=3)),
    }


NEW = {
    "bargello": bargellos,
    "chevron": chevrons,
    "eight-pointed star": stars,
    "flying geese": flying_geese,
    "grid blocks": grid_blocks,
    "pinwheel": pinwheels,
    "sixty degrees": sixty_degrees,
    "square in square": squares_in_squares,
    "string panels": string_panels,
    "whirl": whirls,
}
OLD = {"braid": braids, "log cabin": log_cabins, "strips": strip_quilts}


@st.composite
def new_cases(draw, family: str | None = None) -> Case:
    """Draw a design of a newer family that can be built, in rows and columns, with its allowance."""
    text = draw(st.sampled_from([text for texts in ALLOWANCES.values() for text in texts]))
    name = family or draw(st.sampled_from(sorted(NEW)))
    return Case(draw(NEW[name](read_length(text))), text)


@st.composite
def settings_of(draw, a: float) -> dict[str, Any]:
    """Draw the tables of a setting; some combinations are impossible, and so are some lengths."""
    keys: dict[str, Any] = {}
    if draw(st.booleans()):
        keys["alternate"] = draw(st.sampled_from([{}, {"first": "plain"}, {"slot": "calm"}]))
    which = draw(st.sampled_from(["straight", "on point", "on point", "offset"]))
    if which == "on point":
        keys["on_point"] = point = {}
        if draw(st.booleans()):
            point["float_finished"] = draw(lengths(1 / 8, 3))
        if draw(st.booleans()):
            point["oversize"] = draw(lengths(1 / 8, 2))
        if draw(st.booleans()):
            point["side_cut"] = draw(st.sampled_from(["quarter-square", "half-square"]))
            point["corner_cut"] = draw(st.sampled_from(["half-square", "quarter-square"]))
    if which == "offset" or draw(st.integers(0, 9)) == 0:
        shift = st.one_of(st.just("whole"), lengths(1 / 4, 8))
        keys["offset"] = {"shifts": draw(st.lists(shift, min_size=1, max_size=3))}
    if draw(st.integers(0, 2)) == 0:
        flags = {"outer": draw(st.booleans()), "cornerstones": draw(st.booleans())}
        keys["sashing"] = {"finished": draw(lengths(ROOT2 * a, 3)), **flags}
    kinds = st.sampled_from(["butted", "mitred", "cornerstones"])
    firsts = st.sampled_from(["sides", "ends"])
    border = st.fixed_dictionaries({"finished": lengths(2 * a, 4), "corners": kinds, "first": firsts})
    keys["border"] = draw(st.lists(border, max_size=2))
    return keys


@st.composite
def set_cases(draw, family: str | None = None) -> Case:
    """Draw any family in any setting, possible or not."""
    text = draw(st.sampled_from([text for texts in ALLOWANCES.values() for text in texts]))
    a = read_length(text)
    name = family or draw(st.sampled_from(sorted(NEW | OLD)))
    keys = draw(NEW[name](a)) if name in NEW else draw(OLD[name](text))
    keys.pop("sashing", None)
    return Case(keys | draw(settings_of(a)), text)
