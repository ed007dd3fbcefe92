"""The list of all sums: their groups, their fields as their docstrings tell them, an example of each; asked by name."""

import inspect
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache

from kit.errors import KitError
from kit.sums.answer import SumAnswer
from kit.sums.back_sums import backing, batting
from kit.sums.bias_sums import bias_square, bias_strips
from kit.sums.binding_sums import binding
from kit.sums.border_sums import border_length, borders, join_cost
from kit.sums.cloth_sums import rectangles, squares
from kit.sums.edge_sums import round_edge, scallops
from kit.sums.goose_sums import geese, half_rectangles, square_in_square
from kit.sums.money_sums import break_even, quote
from kit.sums.point_sums import halved_block, on_point, setting_triangles
from kit.sums.row_sums import colour_limit, equal_strips, rows_of
from kit.sums.seam_sums import row_drift, seam, slip, unequal
from kit.sums.setting_sums import braid, frame
from kit.sums.shape_sums import diamonds, hexagons, kites, octagons
from kit.sums.size_sums import bed, cut_size, resize, shrink
from kit.sums.strip_sums import precuts, strip_sets, strips
from kit.sums.triangle_sums import triangles
from kit.sums.unit_sums import half_squares, quarter_squares
from kit.sums.wheel_sums import wheels
from kit.sums.work_sums import quilting_gap, thread, work_time

GROUPS: Mapping[str, tuple[Callable[..., SumAnswer], ...]] = {
    "Cloth": (squares, rectangles, strips, strip_sets, precuts),
    "Cut sizes": (cut_size, half_squares, quarter_squares, geese, half_rectangles, square_in_square, triangles, resize),
    "Shapes": (diamonds, hexagons, octagons, kites, wheels),
    "Settings": (setting_triangles, halved_block, on_point, rows_of, frame, equal_strips, braid, colour_limit, bed),
    "Borders and backs": (borders, border_length, join_cost, backing, batting, quilting_gap),
    "Binding": (binding, bias_square, bias_strips, scallops, round_edge),
    "Seams": (seam, slip, unequal, row_drift, shrink),
    "Work and money": (thread, work_time, quote, break_even),
}
"""The sums in the order of the job."""
EXAMPLES: Mapping[str, Mapping[str, str]] = {
    "squares": {"cut": "9 1/2 in", "out_of": "2 yd", "width": "42 in"},
    "rectangles": {"cut": "2 1/2 x 4 1/2 in", "count": "40"},
    "strips": {"cut": "2 1/2 in", "total": "236 in", "join": "diagonal"},
    "strip_sets": {"strip": "5 of 2 1/2 in", "segment": "10 1/2 in", "count": "42", "on_hand": "40"},
    "precuts": {"cut": "2 1/2 in", "count": "100"},
    "cut_size": {"cut": "5 in"},
    "half_squares": {"finished": "3 in", "count": "24"},
    "quarter_squares": {"finished": "3 in", "count": "12"},
    "geese": {"unfinished": "4 1/2 x 2 1/2 in", "count": "16"},
    "half_rectangles": {"finished": "2 x 4 in"},
    "square_in_square": {"inner": "4 in"},
    "triangles": {"finished": "3 in", "kind": "60", "count": "30"},
    "resize": {"cut": "4 1/2 in", "of": "12 in", "to": "9 in"},
    "diamonds": {"height": "3 in", "angle": "45"},
    "hexagons": {"side": "1 1/2 in"},
    "octagons": {"across": "6 in"},
    "kites": {"length": "4 in", "width": "2 in", "shoulder": "3 in"},
    "wheels": {"wedges": "20", "outside": "16 in", "hole": "4 in"},
    "setting_triangles": {"block": "7 in"},
    "halved_block": {"finished": "6 in"},
    "on_point": {"columns": "4", "rows": "5", "block": "6 in"},
    "rows_of": {"rows": "9 of 9 in / 3 in, 8 of 9 in, 6 in", "height": "6 in", "times": "5"},
    "frame": {"centre": "4 in", "strip": "3 in", "way": "whirl"},
    "equal_strips": {"block": "12 in", "count": "7"},
    "braid": {"strip": "2 1/2 in", "cut_length": "6 1/2 in"},
    "colour_limit": {"columns": "6", "rows": "7"},
    "bed": {"bed": "queen", "drop": "14 in"},
    "borders": {"top": "40 x 50 in", "finished": "5 in"},
    "border_length": {"measured": "41 1/2, 42, 42 1/2 in"},
    "join_cost": {"cut": "8 in", "join": "diagonal"},
    "backing": {"quilt": "60 x 80 in"},
    "batting": {"quilt": "64 x 82 in"},
    "quilting_gap": {"gap": "5 in", "limit": "3 in"},
    "binding": {"quilt": "51 x 61 in", "cut": "2 1/2 in"},
    "bias_square": {"length": "244 in", "strip": "2 1/2 in"},
    "bias_strips": {"width": "31 in", "edge": "20 in", "strip": "2 1/2 in"},
    "scallops": {"quilt": "60 x 80 in", "scallop": "10 in", "depth": "2 in"},
    "round_edge": {"across": "50 in"},
    "seam": {"strips": "4 of 1 1/2 in", "measured": "4 3/8 in"},
    "slip": {"measured": "4 in", "expected": "4 1/2 in"},
    "unequal": {"measured": "9 7/8, 10, 10 1/8 in", "pieces": "5"},
    "row_drift": {"pieces": "12, 3", "off": "1/32 in"},
    "shrink": {"after": "90 in", "loss": "5 %"},
    "thread": {"quilt": "60 x 80 in", "spacing": "1 in"},
    "work_time": {"quilt": "60 x 80 in", "cuts": "300", "seams": "299"},
    "quote": {"quilt": "60 x 80 in", "materials": "180", "quilting_rate": "0.02", "binding_rate": "0.15"},
    "break_even": {"fixed": "600", "price": "14", "each": "2", "fee": "25 %"},
}
"""What the form holds before something is typed: each is answered."""
CHOICES: Mapping[str, tuple[str, ...]] = {
    "system": ("inch", "metric"),
    "join": ("straight", "diagonal"),
    "fold": ("double", "single"),
    "grain": ("straight", "bias square", "bias lengths"),
    "points": ("true", "blunt"),
    "way": ("butted", "whirl"),
    "kites.sizes": ("finished", "cut"),
    "borders.corners": ("butted", "mitred", "cornerstones"),
    "colour_limit.corners": ("may touch", "may not"),
    "triangles.kind": ("half-square", "quarter-square", "60"),
    "cut_size.kind": ("square", "half-square", "quarter-square"),
    "resize.kind": ("square", "half-square", "quarter-square"),
    "one_way": ("no", "yes"),
}
"""The words that a field may hold: by its name, or by sum and name."""


