"""What hypothesis draws from: the keys of studies, as a study file holds them, with lengths as text."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, sqrt
from typing import Any

from hypothesis import strategies as st
from random_designs import FAMILIES as RANDOM_FAMILIES
from random_designs import SETTINGS, Dice, draw_border, draw_settings

from kit.designs import FAMILIES, Family
from kit.lengths import read_length
from kit.model.patchwork import Patchwork

ROOT2 = sqrt(2)
ALLOWANCES = {"inch": ("1/4 in", "3/8 in", "0.2 in"), "metric": ("0.75 cm", "1 cm", "6 mm")}
LETTERS = st.characters(codec="utf-8", categories=("L", "M", "N", "P", "S"))
"""What a name may hold: anything that shows, in any script."""


@dataclass(frozen=True)
class Case:
    """The [design] table of a study and the seam allowance, both as text."""

    keys: dict[str, Any]
    allowance_text: str

    @property
    def allowance(self) -> float:
        """Inches."""
        return read_length(self.allowance_text)

    @property
    def family(self) -> Family:
        """The family as the study file gives it."""
        return FAMILIES[self.keys["family"]].model_validate(self.keys)

    def build(self) -> Patchwork:
        """Return the patchwork, not yet verified."""
        return self.family.patchwork(self.allowance)


def write_eighths(count: int, notation: str) -> str:
    """Return so many eighths of an inch in one of the ways that people write them; all read back alike."""
    whole, rest = divmod(count, 8)
    fraction = Fraction(rest, 8)
    inches = f"{whole} {fraction}" if whole and rest else f"{fraction or whole}" if not whole else f"{whole}"
    return {
        "inches": f"{inches} in",
        "hyphen": f'{inches.replace(" ", "-")}"',
        "decimal": f"{count / 8:g} inches",
        "centimetres": f"{count * 0.3175:.4f} cm",
        "millimetres": f"{count * 3.175:.3f} mm",
    }[notation]


def lengths(low: float, high: float) -> st.SearchStrategy[str]:
    """Draw a length of whole eighths between two lengths in inches, written in one of several ways."""
    notation = st.sampled_from(["inches", "hyphen", "decimal", "centimetres", "millimetres"])
    least = ceil(low * 8 - 1e-9)
    return st.builds(write_eighths, st.integers(least, max(least, int(high * 8))), notation)


def _maybe(draw, keys, name, values):
    if draw(st.booleans()):
        keys[name] = draw(values)


def _surround(draw, keys, allowance):
    """Add sashing and borders."""
    if draw(st.booleans()):
        sash = {"finished": draw(lengths(2 * allowance, 3))}
        _maybe(draw, sash, "outer", st.booleans())
        _maybe(draw, sash, "cornerstones", st.booleans())
        _maybe(draw, sash, "slot", st.sampled_from(["sky", "path"]))
        _maybe(draw, sash, "cornerstone_slot", st.sampled_from(["post", "sky"]))
        keys["sashing"] = sash
    borders = draw(st.integers(0, 2))
    if borders:
        keys["border"] = [{"finished": draw(lengths(2 * allowance, 5))} for _ in range(borders)]
        for border in keys["border"]:
            _maybe(draw, border, "first", st.sampled_from(["sides", "ends"]))
            _maybe(draw, border, "slot", st.sampled_from(["frame", "edge"]))


def turns(words: tuple[str, ...]) -> st.SearchStrategy[list[str]]:
    """Draw rows of turns."""
    row = st.lists(st.sampled_from(words), min_size=1, max_size=3).map(" ".join)
    return st.lists(row, min_size=1, max_size=3)


def _find_least_pairs(strip: float, column: float, allowance: float) -> int:
    """Return how many pairs surely leave something of a column, however it starts."""
    return ceil((column / 2 + strip / (2 * ROOT2) + 6 * allowance) / (strip * ROOT2))


@st.composite
def braids(
    draw, allowance_text: str, by_length: bool | None = None, blades: str | None = None, accent_by: str | None = None
) -> dict[str, Any]:
    """Draw the keys of a braid."""
    a = read_length(allowance_text)
    strip_cut = draw(lengths((2 + 2 * ROOT2) * a + 1 / 32, 4))
    strip = read_length(strip_cut) - 2 * a
    accents = draw(st.sampled_from(["none", "left", "right", "both"]))
    least = ROOT2 * (2 * a + strip / 2 + (accents != "none") * strip)
    column = draw(lengths(least, least + 6))
    keys = {
        "family": "braid",
        "columns": draw(st.integers(1, 3)),
        "strip_cut": strip_cut,
        "column_finished": column,
        "accents": accents,
        "start": draw(st.sampled_from(["square", "triangle", "open"])),
    }
    if by_length is None:
        by_length = draw(st.booleans())
    if by_length:
        if strip < 5 * a:
            keys["start"] = "triangle"
        keys["length_finished"] = draw(lengths(2 * a, 40))
    else:
        few = _find_least_pairs(strip, read_length(column), a)
        keys["pairs"] = draw(st.integers(few, few + 5))
    if blades:
        keys["blades"] = blades
    else:
        _maybe(draw, keys, "blades", st.sampled_from(["angled", "rectangles"]))
    if accent_by:
        keys["accent_by"] = accent_by
    _maybe(draw, keys, "running", st.sampled_from(["same", "alternate"]))
    _maybe(draw, keys, "sides", st.sampled_from(["one slot", "two slots"]))
    _maybe(draw, keys, "blade_slot", st.just("wave"))
    _maybe(draw, keys, "accent_slot", st.sampled_from(["spark", "blade"]))
    _maybe(draw, keys, "start_slot", st.just("foot"))
    _maybe(draw, keys, "turns", turns(("0", "180")))
    _surround(draw, keys, a)
    return keys


@st.composite
def log_cabins(draw, allowance_text: str) -> dict[str, Any]:
    """Draw the keys of a log cabin."""
    a = read_length(allowance_text)
    rounds = draw(st.integers(1, 3))
    count = draw(st.sampled_from([1, rounds, 4 * rounds]))
    keys = {
        "family": "log cabin",
        "columns": draw(st.integers(1, 3)),
        "rows": draw(st.integers(1, 3)),
        "centre_finished": draw(lengths(2 * a, 4)),
        "log_finished": draw(st.lists(lengths(2 * a, 3), min_size=count, max_size=count)),
        "rounds": rounds,
    }
    _maybe(draw, keys, "order", st.sampled_from(["counter-clockwise", "clockwise", "courthouse"]))
    _maybe(draw, keys, "centre_slot", st.just("hearth"))
    _maybe(draw, keys, "light_slot", st.just("day"))
    _maybe(draw, keys, "dark_slot", st.sampled_from(["night", "day"]))
    words = ("0", "90", "180", "270") if count <= rounds else ("0", "180")
    _maybe(draw, keys, "turns", turns(words))
    _surround(draw, keys, a)
    return keys


@st.composite
def strip_quilts(draw, allowance_text: str) -> dict[str, Any]:
    """Draw the keys of a strip quilt."""
    a = read_length(allowance_text)
    rows, across = draw(st.integers(1, 4)), draw(st.integers(1, 4))
    slots = st.sampled_from(["dark", "medium", "light", "foam"])
    keys = {
        "family": "strips",
        "columns": draw(st.integers(1, 4)),
        "rows": draw(st.integers(1, 4)),
        "strip_cut": draw(lengths(4 * a, 4)),
        "pattern": [" ".join(draw(st.lists(slots, min_size=across, max_size=across))) for _ in range(rows)],
    }
    _maybe(draw, keys, "row_cut", lengths(4 * a, 6))
    square = "row_cut" not in keys and rows in (1, across)
    keys["turns"] = draw(turns(("0", "90", "180", "270") if square else ("0", "180")))
    _surround(draw, keys, a)
    return keys


FAMILY_KEYS = {"braid": braids, "log cabin": log_cabins, "strips": strip_quilts}


@st.composite
def cases(draw, family: str | None = None, **options: Any) -> Case:
    """Draw a design that can be built, with its allowance."""
    allowance = draw(st.sampled_from([text for texts in ALLOWANCES.values() for text in texts]))
    name = family or draw(st.sampled_from(sorted(FAMILY_KEYS)))
    return Case(draw(FAMILY_KEYS[name](allowance, **options)), allowance)


@st.composite
def random_settings(draw, a: float, setting: str | None = None, borders: int = 2) -> dict[str, Any]:
    """Draw the tables of a setting, by its name or any, and borders; some combinations cannot be, nor some lengths."""
    dice = Dice(draw(st.randoms(use_true_random=False)))
    name = setting or draw(st.sampled_from(SETTINGS))
    return draw_settings(dice, a)[name] | {"border": [draw_border(dice, a) for _ in range(dice.randint(0, borders))]}


@st.composite
def random_cases(draw, family: str | None = None, setting: str | None = None, borders: int = 2) -> Case:
    """Draw any family in any setting, by their names or any, possible or not."""
    text = draw(st.sampled_from([text for texts in ALLOWANCES.values() for text in texts]))
    a = read_length(text)
    dice = Dice(draw(st.randoms(use_true_random=False)))
    name = family or draw(st.sampled_from(sorted(RANDOM_FAMILIES)))
    keys = {"family": name, "columns": dice.randint(1, 2), "rows": dice.randint(1, 2)} | RANDOM_FAMILIES[name](dice, a)
    return Case(keys | draw(random_settings(a, setting, borders)), text)


def names(longest: int = 30) -> st.SearchStrategy[str]:
    """Draw a name in any script, emoji and punctuation included."""
    shown = st.text(LETTERS, min_size=1, max_size=longest)
    return shown.filter(lambda text: text.strip() == text and text.isprintable())


@st.composite
def _forms(draw) -> dict[str, Any]:
    """Draw what a fabric comes as."""
    form = draw(st.sampled_from(["yardage", "strips", "squares", "fat quarter", "remnant"]))
    keys: dict[str, Any] = {"form": form}
    if form in ("strips", "squares", "remnant"):
        keys["width"] = draw(lengths(1, 60))
    elif draw(st.booleans()):
        keys["width"] = draw(lengths(18, 108))
    if form == "remnant" or (form in ("yardage", "strips") and draw(st.booleans())):
        keys["length"] = draw(lengths(1, 200))
    if form != "yardage":
        _maybe(draw, keys, "count", st.integers(1, 100_000))
    return keys


@st.composite
def studies(draw, case: st.SearchStrategy[Case] | None = None, yardage: bool = False) -> dict[str, Any]:
    """Draw the keys of a whole study file whose design can be built and whose slots are all filled."""
    drawn = draw(cases() if case is None else case)
    measures = {"seam_allowance": drawn.allowance_text}
    _maybe(draw, measures, "system", st.sampled_from(["inch", "metric"]))
    _maybe(draw, measures, "round_cuts_to", st.sampled_from(["1/8 in", "1/16 in", "1 mm", "5 mm", "0.25 cm"]))
    _maybe(draw, measures, "usable_width", lengths(20, 110))
    slots = [slot for slot in drawn.build().slots for _ in range(draw(st.integers(1, 3)))]
    called = draw(st.lists(names(), min_size=len(slots), max_size=len(slots), unique=True))
    fabrics = []
    for slot, name in zip(slots, called, strict=True):
        colour = "#" + draw(st.text("0123456789abcdefABCDEF", min_size=6, max_size=6))
        fabric = {"slot": slot, "name": name, "colour": colour, **({} if yardage else draw(_forms()))}
        _maybe(draw, fabric, "price", st.decimals(0, 500, places=2).map(float))
        _maybe(draw, fabric, "one_way", st.booleans())
        _maybe(draw, fabric, "nap", st.booleans())
        _maybe(draw, fabric, "repeat", lengths(1, 24))
        _maybe(draw, fabric, "shrinkage", st.integers(0, 20).map(lambda percent: percent / 100))
        _maybe(draw, fabric, "washed", st.booleans())
        _maybe(draw, fabric, "squaring", st.sampled_from(["0 in", "1/2 in", "3 cm"]))
        _maybe(draw, fabric, "lot", names(8))
        fabrics.append(fabric)
    keys = {"title": draw(names(80)), "measures": measures, "design": drawn.keys, "fabric": fabrics}
    _maybe(draw, keys, "edition", names(8))
    _maybe(draw, keys, "seed", st.integers(0, 2**53))
    return keys
