"""Common parts of drawn designs: places written as text, slots and grain given by places, and patches too narrow."""

from collections.abc import Sequence
from typing import Annotated, TypeAlias

import numpy as np
from pydantic import AfterValidator, BeforeValidator, PlainSerializer, StringConstraints

from kit.designs.blocks import BlockPatch
from kit.designs.keys import Slot, check_printable, refuse_keys
from kit.errors import LengthError
from kit.geometry.closing import find_holder, measure_narrowest
from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_edges
from kit.lengths import read_length, read_number, write_length, write_refused
from kit.model.drawn_grain import choose_grains
from kit.model.patchwork import Group, check_count

ALMOST = 1 / 16
"""Inches: separate ends nearer than this are taken for a slip and refused."""


def list_entries(value: object) -> object:
    """Return a table as its entries, in order; anything else as it is."""
    return tuple(value.items()) if isinstance(value, dict) else value


def _check_angle(text: str) -> str:
    try:
        good = 0 <= read_number(text) < 360
    except LengthError:
        good = False
    if not good:
        raise ValueError(f'`{text:.20}` is not a direction: write degrees from 0 to 360, for instance "45"')
    return text


PlaceText: TypeAlias = Annotated[str, StringConstraints(max_length=20_000), AfterValidator(check_printable)]
"""Places separated by spaces: "0,0 6,2.5 3in,4in"."""

SlotPlaces: TypeAlias = Annotated[
    tuple[tuple[Slot, PlaceText], ...], BeforeValidator(list_entries), PlainSerializer(dict, when_used="json")
]
"""A table of slots, each with one place inside each of its patches."""

GrainPlaces: TypeAlias = Annotated[
    tuple[tuple[Annotated[str, AfterValidator(_check_angle)], PlaceText], ...],
    BeforeValidator(list_entries),
    PlainSerializer(dict, when_used="json"),
]
"""A table of grain directions in degrees, each with one place inside each of its patches."""


def read_places(text: str, grid: float, where: str) -> list[Point]:
    """Read places: x and y with a comma between, in squares of the grid, or with a unit.

    Parameters
    ----------
    text
        "0,0 6,2.5 3/2,4 3in,10cm".
    grid
        Finished width of a square of the grid, inches.
    where
        The key of the text, for the message.

    Raises
    ------
    PatchworkError
        A word that is not a place; names the key and the word.

    Examples
    --------
    >>> read_places("0,0 6,1/2 3in,2", 2.0, "lines")
    [(0.0, 0.0), (12.0, 1.0), (3.0, 4.0)]
    """
    places = []
    for word in text.split():
        try:
            x, y = (_read_measure(part, grid) for part in word.split(","))
        except (LengthError, ValueError):
            raise refuse_keys(
                f"{where} holds `{word:.40}`",
                "places of the form across,up in squares of the grid or with a unit",
                'write for instance "0,0 6,2.5" or "1.5in,3in"',
            ) from None
        places.append((x, y))
    return places


def _read_measure(text: str, grid: float) -> float:
    if text and (text[-1].isalpha() or text[-1] in "\"'″′"):
        return read_length(text, zero_allowed=True)
    return read_number(text) * grid


def write_place(point: Point, grid: float) -> str:
    """Write a place in squares of the grid, to three decimals.

    Examples
    --------
    >>> write_place((3.0, 4.5), 2.0)
    '1.5,2.25'
    """
    return ",".join(f"{round(value / grid, 3) + 0.0:.10g}" for value in point)


def count_places(texts: Sequence[str]) -> int:
    """Return roughly the number of places in some texts, without reading them."""
    return sum(text.count(",") for text in texts)


def give_by_place(
    table: tuple[tuple[str, str], ...], outlines: Sequence[Outline], grid: float, key: str
) -> dict[int, str]:
    """Return the value that a table of places gives to each outline.

    Raises
    ------
    PatchworkError
        A place on a seam or outside, or an outline with two values.
    """
    given: dict[int, str] = {}
    check_count(count_places([text for _, text in table]))
    for name, text in table:
        points = read_places(text, grid, f"`design.{key}.{name:.40}`")
        for point, holder in zip(points, find_holder(outlines, points), strict=True):
            if holder is None:
                raise refuse_keys(
                    f"`design.{key}.{name:.40}` names {write_place(point, grid)}, a place on a seam or outside",
                    "a place within a patch",
                    "move it into the right patch",
                )
            if given.setdefault(holder, name) != name:
                raise refuse_keys(
                    f"The patch at {write_place(point, grid)} is given to `{given[holder]:.40}` and to `{name:.40}`"
                    f" in `design.{key}`",
                    "one of the two",
                    "remove its place from one of them",
                )
    return given


def check_patches(outlines: Sequence[Outline], allowance: float, grid: float) -> None:
    """Refuse patches that are too narrow to sew; name each and its place.

    Raises
    ------
    PatchworkError
        An edge under two allowances, or a sliver: a patch narrower than one allowance.
    """
    check_count(len(outlines))
    least = 2 * allowance
    for name, outline in zip(name_patches(len(outlines)), outlines, strict=True):
        edges = measure_edges(outline)
        short = int(np.argmin(edges))
        ends = [write_place(point, grid) for point in (outline[short], outline[(short + 1) % len(outline)])]
        if edges[short] < least - TOLERANCE:
            raise refuse_keys(
                f"Patch `{name}` has an edge of {write_refused(edges[short], form='.3f')}, from {ends[0]} to {ends[1]}",
                f"edges of at least two allowances ({write_length(least)})",
                "move the lines there apart or together, or make the grid larger",
            )
        narrow = measure_narrowest(outline)
        if narrow < allowance - TOLERANCE:
            raise refuse_keys(
                f"Patch `{name}` at {ends[0]} is a sliver, {write_refused(narrow, form='.3f')} across where it is"
                " widest",
                f"patches at least one allowance ({write_length(allowance)}) across",
                "remove or move one of its lines",
            )


def name_patches(count: int) -> list[str]:
    """Return the keys of this many patches, in sorting order."""
    digits = max(3, len(str(count)))
    return [f"p{number:0{digits}d}" for number in range(1, count + 1)]


def make_shapes(
    outlines: Sequence[Outline],
    slots: Sequence[str],
    grains: dict[int, str],
    width: float,
    height: float,
    groups: Sequence[Group] = (),
) -> tuple[BlockPatch, ...]:
    """Return the patches of a drawing; `grains` holds the given directions, `groups` the units of each patch."""
    given = {i: read_number(text) for i, text in grains.items()}
    chosen = choose_grains(outlines, slots, (width, height), given)
    return tuple(
        BlockPatch(key, outline, slots[i], "patch", chosen[i], group=groups[i] if groups else ())
        for i, (key, outline) in enumerate(zip(name_patches(len(outlines)), outlines, strict=True))
    )