@dataclass(frozen=True, slots=True)
class SumField:
    """One field of a sum.

    Attributes
    ----------
    name, label
        Its name, and the same in words.
    help
        What it is, from the docstring.
    required
        Whether the sum asks for it always.
    choices
        The words that it may hold; empty for a free text.
    usual
        What it is when left out; empty where it is nothing.
    """

    name: str
    label: str
    help: str
    required: bool
    choices: tuple[str, ...]
    usual: str


@dataclass(frozen=True, slots=True)
class SumQuestion:
    """One sum of the list: its name, its group, what it answers, its fields and an example."""

    name: str
    group: str
    title: str
    fields: tuple[SumField, ...]
    example: Mapping[str, str]


@cache
def list_quick_sums() -> tuple[SumQuestion, ...]:
    """List every sum with its fields, in the order of the job.

    Examples
    --------
    >>> [question.name for question in list_quick_sums()][:3]
    ['squares', 'rectangles', 'strips']
    """
    return tuple(_describe(sum_, group) for group, sums in GROUPS.items() for sum_ in sums)


def ask_sum(name: str, **texts: str) -> SumAnswer:
    """Ask a sum by its name, every field as text; an empty text leaves the field out.

    Parameters
    ----------
    name
        Such as "squares".
    texts
        Field -> text.

    Raises
    ------
    KitError
        An unknown sum or field, a missing one, or what the sum itself refuses.

    Examples
    --------
    >>> ask_sum("squares", cut="9 1/2 in", out_of="2 yd", width="42 in")["squares"]
    28
    """
    known = {sum_.__name__: sum_ for sums in GROUPS.values() for sum_ in sums}
    if name not in known:
        near = get_close_matches(str(name), known, n=1)
        raise KitError(f"there is no sum `{name!s:.40}`", needed=", ".join(known),
                       do=f"write {near[0]}" if near else "name one of these")  # fmt: skip
    question = next(one for one in list_quick_sums() if one.name == name)
    fields = {field.name: field for field in question.fields}
    for key in texts:
        if key not in fields:
            near = get_close_matches(key, fields, n=1)
            raise KitError(f"the sum {name} has no field `{key!s:.40}`", needed=", ".join(fields),
                           do=f"write {near[0]}" if near else "name one of these")  # fmt: skip
    given = {key: text for key, text in texts.items() if str(text).strip()}
    missing = [field.label for field in question.fields if field.required and field.name not in given]
    if missing:
        raise KitError(f"{name} needs {' and '.join(missing)}", needed="each of its first fields",
                       do="for instance " + ", ".join(f"{k} {v}" for k, v in question.example.items()))  # fmt: skip
    return known[name](**given)


def _describe(sum_: Callable[..., SumAnswer], group: str) -> SumQuestion:
    name = sum_.__name__
    said = inspect.getdoc(sum_) or ""
    first = said.split("\n", 1)[0].rstrip(".")
    helps = _read_helps(said)
    fields = tuple(
        SumField(
            key, key.replace("_", " "), helps.get(key, ""), one.default is inspect.Parameter.empty,
            CHOICES.get(f"{name}.{key}", CHOICES.get(key, ())),
            "" if one.default in (inspect.Parameter.empty, None, False, 0) else str(one.default),
        )
        for key, one in inspect.signature(sum_).parameters.items()
    )  # fmt: skip
    return SumQuestion(name, group, first, fields, EXAMPLES[name])


def _read_helps(said: str) -> dict[str, str]:
    """Return field -> what the docstring says of it."""
    part = re.search(r"Parameters\n-+\n(.*?)\n\n[A-Z]\w+\n-+\n", said, re.DOTALL)
    found: dict[str, str] = {}
    for names, text in re.findall(r"^(\w[\w, ]*)\n((?:    .*\n?)+)", part[1] if part else "", re.MULTILINE):
        for name in names.split(","):
            found[name.strip()] = " ".join(text.split())
    return found
