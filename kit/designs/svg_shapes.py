"""The words of an SVG file that place an outline: measures, transforms, points and path data."""

import re
from collections.abc import Iterator
from math import cos, isfinite, radians, sin, tan
from typing import NoReturn, TypeAlias

from kit.errors import PatchworkError
from kit.geometry.outlines import Point

Matrix: TypeAlias = tuple[float, float, float, float, float, float]
"""a, b, c, d, e, f of x' = a·x + c·y + e, y' = b·x + d·y + f."""
Shape: TypeAlias = tuple[tuple[Point, ...], ...]

NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
PIXELS = {"": 1.0, "px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 9.6 / 2.54, "pt": 96 / 72, "pc": 16.0, "q": 2.4 / 2.54}
"""Units of a drawing in px, 96 to the inch (CSS Values and Units Module Level 3, section 6.2)."""
CURVES = {"C": "a curve", "S": "a curve", "Q": "a curve", "T": "a curve", "A": "an arc"}
TOUCH = 1e-6
"""An open line counts as closed if its ends are this near, relative to its size."""


def refuse_element(found: str, needed: str, do: str) -> NoReturn:
    """Raise the error for a part of a drawing; the reader adds the place."""
    raise PatchworkError(found, needed=needed, do=do)


def read_measure(text: str) -> float:
    """Read a length in px; units are those of the standard, without percentages.

    Examples
    --------
    >>> read_measure("1in"), read_measure(" 12.5 "), read_measure("72pt")
    (96.0, 12.5, 96.0)
    """
    match = re.fullmatch(rf"\s*({NUMBER})\s*([A-Za-z]*)\s*", text)
    if match is None or match[2].lower() not in PIXELS:
        refuse_element(f"the length `{text:.30}`", "a number, alone or with in, cm, mm, pt, pc or px", "correct it")
    return _check(float(match[1]) * PIXELS[match[2].lower()], text)


def _check(value: float, text: str) -> float:
    if not (isfinite(value) and abs(value) < 1e9):
        refuse_element(f"the number `{text:.30}`", "a number that suits a quilt", "correct it")
    return value


def join_matrices(outer: Matrix, inner: Matrix) -> Matrix:
    """Return the combined transform, the inner one first."""
    a, b, c, d, e, f = outer
    g, h, i, j, k, m = inner
    return (a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * m + e, b * k + d * m + f)


def read_transform(text: str) -> Matrix:
    """Read a list of transforms: translate, scale, rotate, skewX, skewY and matrix.

    Examples
    --------
    >>> read_transform("translate(2 3) scale(2)")
    (2.0, 0.0, 0.0, 2.0, 2.0, 3.0)
    """
    whole: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    rest = text.strip()
    while rest:
        match = re.match(rf"([A-Za-z]+)\s*\(([\s,]*(?:{NUMBER}[\s,]*)*)\)[\s,]*", rest)
        if match is None:
            refuse_element(
                f"the transform `{rest:.40}`", "translate, scale, rotate, skewX, skewY or matrix", "correct it"
            )
        numbers = [_check(float(word), word) for word in re.findall(NUMBER, match[2])]
        whole = join_matrices(whole, _make_matrix(match[1], numbers))
        rest = rest[match.end() :]
    return whole


def _make_matrix(name: str, n: list[float]) -> Matrix:
    if name == "matrix" and len(n) == 6:
        return (n[0], n[1], n[2], n[3], n[4], n[5])
    if name == "translate" and len(n) in (1, 2):
        return (1.0, 0.0, 0.0, 1.0, n[0], n[1] if len(n) == 2 else 0.0)
    if name == "scale" and len(n) in (1, 2):
        return (n[0], 0.0, 0.0, n[-1], 0.0, 0.0)
    if name == "rotate" and len(n) in (1, 3):
        c, s = _turn(n[0])
        x, y = (n[1], n[2]) if len(n) == 3 else (0.0, 0.0)
        return (c, s, -s, c, x - c * x + s * y, y - s * x - c * y)
    if name in ("skewX", "skewY") and len(n) == 1 and abs(n[0]) < 89:
        shear = tan(radians(n[0]))
        return (1.0, shear, 0.0, 1.0, 0.0, 0.0) if name == "skewY" else (1.0, 0.0, shear, 1.0, 0.0, 0.0)
    return refuse_element(
        f"the transform `{name:.20}` of {len(n)} numbers", "as many as the standard has for it", "correct it"
    )


def _turn(degrees: float) -> tuple[float, float]:
    """Return cosine and sine, exact for quarter turns."""
    quarters = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
    whole, rest = divmod(degrees % 360, 90)
    return (cos(radians(degrees)), sin(radians(degrees))) if rest else quarters[int(whole) % 4]


def read_shift(attributes: dict[str, str]) -> Matrix:
    """Return the shift that x and y give to a copy."""
    x, y = (read_measure(attributes.get(key, "0")) for key in ("x", "y"))
    return (1.0, 0.0, 0.0, 1.0, x, y)


def read_element(tag: str, attributes: dict[str, str]) -> Shape:
    """Return the outlines of an element, in its own units.

    Raises
    ------
    PatchworkError
        Rounded corners, curves, arcs, open lines, figures that cannot be read.
    """
    if tag == "rect":
        return (_read_rectangle(attributes),)
    if tag == "path":
        return _read_path(attributes.get("d", ""))
    numbers = _read_numbers(attributes.get("points", ""))
    if len(numbers) % 2 or len(numbers) < 6:
        refuse_element(
            f"{len(numbers)} numbers", "an x and a y for each of three corners or more", "correct its points"
        )
    points = tuple(zip(numbers[::2], numbers[1::2], strict=True))
    return (points if tag == "polygon" else _close(points, "a polyline"),)


def _read_rectangle(attributes: dict[str, str]) -> tuple[Point, ...]:
    x, y, width, height, rx, ry = (
        read_measure(attributes.get(key, "0")) for key in ("x", "y", "width", "height", "rx", "ry")
    )
    if rx or ry:
        refuse_element("rounded corners (a curve)", "corners that are not rounded", "set rx and ry to 0")
    if width <= 0 or height <= 0:
        refuse_element(
            f"a rectangle {width:g} wide and {height:g} high", "a width and a height over zero", "correct it"
        )
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def _read_numbers(text: str) -> list[float]:
    if re.sub(rf"{NUMBER}|[\s,]+", "", text):
        refuse_element(f"the points `{text:.40}`", "numbers alone", "correct them")
    return [_check(float(word), word) for word in re.findall(NUMBER, text)]


def _close(points: tuple[Point, ...], what: str) -> tuple[Point, ...]:
    """Return the corners of a closed line."""
    reach = max((abs(value) for point in points for value in point), default=0.0)
    (ax, ay), (bx, by) = points[0], points[-1]
    if len(points) < 4 or max(abs(ax - bx), abs(ay - by)) > TOUCH * max(reach, 1.0):
        refuse_element(
            f"{what} that is open, from {ax:g},{ay:g} to {bx:g},{by:g}",
            "a line that ends at its start",
            'close it; for lines that are not outlines use a study with family = "lines"',
        )
    return points[:-1]


def _read_path(data: str) -> Shape:
    """Return the outlines of path data: M, L, H, V and Z, in capital or small letters."""
    shapes: list[tuple[Point, ...]] = []
    points: list[Point] = []
    here = (0.0, 0.0)
    for command, numbers in _list_steps(data):
        if command in "Zz":
            if len(set(points)) < 3:
                refuse_element(
                    f"a closed line of {len(points)} corners", "three corners or more", "correct the path data"
                )
            shapes.append(tuple(points))
            here = points[0]
            points = [here]
            continue
        if command in "Mm":
            if len(points) > 1:
                shapes.append(_close(tuple(points), "a path"))
            points = []
        here = _step(command, numbers, here)
        points.append(here)
    if len(points) > 1:
        shapes.append(_close(tuple(points), "a path"))
    if not shapes:
        refuse_element("a path without lines", "a closed line", "remove it")
    return tuple(shapes)


def _list_steps(data: str) -> Iterator[tuple[str, list[float]]]:
    """Yield each step of path data: its command and its one or two numbers; after M come lines."""
    parts = re.findall(rf"([A-DF-Za-df-z])((?:{NUMBER}|[\s,]+)*)", data)
    if sum(len(command) + len(rest) for command, rest in parts) != len(data.lstrip()) or not parts:
        refuse_element(f"the path data `{data:.40}`", "commands and numbers", "correct it")
    if parts[0][0] not in "Mm":
        refuse_element(f"path data that starts with `{parts[0][0]}`", "M first", "correct it")
    for command, rest in parts:
        large = command.upper()
        if large not in "MLHVZ":
            what = f"{CURVES.get(large, 'a command')} ({command} {' '.join(rest.split()):.30})"
            refuse_element(what, "straight lines alone: M, L, H, V and Z", "redraw it with straight lines")
        numbers = [_check(float(word), word) for word in re.findall(NUMBER, rest)]
        need = {"H": 1, "V": 1, "Z": 0}.get(large, 2)
        if len(numbers) % (need or 1) or (not numbers) != (need == 0):
            refuse_element(
                f"{len(numbers)} numbers after `{command}`", f"{need} for each step", "correct the path data"
            )
        if not need:
            yield command, []
        for first in range(0, len(numbers), need or 1):
            yield command, numbers[first : first + need]
            command = {"M": "L", "m": "l"}.get(command, command)  # noqa: PLW2901  what follows M are lines


def _step(command: str, n: list[float], here: Point) -> Point:
    x, y = here if command.islower() else (0.0, 0.0)
    if command in "Hh":
        return x + n[0], here[1]
    if command in "Vv":
        return here[0], y + n[0]
    return x + n[0], y + n[1]
