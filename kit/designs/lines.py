"""Drawn designs: straight lines on a grid, closed into patches.

The drawing is a block like any other: it is laid out in rows and columns, with turns, sashing and borders. Its frame
need not be drawn. Lines meet where they cross and where one ends on another. A line that ends in the open, or almost
meets another, is named and then moved (`snap`) or refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

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
    read_places,
    write_place,
)
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, refuse_keys
from kit.errors import PatchworkError
from kit.geometry.closing import MOST_LINES, Closed, Segment, close_lines, frame_lines
from kit.geometry.outlines import TOLERANCE, Point
from kit.geometry.snapping import MovedEnd, NearMiss, find_near_misses, snap_ends
from kit.lengths import LONGEST, write_length, write_refused

EDGES = ("the lower edge", "the right edge", "the upper edge", "the left edge")


@dataclass(frozen=True)
class Traced:
    """A traced drawing, good or not.

    Attributes
    ----------
    lines
        Every straight piece, inches, after ends are moved.
    rows
        For each piece its entry in `lines`, from 1.
    closed
        The patches, and the faults of lines that close no patch.
    moves
        The ends moved by `snap`; piece k starts at end 2k and finishes at end 2k + 1.
    misses
        The near misses, as (sentence, place in inches).
    """

    lines: tuple[Segment, ...]
    rows: tuple[int, ...]
    closed: Closed
    moves: tuple[MovedEnd, ...]
    misses: tuple[tuple[str, Point], ...]


class Lines(Family):
    """A drawing of straight lines on a grid; its lower left corner is 0,0."""

    family: Literal["lines"]
    columns: int = Field(default=1, ge=1, le=20_000, description="Drawings across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Drawings down")
    size: PlaceText = Field(
        default="12,12", description='Width and height of the drawing, in squares of the grid or with units: "12,12"'
    )
    grid_finished: Length = Field(default=1.0, description="Finished width of a square of the grid")
    lines: tuple[PlaceText, ...] = Field(
        default=(),
        max_length=MOST_LINES,
        description='Lines from place to place, in squares of the grid or with units: "0,0 6,6 12,0", "1.5in,0 3in,4"',
    )
    fill: Slot = Field(default="ground", description="Slot of all patches not named in `slots`")
    slots: SlotPlaces = Field(
        default=(), max_length=2_000, description="For each slot, a place inside each of its patches"
    )
    grain: GrainPlaces = Field(
        default=(),
        max_length=2_000,
        description="For a grain direction in degrees, a place inside each of its patches",
    )
    snap: Length | None = Field(default=None, description="Ends this close to another end or line are moved onto it")

    @property
    def finished(self) -> Point:
        """Finished width and height of the drawing, inches.

        Raises
        ------
        PatchworkError
            Where `size` is not a width and height of a quilt.
        """
        places = read_places(self.size, self.grid_finished, "`design.size`")
        if len(places) != 1 or not all(0 < side <= LONGEST for side in places[0]):
            raise refuse_keys(
                f"`design.size` is `{self.size:.40}`",
                f"one width and one height of at most {write_refused(LONGEST)}",
                'write for instance size = "12,12"',
            )
        return places[0]

    def make_block(self, allowance: float) -> Block:
        """Return the drawing as a block.

        Raises
        ------
        PatchworkError
            Lines that leave the frame, dangle, almost meet or make an island; edges too short to sew; slivers; places
            outside every patch. Each message names the line or the patch, and the place.
        """
        if self.snap is not None and self.snap > allowance + TOLERANCE:
            raise refuse_keys(
                f"`design.snap` is {write_length(self.snap)}",
                f"at most one allowance ({write_length(allowance)}), or patches that can be sewn would close up",
                "make it smaller",
            )
        traced = self.trace()
        faults = self.list_faults(traced)
        if faults:
            more = f" (and {len(faults) - 1} more such places)" if len(faults) > 1 else ""
            do = "draw on to the next line, or remove the line"
            near = ', or have near ends moved: snap = "1/16 in"' if traced.misses else ""
            raise refuse_keys(
                faults[0][0] + more, "lines that end on other lines or on the edge of the drawing", do + near
            )
        outlines = traced.closed.outlines
        check_patches(outlines, allowance, self.grid_finished)
        given = give_by_place(self.slots, outlines, self.grid_finished, "slots")
        grains = give_by_place(self.grain, outlines, self.grid_finished, "grain")
        slots = [given.get(i, self.fill) for i in range(len(outlines))]
        return Block(*self.finished, make_shapes(outlines, slots, grains, *self.finished))

    def trace(self) -> Traced:
        """Trace the lines, good or not: move ends within `snap`, and close every patch that closes.

        Raises
        ------
        PatchworkError
            Lines that cannot be read, leave the frame or have no length, and too many lines.
        """
        lines, rows = self._read_lines()
        moves: tuple[MovedEnd, ...] = ()
        width, height = self.finished
        frame = frame_lines(width, height)
        corners = [start for start, _ in frame]
        edges = [(0, 1), (1, 2), (2, 3), (3, 0), *((4 + 2 * k, 5 + 2 * k) for k in range(len(lines)))]
        ends = [*corners, *(point for line in lines for point in line)]
        if self.snap is not None and lines:
            ends, found = snap_ends(ends, edges, self.snap, fixed=4)
            moves = tuple(MovedEnd(move.end - 4, move.before, move.after) for move in found)
            lines = list(zip(ends[4::2], ends[5::2], strict=True))
        self._check_lines(lines, rows)
        misses = find_near_misses(ends, edges, max(ALMOST - TOLERANCE, self.snap or 0.0)) if lines else ()
        said = tuple((self._say_miss(miss, rows), miss.at) for miss in misses)
        return Traced(tuple(lines), tuple(rows), close_lines(lines, width, height), moves, said)

    def list_faults(self, traced: Traced) -> list[tuple[str, Point]]:
        """Return the faults that keep lines from being seams: sentences, each with its place in inches."""
        closed, grid = traced.closed, self.grid_finished
        faults = list(traced.misses)
        for end in closed.open_ends:
            line = self._name(end.line, traced.rows)
            near = "" if end.near is None else f"; the nearest is {self._name(end.near, traced.rows)}"
            away = f", {write_length(round(end.distance, 3))} away" if near else ""
            faults.append((f"{line} ends in the open at {write_place(end.at, grid)}{near}{away}", end.at))
        for index in closed.bridges:
            name, start = self._name(index, traced.rows), traced.lines[index][0]
            faults.append((f"{name} has the same patch on both sides", start))
        for island in closed.islands:
            names = ", ".join(dict.fromkeys(self._name(index, traced.rows) for index in island[:6]))
            faults.append((f"Nothing joins {names} to the lines around it", traced.lines[island[0]][0]))
        return faults

    def list_moves(self, traced: Traced) -> list[str]:
        """Return a sentence for each end that `snap` moved."""
        grid = self.grid_finished
        return [
            f"{self._name(move.end // 2, traced.rows)}: {write_place(move.before, grid)} moved to"
            f" {write_place(move.after, grid)} ({write_refused(move.distance, form='.3f')})"
            for move in traced.moves
        ]

    def _read_lines(self) -> tuple[list[Segment], list[int]]:
        """Return the straight pieces, and the entry of each."""
        check_few_lines(count_places(self.lines) - len(self.lines))
        lines, rows = [], []
        for number, text in enumerate(self.lines, start=1):
            places = read_places(text, self.grid_finished, f"`design.lines`, line {number},")
            if len(places) < 2:
                raise refuse_keys(
                    f"Line {number} is `{text:.40}`", "two places or more", "write where it starts and ends"
                )
            lines += list(pairwise(places))
            rows += [number] * (len(places) - 1)
        check_few_lines(len(lines))
        return lines, rows

    def _check_lines(self, lines: Sequence[Segment], rows: Sequence[int]) -> None:
        width, height = self.finished
        for line, number in zip(lines, rows, strict=True):
            (x0, y0), (x1, y1) = line
            if abs(x1 - x0) <= TOLERANCE and abs(y1 - y0) <= TOLERANCE:
                raise refuse_keys(
                    f"Line {number} (`{self.lines[number - 1]:.40}`) has no length at"
                    f" {write_place(line[0], self.grid_finished)}",
                    "a line from one place to another",
                    "remove it, or correct its end" + (" or `snap`" if self.snap else ""),
                )
            for x, y in line:
                if not (-TOLERANCE <= x <= width + TOLERANCE and -TOLERANCE <= y <= height + TOLERANCE):
                    raise refuse_keys(
                        f"Line {number} (`{self.lines[number - 1]:.40}`) leaves the drawing at"
                        f" {write_place((x, y), self.grid_finished)}",
                        f"places from 0,0 to {write_place((width, height), self.grid_finished)}",
                        "correct that place or make the drawing larger",
                    )

    def _say_miss(self, miss: NearMiss, rows: Sequence[int]) -> str:
        one = self._name_end(miss.end, rows)
        other = self._name_edge(miss.other, rows) if miss.is_edge else self._name_end(miss.other, rows)
        place = write_place(miss.at, self.grid_finished)
        return f"{one} and {other} almost meet at {place}: {write_refused(miss.distance, form='.4f')} apart"

    def _name_end(self, end: int, rows: Sequence[int]) -> str:
        return "a corner of the drawing" if end < 4 else self._name((end - 4) // 2, rows)

    def _name_edge(self, edge: int, rows: Sequence[int]) -> str:
        return EDGES[edge] if edge < 4 else self._name(edge - 4, rows)

    def _name(self, index: int, rows: Sequence[int]) -> str:
        """Return the name of a straight piece; the four of the frame come last."""
        if index >= len(rows):
            return EDGES[index - len(rows)]
        number = rows[index]
        return f"Line {number} (`{self.lines[number - 1]:.40}`)"


def check_few_lines(count: int) -> None:
    """Refuse a drawing with too many lines before any work on it.

    Raises
    ------
    PatchworkError
        More than `MOST_LINES` lines.
    """
    if count > MOST_LINES:
        raise PatchworkError(
            f"The drawing has {count:,} lines",
            needed=f"at most {MOST_LINES:,}",
            do="draw one block and let `columns` and `rows` repeat it",
        )
