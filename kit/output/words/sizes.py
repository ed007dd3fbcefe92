"""Sizes and cuts in words, the same on screen, in tables and in files."""

from collections.abc import Callable, Iterable, Mapping

from kit.lengths import System, write_decimal, write_length, write_nearest
from kit.model.cutting import Piece, PieceKind
from kit.output.words.strings import say

Writer = Callable[[float, System], str]

HALF: PieceKind = "half-square triangle"
QUARTER: PieceKind = "quarter-square triangle"
RECTANGLE: PieceKind = "half-rectangle triangle"
SIZES: Mapping[PieceKind, str] = {
    "square": "square", "rectangle": "rectangle", HALF: "half", QUARTER: "quarter", RECTANGLE: "half_rectangle",
    "parallelogram": "parallelogram", "trapezoid": "trapezoid", "60° triangle": "triangle",
}  # fmt: skip
"""Which house strings say the size of a kind; of others the template's."""
TRIANGLES: Mapping[PieceKind, int] = {HALF: 2, RECTANGLE: 2, QUARTER: 4}
"""How many triangles a square or rectangle gives."""


def describe_size(kind: PieceKind, size: Mapping[str, float], system: System) -> str:
    r"""Return a cut or finished size in words, width first.

    Examples
    --------
    >>> describe_size("square", {"side": 2.5}, "inch").replace("\xa0", " ")
    '2½ in square'
    """
    facts = {name.replace(" ", "_"): write_length(inches, system) for name, inches in size.items()}
    return say(f"size_{SIZES.get(kind, 'template')}", **facts)


def write_size(size: Iterable[float], system: System) -> str:
    """Return a measured width and length, to the nearest mark of a ruler."""
    return " × ".join(write_nearest(side, system) for side in size)


def describe_finished(kind: PieceKind, size: Mapping[str, float], system: System, write: Writer = write_length) -> str:
    """Return a finished size in words; triangles by their visible sides."""
    facts = {name.replace(" ", "_"): write(inches, system) for name, inches in size.items()}
    return say(f"finished_{SIZES.get(kind, 'template')}", **facts)


def describe_angles(piece: Piece) -> str:
    """Return the angles of an angled end, empty if all are right angles."""
    odd = sorted({round(min(angle, 180 - angle), 1) for angle in piece.angles if abs(angle - 90) > 0.01})
    return ", ".join(f"{write_decimal(f'{angle:g}')}°" for angle in odd if angle > 0)
