"""Sizes and cuts in words, the same on screen, in tables and in files."""

from collections.abc import Callable, Iterable, Mapping
from math import ceil

from kit.lengths import System, write_length, write_nearest
from kit.model.cutting import Piece

Writer = Callable[[float, System], str]

HALF, QUARTER, RECTANGLE = "half-square triangle", "quarter-square triangle", "half-rectangle triangle"


def describe_size(kind: str, size: Mapping[str, float], system: System, write: Writer = write_length) -> str:
    r"""Return a cut or finished size in words, width first.

    Examples
    --------
    >>> describe_size("square", {"side": 2.5}, "inch").replace("\xa0", " ")
    '2½ in square'
    """

    def say(name: str) -> str:
        return write(size[name], system)

    if kind == "square":
        return f"{say('side')} square"
    if kind == "rectangle":
        return f"{say('width')} × {say('length')}"
    if kind in (HALF, QUARTER):
        return f"square {say('square')}, cut {'once' if kind == HALF else 'twice'} diagonally"
    if kind == RECTANGLE:
        return f"{say('short leg')} × {say('long leg')}, cut once diagonally"
    if kind == "parallelogram":
        return f"strip {say('strip')}, cut every {say('step')} along it"
    if kind == "trapezoid":
        return f"strip {say('strip')}, long side {say('long side')}, short side {say('short side')}"
    if kind == "60° triangle":
        return f"strip {say('strip')}, side {say('side')}"
    return f"template in {say('width')} × {say('height')}"


def write_size(size: Iterable[float], system: System) -> str:
    """Return a measured width and length, to the nearest mark of a ruler."""
    return " × ".join(write_nearest(side, system) for side in size)


def describe_finished(kind: str, size: Mapping[str, float], system: System, write: Writer = write_length) -> str:
    """Return a finished size in words; triangles by the sides that she sees."""
    if kind in (HALF, QUARTER):
        side = "short sides" if kind == HALF else "long side"
        return f"{side} {write(size['square'], system)}"
    if kind == RECTANGLE:
        return f"short sides {write(size['short leg'], system)} and {write(size['long leg'], system)}"
    if kind == "parallelogram":
        return f"{write(size['strip'], system)} wide, side {write(size['step'], system)}"
    if kind == "trapezoid":
        long, short = write(size["long side"], system), write(size["short side"], system)
        return f"{write(size['strip'], system)} wide, sides {long} and {short}"
    return describe_size(kind, size, system, write).replace("template in ", "within ").replace("strip ", "height ")


def describe_angles(piece: Piece) -> str:
    """Return the angles of an angled end, empty for right angles alone."""
    odd = sorted({round(min(angle, 180 - angle), 1) for angle in piece.angles if abs(angle - 90) > 0.01})
    return ", ".join(f"{angle:g}°" for angle in odd if angle > 0)


def describe_result(piece: Piece, count: int) -> str:
    """Return what a number of squares or rectangles cut diagonally gives, empty for pieces that are cut once."""
    each = {HALF: 2, QUARTER: 4, RECTANGLE: 2}.get(piece.kind)
    if not each:
        return ""
    blanks = ceil(count / each)
    spare = blanks * each - count
    return f"{blanks} to cut, {blanks * each} triangles" + (f", {spare} spare" if spare else "")
