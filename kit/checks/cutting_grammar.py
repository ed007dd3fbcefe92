"""The grammar of the printed cutting: what each line says, read from its words alone."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import radians, tan
from typing import Literal, TypeAlias

from kit.errors import CheckError, LengthError
from kit.lengths import read_length
from kit.model.printed import PrintedLine

Act: TypeAlias = Literal[
    "strips", "lengthwise", "precut", "rows", "ends", "open", "pieces", "part", "join", "stack", "spare",
]  # fmt: skip
"""What a line tells one to do."""
LENGTH = re.compile(r"(?<![\w(])(?:about )?[\d.½¼¾⅛⅜⅝⅞⁄/\u202f]+ (?:in|cm)\b")
ANGLE = re.compile(r"(\d+(?:\.\d+)?)°")
PIECE = r"(?P<piece>[A-Z]{1,2}(?:\d+|[a-z]{1,3}))"
GIVES = re.compile(rf": (?:piece {PIECE}|(?P<triangles>\d+) triangles (?:(?P<hand>left|right) )?(?P<of>[A-Z]{{1,2}}\d+)"
                   r"(?:, of which (?P<spare>\d+) spare)?)$")  # fmt: skip
FIRST: tuple[tuple[str, Act], ...] = (
    (r"Cut \((?P<n>\d+)\) strips? ", "strips"), (r"Cut \((?P<n>\d+)\) lengths? ", "lengthwise"),
    (r"Take \((?P<n>\d+)\) ", "precut"), (r"Sew the \((?P<n>\d+)\) lengths for piece ", "join"),
    (rf"For each piece {PIECE} sew (?P<n>\d+) lengths ", "join"),
    (r"From the (?:end|rest), cut (?:along|across) it, \((?P<n>\d+)\) strips? ", "ends"),
    (r"\((?P<n>\d+)\) strips? ", "rows"), (r"Open the fold\.", "open"),
    (r"Cut \((?P<n>\d+)\) layers ", "stack"),
    (rf"Of piece {PIECE}, (?P<n>\d+) (?:(?:rising|falling|level|upright) )?(?:is|are) to spare",
     "spare"),
)  # fmt: skip


@dataclass
class CutOrder:
    """One line, read.

    Attributes
    ----------
    text, act
        The line, and what it tells one to do.
    count
        The number in brackets at its beginning.
    lengths
        The lengths in it, inches, in their order.
    piece, hand
        The piece that it gives or prepares, and its hand; empty without.
    gives
        Pieces needed from it.
    each
        Whether the lines below are done with each of several strips.
    folded
        Whether they are cut through two layers.
    drawing
        The name of a drawing that it follows; empty without.
    layers
        How many layers of a stack it is cut through.
    below
        The lines under it.
    """

    text: str
    act: Act
    count: int = 0
    lengths: tuple[float, ...] = ()
    piece: str = ""
    hand: str = ""
    gives: int = 0
    each: bool = False
    folded: bool = False
    drawing: str = ""
    layers: int = 1
    below: list["CutOrder"] = field(default_factory=list)

    @property
    def angles(self) -> tuple[float, ...]:
        """The angles in the line, degrees."""
        return tuple(float(found) for found in ANGLE.findall(self.text))

    def measure_along(
        self, height: float, count: int, *, lengthwise: bool = False, turned: bool = True
    ) -> float | None:  # fmt: skip
        """Return the inches of strip that a number of its pieces take, None if they are not cut off such a strip.

        A piece is cut off a strip as wide as one of its sides. Angled pieces stand head to foot along it, so that two
        take the long and the short side, unless they are not turned; lengthwise ones are cut to their length.
        """
        sizes, text = self.lengths, self.text
        if ", each from " in text:
            sizes = sizes[-2:]
        elif lengthwise:
            return count * min(sizes) if max(sizes) <= height + SLIP else None
        elif " wide, long side " in text and not turned:
            return count * sizes[1] if _same(sizes[0], height) else None
        elif " wide, long side " in text:
            return self._measure_trapezoids(height, count)
        elif "angled piece" in text:
            if not _same(sizes[0], height) or not self.angles:
                return None
            return count * sizes[1] + height / tan(radians(min(self.angles)))
        elif "60° triangle" in text:
            return (count + 1) / 2 * sizes[1] if _same(sizes[0], height) else None
        sides = (*sizes, *sizes)[:2]
        faces = (0,) if self.act == "part" else (0, 1)  # a length to be joined is as wide as its strip
        along = [sides[1 - k] for k in faces if _same(sides[k], height)]
        return count * min(along) if along else None

    def _measure_trapezoids(self, height: float, count: int) -> float | None:
        if not _same(self.lengths[0], height) or not self.angles:
            return None
        slants = [height / tan(radians(angle)) for angle in self.angles]
        if "both ends" in self.text:
            slants *= 2
        elif "one end square" in self.text:
            slants.append(0.0)
        long = self.lengths[1]
        short = max(0.0, long - sum(slants))
        pairs, odd = divmod(count, 2)
        return pairs * (long + short) + (long if odd else max(0.0, min(slants)))


SLIP = 1e-3
"""Inches: the tolerance between two printed figures, which are printed to 64ths or hundredths of a centimetre."""


def _same(one: float, other: float) -> bool:
    return abs(one - other) < SLIP


BOLT = 1e5
"""Inches: the longest length that a line may name; cloth with a repeat can take a great deal."""


@lru_cache(4096)
def read_lengths(text: str) -> tuple[float, ...]:
    """Return the lengths in a text, inches.

    Examples
    --------
    >>> read_lengths("(3) angled pieces 2½ in wide, long side 6⅛ in"), read_lengths("6.35 cm × 1 m")
    ((2.5, 6.125), (2.5,))
    """
    return tuple(read_length(found.removeprefix("about "), longest=BOLT) for found in LENGTH.findall(flatten(text)))


def read_row(text: str) -> list[float]:
    """Return the lengths of a row that is sewn end to end, inches, in their order; empty where no order is told.

    Examples
    --------
    >>> read_row("Sew the (3) lengths for piece A1 end to end in this order: 40 in, 40 in, 23¼ in, with seams")
    [40.0, 40.0, 23.25]
    """
    _, _, row = flatten(text).partition(" in this order: ")
    return list(read_lengths(row))


def flatten(text: str) -> str:
    """Return a text on one line with plain spaces; the narrow one within a number stays."""
    return re.sub(r"[ \n\u00a0]+", " ", text).strip()


def read_orders(lines: Sequence[PrintedLine], place: str) -> list[CutOrder]:
    """Read the lines of one fabric; lines that stand deeper belong to the line above them.

    Raises
    ------
    CheckError
        A line that says nothing that one could do, or stands where no line should.
    """
    found: list[CutOrder] = []
    above: list[CutOrder] = []
    for line in lines:
        order = _read_order(line.text, place)
        if line.depth > len(above):
            raise CheckError(f"{place}: “{order.text}” stands under nothing")
        above = above[: line.depth]
        (above[-1].below if above else found).append(order)
        above.append(order)
    return found


def _read_order(text: str, place: str) -> CutOrder:
    text = flatten(text)
    try:
        lengths = read_lengths(text)
    except LengthError as error:
        raise CheckError(f"{place}: “{text}” has a length that cannot be read: {error}") from None
    drawing = re.search(r"drawing “([^”]+)”", text)
    for pattern, act in FIRST:
        match = re.match(pattern, text)
        if match and not (act == "rows" and GIVES.search(text)):
            count = int(match.groupdict().get("n") or 0)
            named = re.search(rf"for piece {PIECE}", text) or (match if "piece" in match.groupdict() else None)
            return CutOrder(
                text, act, count, lengths, named["piece"] if named else "", each="From each:" in text,
                folded="Fold " in text, drawing=drawing[1] if drawing else "",
            )  # fmt: skip
    counted = re.match(r"\((\d+)\) ", text)
    part = re.search(rf", to be joined for piece {PIECE}$", text)
    if counted and part:
        return CutOrder(text, "part", int(counted[1]), lengths, part["piece"])
    gives = GIVES.search(text)
    if not counted or not gives or (not lengths and "template" not in text):
        raise CheckError(f"{place}: “{text}” does not say what to cut")
    count = int(counted[1])
    stacked = re.search(r", through (\d+) layers", text)
    layers = int(stacked[1]) if stacked else 1
    hand = gives["hand"] or next((found for found in ("left", "right") if f"{found} hand" in text), "")
    if gives["of"] is None:
        return CutOrder(text, "pieces", count, lengths, gives["piece"], hand, count * layers, layers=layers)
    triangles, spare = int(gives["triangles"]), int(gives["spare"] or 0)
    if triangles != layers * count * (4 if "cut twice diagonally" in text else 2):
        raise CheckError(f"{place}: “{text}”: {count} squares do not give {triangles} triangles")
    return CutOrder(text, "pieces", count, lengths, gives["of"], hand, triangles - spare, layers=layers)
