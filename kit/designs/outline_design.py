"""Designs given by their outlines: written in the study, or brought in from a drawing (SVG) beside it.

The outlines fill a rectangle, a block like any other. Opening a study with a drawing reads its outlines; once saved
again, the study holds the outlines themselves and no longer needs the drawing.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path, PurePosixPath
from typing import Any, Literal

from pydantic import Field

from kit.designs.blocks import Block
from kit.designs.drawn import (
    ALMOST,
    GrainPlaces,
    PlaceText,
    SlotPlaces,
    check_patches,
    count_places,
    give_by_place,
    make_shapes,
    name_patches,
    read_places,
    write_place,
)
from kit.designs.drawn_units import UnitPlaces, group_by_place, write_units
from kit.designs.family import Family
from kit.designs.keys import Length, refuse_keys
from kit.designs.svg_outlines import MOST_CORNERS, DrawnOutline, read_outlines
from kit.geometry.outlines import TOLERANCE, Outline, Point, make_rectangle, measure_area, measure_box, tidy_outline
from kit.geometry.snapping import MovedEnd, NearMiss, find_near_misses, snap_ends
from kit.lengths import write_length, write_refused, write_refused_area
from kit.model.patchwork import LIMIT, Patch, Patchwork, check_count


class Outlines(Family):
    """Outlines that fill a rectangle."""

    family: Literal["outlines"]
    columns: int = Field(default=1, ge=1, le=20_000, description="Drawings across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Drawings down")
    drawing: str | None = Field(
        default=None, max_length=200, description="An SVG file in the folder of the study or below it"
    )
    outlines: tuple[PlaceText, ...] = Field(
        default=("patch: 0,0 12,0 12,12 0,12",),
        min_length=1,
        max_length=LIMIT,
        description='A slot and the corners of a patch: "sail: 0,0 4,0 0,4", in squares of the grid or with units',
    )
    grid_finished: Length = Field(default=1.0, description="Finished width of a square of the grid")
    slots: SlotPlaces = Field(
        default=(), max_length=2_000, description="For another slot, a place inside each of its patches"
    )
    grain: GrainPlaces = Field(
        default=(),
        max_length=2_000,
        description="For a grain direction in degrees, a place inside each of its patches",
    )
    snap: Length | None = Field(
        default=None, description="Corners this close to another corner or edge are moved to it"
    )
    units: UnitPlaces = Field(
        default=(),
        max_length=2_000,
        description="For a unit its copies, each a place inside each of its patches; copies inside others are parts",
    )

    def make_block(self, allowance: float) -> Block:
        """Return the outlines as a block.

        Raises
        ------
        PatchworkError
            Corners that almost meet, gaps, overlaps, outlines that do not fill a rectangle, edges too short to sew,
            slivers. Each message names the outline and the place.
        """
        if self.drawing is not None:
            raise refuse_keys(
                f"The drawing `{self.drawing:.60}` was not read", "a study opened from its file", "save the study first"
            )
        if self.snap is not None and self.snap > allowance + TOLERANCE:
            raise refuse_keys(
                f"`design.snap` is {write_length(self.snap)}",
                f"at most one allowance ({write_length(allowance)}), or patches that can be sewn would close up",
                "make it smaller",
            )
        slots, outlines, _ = self.settle()
        _, _, width, height = measure_box(point for outline in outlines for point in outline)
        check_patches(outlines, allowance, self.grid_finished)
        _check_filled(outlines, width, height, allowance)
        given = give_by_place(self.slots, outlines, self.grid_finished, "slots")
        grains = give_by_place(self.grain, outlines, self.grid_finished, "grain")
        chosen = [given.get(i, slot) for i, slot in enumerate(slots)]
        groups = group_by_place(self.units, outlines, self.grid_finished) if self.units else ()
        return Block(width, height, make_shapes(outlines, chosen, grains, width, height, groups))

    def settle(self) -> tuple[list[str], list[Outline], tuple[MovedEnd, ...]]:
        """Move corners within `snap`, and return slots and outlines with the lower left corner at the origin.

        Raises
        ------
        PatchworkError
            Outlines that cannot be read, and corners that almost meet.
        """
        slots, given = self._read_outlines()
        left, bottom, right, top = measure_box(point for points in given for point in points)
        frame = make_rectangle(0.0, 0.0, right - left, top - bottom)
        ends: list[Point] = [*frame, *((x - left, y - bottom) for points in given for x, y in points)]
        edges = [(0, 1), (1, 2), (2, 3), (3, 0)]
        owners = [0] * 4
        for number, points in enumerate(given, start=1):
            first = len(owners)
            edges += [(first + k, first + (k + 1) % len(points)) for k in range(len(points))]
            owners += [number] * len(points)
        moves: tuple[MovedEnd, ...] = ()
        if self.snap is not None:
            ends, moves = snap_ends(ends, edges, self.snap, fixed=4)
        for miss in find_near_misses(ends, edges, max(ALMOST - TOLERANCE, self.snap or 0.0))[:1]:
            self._refuse_miss(miss, owners)
        outlines, first = [], 4
        for number, points in enumerate(given, start=1):
            outlines.append(tidy_outline(ends[first : first + len(points)], name=f"Outline {number}"))
            first += len(points)
        return slots, outlines, moves

    def _refuse_miss(self, miss: NearMiss, owners: Sequence[int]) -> None:
        one, two = owners[miss.end], owners[miss.other]
        first = f"Outline {one} has" if one else "The drawing has"
        place = write_place(miss.at, self.grid_finished)
        raise refuse_keys(
            f"{first} a corner at {place}, {write_refused(miss.distance, form='.5f')} off "
            + (f"outline {two}" if two else "the edge of the drawing"),
            "corners that meet, or stay clear of one another",
            'correct that corner, or have near corners moved: snap = "1/16 in"',
        )

    def _read_outlines(self) -> tuple[list[str], list[list[Point]]]:
        """Return the slot and the corners of each outline."""
        check_count(count_places(self.outlines) / 100)
        slots, corners = [], []
        for number, text in enumerate(self.outlines, start=1):
            slot, mark, places = text.rpartition(":")
            slot = slot.strip() if mark else "patch"
            if not slot or len(slot) > 60:
                raise refuse_keys(
                    f"Outline {number} begins `{text:.40}`", "a slot of at most 60 letters", "name its slot"
                )
            points = read_places(places, self.grid_finished, f"`design.outlines`, outline {number},")
            if not 3 <= len(points) <= MOST_CORNERS:
                raise refuse_keys(
                    f"Outline {number} has {len(points)} corners", f"3 to {MOST_CORNERS}", "correct or divide it"
                )
            slots.append(slot)
            corners.append(points)
        return slots, corners


def _check_filled(outlines: Sequence[Outline], width: float, height: float, allowance: float) -> None:
    """Refuse outlines that overlap, gape, or do not fill their rectangle."""
    patches = zip(name_patches(len(outlines)), outlines, strict=True)
    Patchwork(tuple(Patch(name, outline, "patch") for name, outline in patches), allowance).verify()
    covered = sum(measure_area(outline) for outline in outlines)
    if abs(covered - width * height) > TOLERANCE * (width + height):
        areas = write_refused_area(covered, width * height, form=".4f", joint=" of the ")
        raise refuse_keys(
            f"The outlines cover {areas} of their rectangle, {write_length(width)} x {write_length(height)}",
            "outlines that fill a rectangle, so that blocks and borders fit around it",
            "draw the missing patches at its edge",
        )


def take_in_drawing(keys: Mapping[str, Any], folder: Path | None) -> Mapping[str, Any]:
    """Return the keys of a design with the outlines of its drawing in place of the drawing's name.

    Keys without a drawing are returned unchanged. The named groups of the drawing become the table `units`, unless the
    study has one of its own.

    Parameters
    ----------
    keys
        The [design] table of a study.
    folder
        The folder of the study.

    Raises
    ------
    PatchworkError
        A drawing that is outside the folder or cannot be read, or outlines together with a drawing.
    """
    name = keys.get("drawing")
    if keys.get("family") != "outlines" or not isinstance(name, str):
        return keys
    if "outlines" in keys or "grid_finished" in keys:
        raise refuse_keys(
            "`design.drawing` together with `design.outlines` or `design.grid_finished`",
            "either a drawing, with its own size, or outlines",
            "remove one of them",
        )
    drawn = read_outlines(find_drawing(folder, name))
    rest = {key: value for key, value in keys.items() if key != "drawing"}
    units = write_units([one.group for one in drawn], [one.outline for one in drawn])
    return {**({"units": units} if units else {}), **rest, "outlines": [write_outline(one) for one in drawn]}


def find_drawing(folder: Path | None, name: str) -> Path:
    """Return the path of a drawing in a folder or below it.

    Raises
    ------
    PatchworkError
        A path that leaves the folder, or no folder to look in.
    """
    if folder is None:
        raise refuse_keys(
            f"The drawing `{name:.60}` is named, but this study is not in a folder",
            "a study file beside its drawing",
            "save the study first, or write `outlines`",
        )
    parts = PurePosixPath(name).parts
    odd = not parts or PurePosixPath(name).is_absolute() or ".." in parts or any(mark in name for mark in "\\:\0")
    if odd or not folder.joinpath(*parts).resolve().is_relative_to(folder.resolve()):
        raise refuse_keys(
            f"The drawing `{name:.60}` is outside the study's folder",
            "a path within that folder",
            'copy the drawing there and write for instance drawing = "drawings/boat.svg"',
        )
    return folder.joinpath(*parts)


def write_outline(drawn: DrawnOutline) -> str:
    """Write an outline for a study file, in inches that read back exactly."""
    return f"{drawn.slot}: " + " ".join(f"{_write(x)}in,{_write(y)}in" for x, y in drawn.outline)


def _write(inches: float) -> str:
    """Write a number without an exponent; less than a millionth of an inch is zero."""
    near = round(inches, 9) + 0.0
    return f"{near:.9f}".rstrip("0").rstrip(".")
