"""Braids: columns of strips laid alternately from the left and from the right.

In a column the front is always a corner that points up. In coordinates u (up to the right) and v (up to the left),
both at 45°, the part sewn so far is u <= U and v <= V. The next right blade is the strip U <= u <= U + s, v <= V;
the next left blade is V <= v <= V + s, u <= U + s; and the corner has moved up by s·√2. Left and right blades are
mirror images in the line s / (2·√2) to the right of the corner, half a rise apart: this line is the middle of the
column.

An accent square may be taken out of its blade, which is shorter by it, or added to a blade like all others. Added on
one side, it makes the blades of that side reach s further across; laid second in each pair they end level with the
first, and the middle of the column moves by s / (2·√2) to below the corner.

Left pointed, a column ends in the corner of its last two blades. One that starts from a square starts in the lower
corner of that square, cut along the two edges that meet there.

A blade with its lower end just above the top of a column would lie in the seam allowance only; without it that
allowance would have a notch. So a strip is wide enough for the last blade to show, and a column of a given length
begins a little higher where its last blade would not show.
"""

from collections.abc import Iterator
from math import ceil, sqrt
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, refuse_keys
from kit.designs.units.edge_names import name_by_sides
from kit.geometry.outlines import (
    TOLERANCE,
    Outline,
    clip_outline,
    make_rectangle,
    measure_area,
    mirror_outline,
    move_outline,
    tidy_outline,
)
from kit.lengths import write_length, write_refused
from kit.model.patchwork import Within, check_count

ROOT2 = sqrt(2.0)
LEAST_SEEN = 1 / 64
"""Inches: the last blade of a column shows by at least this much."""


class Braid(Family):
    """Columns of 45° strips, left and right in turn; the ends are trimmed straight."""

    size_key: ClassVar[str | None] = "column_finished"
    count_keys: ClassVar[tuple[str, str]] = ("columns", "pairs")

    family: Literal["braid"]
    columns: int = Field(default=3, ge=1, le=20_000, description="Columns across")
    rows: Literal[1] = Field(default=1, description="A braid has one row of columns")
    pairs: int = Field(default=12, ge=1, le=10_000, description="Left and right pairs in a column")
    length_finished: Length | None = Field(default=None, description="Finished length of a column, instead of pairs")
    strip_cut: Length = Field(default=2.5, description="Cut width of the strips")
    column_finished: Length = Field(default=6.0, description="Finished width of a column")
    blades: Literal["angled", "rectangles"] = Field(
        default="angled", description="Cut with an angled end in mirror pairs, or as rectangles and then trimmed"
    )
    start: Literal["square", "triangle", "open"] = Field(default="triangle", description="How a column starts")
    accents: Literal["none", "left", "right", "both"] = Field(
        default="none", description="Blades with an accent square at the inner end"
    )
    accent_by: Literal["taken out", "added"] = Field(
        default="taken out",
        description="Blades with an accent are shorter by it, or like all others and the square is sewn to their end",
    )
    ends: Literal["straight", "pointed"] = Field(
        default="straight",
        description="Trimmed straight, or left in the corner of the last two blades and of a starting square",
    )
    running: Literal["same", "alternate"] = Field(
        default="same", description="All columns upward, or alternately up and down"
    )
    sides: Literal["one slot", "two slots"] = Field(
        default="one slot", description='Slot "blade" for all, or "left blade" and "right blade"'
    )
    blade_slot: Slot = Field(default="blade", description="Slot of the blades")
    accent_slot: Slot = Field(default="accent", description="Slot of the accent squares")
    start_slot: Slot = Field(default="start", description="Slot of the starting patch")

    def name_block(self, row: int, column: int) -> tuple[str, Within]:
        """Return the short id and the copy of a column."""
        return f"c{column + 0 * row:02d}", Within("column", f"{column}")

    def _turn(self, row: int, column: int) -> int:
        flip = self.running == "alternate" and column % 2 == 0
        return (super()._turn(row, column) + (180 if flip else 0)) % 360

    def make_block(self, allowance: float) -> Block:
        """Return one column, trimmed at both ends and, where the blades are rectangles, along both sides.

        A column with a pointed end is not a rectangle: its outline goes around the point.
        """
        strip = self.strip_cut - 2 * allowance
        self._check_room(strip, allowance)
        column = _Column(self, strip, allowance)
        check_count(2 * column.pairs)
        left, low, high = column.left, column.bottom, column.top
        shapes = []
        for shape in column.lay():
            seen = column.trim(shape.outline)
            if seen:
                whole = move_outline(shape.outline, -left, -low)
                seen = move_outline(seen, -left, -low)
                sewn = None if _matches(whole, seen) else whole
                shapes.append(BlockPatch(shape.key, seen, shape.slot, shape.name, shape.grain, sewn))
        outline = move_outline(column.outline, -left, -low) if self.ends == "pointed" else None
        return Block(self.column_finished, high - low, tuple(shapes), trimmed=True, outline=outline)

    @property
    def added_to(self) -> str | None:
        """The one side whose blades have an accent square added, where there is one."""
        return self.accents if self.accent_by == "added" and self.accents in ("left", "right") else None

    @property
    def fixed_counts(self) -> tuple[str, ...]:
        """A pointed column stands alone."""
        return ("columns",) if self.ends == "pointed" else ()

    def name_edges(self, outline: Outline) -> tuple[str, ...]:
        """Return left, right, start (where the sewing begins) and end."""
        return name_by_sides(outline, "start", "end")

    def blade_slots(self) -> tuple[str, str]:
        """Return the slots of the left and of the right blades."""
        if self.sides == "one slot":
            return self.blade_slot, self.blade_slot
        return f"left {self.blade_slot}", f"right {self.blade_slot}"

    def _check_room(self, strip: float, allowance: float) -> None:
        narrowest = 2 * ROOT2 * allowance + 2 * LEAST_SEEN
        if strip < narrowest:
            raise refuse_keys(
                f"`design.strip_cut` is {write_length(self.strip_cut)} and leaves {write_refused(strip)} between"
                f" two allowances of {write_length(allowance)}",
                f"a strip cut at least {write_length(narrowest + 2 * allowance, step=0.125)} wide, so that the last"
                " blade of a column shows above the seam",
                "widen the strips or narrow the allowance",
            )
        across = 0.5 if self.accents == "none" else 1.0 if self.added_to else 1.5
        least = ROOT2 * (2 * allowance + across * strip)
        if self.column_finished < least - TOLERANCE:
            raise refuse_keys(
                f"`design.column_finished` is {write_length(self.column_finished)}, too narrow for a blade"
                f" of strips cut {write_length(self.strip_cut)}",
                f"at least {write_length(least, step=0.125)} so that the short side of a blade can be sewn",
                "widen the column, narrow the strips or leave out the accents",
            )


