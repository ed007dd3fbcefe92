"""A written pattern with one planted error, to be read critically; the audit finds the same line."""

from dataclasses import dataclass
from functools import cache
from random import Random

from kit.auditing.audit_form import audit_form
from kit.auditing.audit_lines import AuditLine
from kit.auditing.form_entries import read_toml_form
from kit.lengths import round_up, write_exact
from kit.lessons.exercises.exercise import FORGOTTEN, ONE_SIDE, RULE, TWICE, Draft, Terms
from kit.lessons.exercises.lesson_shapes import pick_size

ROOT2 = 2**0.5
PLACES = (
    "a1 cut",
    "a1 count",
    "b1 cut",
    "b1 count",
    "half size",
    "half count",
    "block size",
    "block count",
    "top size",
)
"""What each line of the pattern says, in the order of its lines."""
PLANTED = (
    ("a1 cut", FORGOTTEN), ("a1 cut", ONE_SIDE), ("a1 count", "one of two counted"), ("b1 cut", RULE),
    ("b1 count", "units counted for triangles"), ("half size", TWICE), ("block size", TWICE),
    ("block count", "one row forgotten"), ("top size", "cut sizes added up"),
)  # fmt: skip
"""Line and slip of each error that may be planted."""


@dataclass(frozen=True, slots=True)
class SmallPattern:
    """A pattern of a few lines with one error.

    Attributes
    ----------
    lines
        Its lines as they are printed.
    form
        The same as a form for the audit.
    planted
        Number of the line with the error, from 1.
    slip
        The slip behind it.
    says, right
        What the line says, and what it should say.
    """

    lines: tuple[str, ...]
    form: str
    planted: int
    slip: str
    says: str
    right: str

    @property
    def text(self) -> str:
        """The numbered lines, one below the other."""
        return "\n".join(f"{number}. {line}" for number, line in enumerate(self.lines, start=1))

    def audit_lines(self) -> tuple[AuditLine, ...]:
        """Return the lines that the audit refuses."""
        return tuple(line for line in audit_form(read_toml_form(self.form)).lines if line.verdict == "wrong")


def plant_error(chance: Random, terms: Terms) -> SmallPattern:
    """Return a small pattern of squares and half-square units, with one error in it."""
    f, across, down = pick_size(chance, terms, 2, 4), chance.randint(3, 5), chance.randint(3, 6)
    place, slip = chance.choice(PLANTED)
    return _write_pattern(f, across, down, place, slip, terms)


@cache
def _write_pattern(f: float, across: int, down: int, place: str, slip: str, terms: Terms) -> SmallPattern:
    a, blocks = terms.allowance, across * down
    right: dict[str, float] = {
        "a1 cut": f + 2 * a,
        "a1 count": 2 * blocks,
        "b1 cut": round_up(f + (2 + ROOT2) * a, terms.step),
        "b1 count": 4 * blocks,
        "half size": f + 2 * a,
        "half count": 2 * blocks,
        "block size": 2 * f + 2 * a,
        "block count": blocks,
        "top size": across * 2 * f + 2 * a,
    }
    wrong = {
        ("a1 cut", FORGOTTEN): f,
        ("a1 cut", ONE_SIDE): f + a,
        ("a1 count", "one of two counted"): blocks,
        ("b1 cut", RULE): f + 2 * a,
        ("b1 count", "units counted for triangles"): 2 * blocks,
        ("half size", TWICE): f + 4 * a,
        ("block size", TWICE): 2 * (f + 2 * a),
        ("block count", "one row forgotten"): across * (down - 1),
        ("top size", "cut sizes added up"): across * (2 * f + 2 * a),
    }[place, slip]
    told = {**right, place: wrong}
    return SmallPattern(
        _list_lines(f, across, down, told, terms), _list_form(f, across, down, told, terms),
        PLACES.index(place) + 1, slip,
        _write_amount(place, wrong, terms), _write_amount(place, right[place], terms),
    )  # fmt: skip


def _write_amount(place: str, value: float, terms: Terms) -> str:
    return f"{round(value)}" if place.endswith("count") else terms.write(value)