class _Column:
    """The geometry of one column in its own coordinates: the first corner at (0, 0)."""

    def __init__(self, keys: Braid, strip: float, allowance: float) -> None:
        self.keys, self.strip, self.allowance = keys, strip, allowance
        self.level = keys.added_to is not None
        middle = 0.0 if self.level else strip / (2 * ROOT2)
        self.left, self.right = middle - keys.column_finished / 2, middle + keys.column_finished / 2
        raw = self.right + allowance
        self.bottom = {
            "open": allowance,
            "square": allowance - strip / ROOT2,
            "triangle": allowance - raw,
        }[keys.start]
        rise = strip * ROOT2
        self.outline: Outline = ()
        if keys.ends == "pointed":
            self._leave_pointed()
        elif keys.length_finished is None:
            self.pairs = keys.pairs
            self.top = keys.pairs * rise - raw - allowance
        else:
            self._check_length(keys.length_finished)
            self.bottom += self._find_lift(self.bottom + keys.length_finished)
            self.top = self.bottom + keys.length_finished
            self.pairs = max(1, ceil((self.top + raw + allowance) / rise - TOLERANCE))
        if self.top - self.bottom < 2 * allowance - TOLERANCE:
            need = ceil((raw + self.bottom + 3 * allowance) / rise - TOLERANCE)
            raise refuse_keys(
                f"`design.pairs` is {keys.pairs}; nothing is left of the column once both ends are trimmed straight",
                f"at least {max(need, keys.pairs + 1)} pairs",
                "add pairs, or start from a triangle",
            )

    def _check_length(self, length: float) -> None:
        if length < 2 * self.allowance - TOLERANCE:
            raise refuse_keys(
                f"`design.length_finished` is {write_length(length)}, too short to be sewn",
                f"at least two allowances ({write_length(2 * self.allowance)})",
                "lengthen the column",
            )

    def _find_lift(self, top: float) -> float:
        """Return how much higher the column must begin so that no blade lies only in the allowance at its top.

        Lower ends of blades are half a rise apart, a whole one where both sides end level. The cut is one allowance
        above the top. At the cut side an end comes one allowance lower, and the free blade below it reaches √2
        allowances higher; so the top may not lie within (2 - √2) allowances under an end.
        """
        step = self.strip * ROOT2 if self.level else self.strip / ROOT2
        above = (top + self.right) % step
        if above < LEAST_SEEN:
            return LEAST_SEEN - above
        return step + LEAST_SEEN - above if above > step - (2 - ROOT2) * self.allowance else 0.0

    def _leave_pointed(self) -> None:
        """Settle the bounds and the outline of a column whose end is left pointed, and its start where it is a square.

        Raises
        ------
        PatchworkError
            A length beside it, or points that leave nothing of the sides.
        """
        keys, s = self.keys, self.strip
        if keys.length_finished is not None:
            raise refuse_keys(
                '`design.length_finished` with `design.ends` "pointed": the last two blades make the point where they'
                " meet",
                "a column as long as its pairs",
                'give `pairs` instead, or set ends = "straight"',
            )
        rise = s * ROOT2
        self.pairs, self.top = keys.pairs, keys.pairs * rise
        foot = self.bottom
        if keys.start == "square":
            self.bottom, foot = -rise, self.right - rise
        if self.top - self.right - foot < 2 * self.allowance - TOLERANCE:
            need = ceil((self.right + foot + 2 * self.allowance) / rise - TOLERANCE)
            raise refuse_keys(
                f"`design.pairs` is {keys.pairs}, too few for a pointed column"
                f" {write_length(keys.column_finished)} wide: nothing is left of its sides",
                f"at least {need} pairs",
                "add pairs, or narrow the column",
            )
        outline = make_rectangle(self.left, self.bottom, keys.column_finished, self.top - self.bottom)
        for side in (1, -1):
            outline = clip_outline(outline, side, 1, self.top)
            if keys.start == "square":
                outline = clip_outline(outline, side, -1, rise)
        self.outline = tidy_outline(outline)

    def lay(self) -> Iterator[BlockPatch]:
        """Yield the starting patch, then the blades in the order of sewing, all before trimming."""
        keys, s = self.keys, self.strip
        if keys.start == "square":
            yield BlockPatch("S", self._lay(-s, 0, -s, 0), keys.start_slot, "start square", 45.0)
        elif keys.start == "triangle":
            low = -self.right
            yield BlockPatch("S", ((low, low), (-low, low), (0.0, 0.0)), keys.start_slot, "start triangle")
        for pair in range(self.pairs):
            for side in ("L", "R") if keys.added_to == "right" else ("R", "L"):
                yield from self._blade(side, pair)

    def _blade(self, side: str, pair: int) -> Iterator[BlockPatch]:
        """Yield a blade and its accent, drawn as the right one that is laid first, then put in its place."""
        s, keys = self.strip, self.keys
        corner = pair * s
        accent = s if keys.accents in ("both", "left" if side == "L" else "right") else 0.0
        further = accent if self.level else 0.0
        inner = corner - accent
        if keys.blades == "angled":
            end = corner - ROOT2 * self.right - further
            raw: Outline = _from_uv([(corner, end), (corner + s, end + s), (corner + s, inner), (corner, inner)])
        else:
            raw = self._lay(corner, corner + s, corner - self._rectangle() - further, inner)
        number, slot = f"{pair + 1:03d}", keys.blade_slots()[side == "R"]
        yield BlockPatch(f"{side}{number}", self._place(side, raw), slot, "blade", 45.0)
        if accent:
            square = self._lay(corner, corner + s, inner, corner)
            yield BlockPatch(f"{side}{number}a", self._place(side, square), keys.accent_slot, "accent", 45.0)

    def _place(self, side: str, outline: Outline) -> Outline:
        """Return the outline of a blade in its place; the whole column is mirrored where a left blade is laid first.

        The second blade of a pair is the first, mirrored in the line s / (2·√2) to the right, half a rise up.
        """
        if (side == "R") == (self.keys.added_to == "right"):
            outline = move_outline(mirror_outline(outline, axis=self.strip / (2 * ROOT2)), 0.0, self.strip / ROOT2)
        return mirror_outline(outline) if self.keys.added_to == "right" else outline

    def _rectangle(self) -> float:
        """Finished length of a rectangular blade, its accent included, that gives the trimmed column its width.

        From pieces cut to length L the trimmed column is (2·(L - a) - s) / √2 wide before its own allowance, and
        2·(L - a) / √2 where one side has a square added.
        """
        more = 0.0 if self.level else self.strip
        return (ROOT2 * (self.keys.column_finished + 2 * self.allowance) + more) / 2 - self.allowance

    def _lay(self, u0: float, u1: float, v0: float, v1: float) -> Outline:
        return _from_uv([(u0, v0), (u1, v0), (u1, v1), (u0, v1)])

    def trim(self, outline: Outline) -> Outline:
        """Return the rest of an outline after the column is trimmed to its finished edges."""
        bounds = [(1, 0, self.right), (-1, 0, -self.left), (0, 1, self.top), (0, -1, -self.bottom)]
        if self.keys.ends == "pointed" and self.keys.start == "square":
            bounds += [(side, -1, -self.bottom) for side in (1, -1)]
        for a, b, c in bounds:
            outline = clip_outline(outline, a, b, c) if outline else ()
        return outline


def _from_uv(corners: list[tuple[float, float]]) -> Outline:
    return tuple(((u - v) / ROOT2, (u + v) / ROOT2) for u, v in corners)


def _matches(a: Outline, b: Outline) -> bool:
    return len(a) == len(b) and abs(measure_area(a) - measure_area(b)) < TOLERANCE