def _list_lines(f: float, across: int, down: int, told: dict[str, float], terms: Terms) -> tuple[str, ...]:
    say = terms.write
    return (
        f"Square A finishes {say(f)} and is cut {say(told['a1 cut'])}.",
        f"Cut {round(told['a1 count'])} squares A.",
        f"Half-square triangle B finishes {say(f)} along its short sides; for two of them, cut a square of"
        f" {say(told['b1 cut'])} once on the diagonal.",
        f"Cut {round(told['b1 count'])} triangles B.",
        f"Sew two triangles B into a half-square unit, {say(told['half size'])} unfinished.",
        f"Make {round(told['half count'])} half-square units.",
        f"Sew two squares A and two half-square units into a block, {say(told['block size'])} unfinished.",
        f"Make {round(told['block count'])} blocks.",
        f"Sew {down} rows of {across} blocks; the top is {say(told['top size'])} wide, unfinished.",
    )


def _list_form(f: float, across: int, down: int, told: dict[str, float], terms: Terms) -> str:
    """Return the same pattern as a form: what the lines say, and how units lie."""
    say, a = write_exact, terms.allowance
    half, block = (say(told[f"{name} size"]) for name in ("half", "block"))
    high = say(down * 2 * f + 2 * a)
    rows = ", ".join(['"' + " ".join(["block"] * across) + '"'] * down)
    places = (_bare(f * (2.54 if terms.system == "metric" else 1)), "0")
    corners = [(places[1], places[1]), (places[0], places[1]), (places[1], places[0]), (places[0], places[0])]
    low = " ".join(",".join(corners[k]) for k in (0, 1, 2))
    upper = " ".join(",".join(corners[k]) for k in (1, 3, 2))
    usable = say(terms.usable)
    return f"""
title = "A pattern to read"
[measures]
system = "{terms.system}"
seam_allowance = "{say(a, terms.system)}"
round_cuts_to = "{say(terms.step, terms.system)}"
[[size]]
name = "lap"
usable_width = "{usable}"
[[size.piece]]
name = "A"
shape = "square"
cut = "{say(told["a1 cut"])}"
finished = "{say(f)}"
count = {round(told["a1 count"])}
[[size.piece]]
name = "B"
shape = "half-square triangle"
cut = "{say(told["b1 cut"])}"
finished = "{say(f)}"
count = {round(told["b1 count"])}
[[size.unit]]
name = "halfsquare"
count = {round(told["half count"])}
size = "{half} x {half}"
parts = "2 B"
shapes = ["B: {low}", "B: {upper}"]
[[size.unit]]
name = "block"
count = {round(told["block count"])}
size = "{block} x {block}"
parts = "2 A, 2 halfsquare"
rows = ["A halfsquare", "halfsquare A"]
[[size.unit]]
name = "top"
count = 1
size = "{say(told["top size"])} x {high}"
parts = "{across * down} block"
rows = [{rows}]
"""


def _bare(inches: float) -> str:
    return f"{inches:.6f}".rstrip("0").rstrip(".")


AUDITED = (
    "piece A: cut", "piece A: count", "piece B: cut", "piece B: count", "unit halfsquare: size",
    "unit halfsquare: count", "unit block: size", "unit block: count", "unit top: size",
)  # fmt: skip
"""Where the audit finds what each line says."""


def find_refused(pattern: SmallPattern) -> tuple[int, ...]:
    """Return the numbers of the lines that the audit refuses, the error first, then those that follow from it."""
    places = [line.where.partition(", ")[2] for line in pattern.audit_lines()]
    return tuple(dict.fromkeys(AUDITED.index(place) + 1 for place in places if place in AUDITED))


def ask_wrong_line(chance: Random, terms: Terms) -> Draft:
    """Ask for the one wrong line of a small pattern."""
    pattern = plant_error(chance, terms)
    refused = find_refused(pattern)
    mistakes = [
        ("what follows taken for the error", float(number), f"Line {number} goes wrong with line {refused[0]}; alone it"
         " is right.")
        for number in refused[1:]
    ]  # fmt: skip
    if refused[0] != 3:
        mistakes.append(("the triangle's amount mistrusted", 3.0, "Line 3 is right: a half-square triangle needs"
                         " (2 + √2) allowances, rounded up to the ruler's mark."))  # fmt: skip
    mistakes += [
        (
            "a count mistrusted",
            float(number),
            f"Line {number} is right: count from the top down, blocks, units, pieces.",
        )
        for number in (2, 4, 6, 8)
        if number not in refused
    ]
    return Draft(
        f"One line of this pattern is wrong; the seam allowance is {terms.write(terms.allowance)}. Which one?\n"
        f"{pattern.text}",
        float(refused[0]),
        [
            "Begin with the finished sizes and add the allowances; count from the top down.",
            f"Line {refused[0]} says {pattern.says}; from the others follows {pattern.right}.",
            f"The slip behind it: {pattern.slip}.",
        ],
        mistakes,
        noun="lines",
    )
