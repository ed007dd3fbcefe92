"""String panels: strips sewn side by side along a diagonal, then trimmed to a square.

The strips lie along the diagonal that rises to the right, the first over it, the others on both sides alike, in the
order of the list. If one more strip would show only as a sliver in its corner, the strip before it is cut wide
enough to reach the corner instead.

Left untrimmed, a panel is what its strips make when they lie side by side, all equally long: a rectangle where their
ends are cut square, a parallelogram where they are cut at 45°, each strip then one finished width further to the right
than the one below it. Such a panel has each strip of the list once, the first in the middle and the others on both
sides of it; nothing of it falls off.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise
from math import sqrt
from typing import ClassVar, Literal

from pydantic import Field

from kit.designs.blocks import Block, BlockPatch
from kit.designs.family import Family
from kit.designs.keys import Length, Slot, Turns, check_sewable
from kit.geometry.outlines import Outline, clip_outline, make_rectangle
from kit.model.patchwork import Within, check_count

ROOT2 = sqrt(2.0)
LEAST_SEEN = 0.25
"""Inches: the least visible width of the corner strip, measured across it from the corner."""


class StringPanels(Family):
    """Squares of diagonal strips; with quarter turns they make diamonds."""

    size_key: ClassVar[str | None] = "panel_finished"

    family: Literal["string panels"]
    columns: int = Field(default=6, ge=1, le=20_000, description="Panels across")
    rows: int = Field(default=6, ge=1, le=20_000, description="Panels down")
    turns: Turns = Field(default=("0 90", "90 0"), description="Quarter turns of the panels, repeated")
    ends: Literal["trimmed", "square", "slanted"] = Field(
        default="trimmed",
        description="Strips are trimmed to a square, or left as they are sewn: cut square, a rectangle, or at 45°, a"
        " parallelogram",
    )
    panel_finished: Length = Field(
        default=8.0, description="Finished width of a panel; untrimmed, the finished length of its strips"
    )
    strips_cut: tuple[Length, ...] = Field(
        default=(2.0, 1.5, 2.5), min_length=1, max_length=500, description="Cut widths from the middle out, repeated"
    )
    strip_slots: tuple[Slot, ...] = Field(
        default=("middle", "string"),
        min_length=1,
        max_length=500,
        description="Slots from the middle out; the last one continues to the corners",
    )

    def make_block(self, allowance: float) -> Block:
        """Return one panel: each strip as sewn, and where it is trimmed its part left in the square."""
        check_sewable(allowance, panel_finished=self.panel_finished)
        check_sewable(
            allowance, **{"strips_cut` less two allowances, a strip of `design": min(self.strips_cut) - 2 * allowance}
        )
        if self.ends != "trimmed":
            return self._leave_untrimmed(allowance)
        shapes = []
        for key, slot, start, end in self._list_strips(self._find_edges(allowance)):
            sewn = self._lay_strip(start, end, allowance)
            shapes.append(BlockPatch(key, self._trim(sewn), slot, "string", 45.0, sewn))
        if len(shapes) == 1:  # nothing is sewn or trimmed: the square is cut to size
            shapes = [replace(shapes[0], outline=make_rectangle(0, 0, *(self.panel_finished,) * 2), sewn=None)]
        return Block(self.panel_finished, self.panel_finished, tuple(shapes), trimmed=len(shapes) > 1)

    def _list_strips(self, edges: Iterable[tuple[float, float]]) -> Iterator[tuple[str, str, float, float]]:
        """Yield key, slot and edges of every strip, those beyond the middle one on both sides."""
        for n, (low, high) in enumerate(edges):
            slot = self.strip_slots[min(n, len(self.strip_slots) - 1)]
            for key, start, end in (("m", low, high),) if n == 0 else (("a", low, high), ("b", -high, -low)):
                yield f"{key}{n:02d}", slot, start, end

    def _leave_untrimmed(self, allowance: float) -> Block:
        """Return the panel that level strips of one length make, each of the list once."""
        widths = [cut - 2 * allowance for cut in self.strips_cut]
        middle = sum(widths) - widths[0] / 2
        reaches = [sum(widths[: n + 1]) - widths[0] / 2 for n in range(len(widths))]
        edges = [(-reaches[0], reaches[0]), *pairwise(reaches)]
        lean = 1.0 if self.ends == "slanted" else 0.0
        shapes = tuple(
            BlockPatch(key, self._lay_level(start + middle, end + middle, lean), slot, "string")
            for key, slot, start, end in self._list_strips(edges)
        )
        high = 2 * middle
        outline = self._lay_level(0.0, high, lean) if lean else None
        return Block(self.panel_finished + lean * high, high, shapes, outline=outline)

    def _lay_level(self, low: float, high: float, lean: float) -> Outline:
        """Return a level strip between two heights; each inch up it lies `lean` inches further to the right."""
        long = self.panel_finished
        return ((low * lean, low), (low * lean + long, low), (high * lean + long, high), (high * lean, high))

    def _find_edges(self, allowance: float) -> Iterator[tuple[float, float]]:
        """Yield the two edges of each strip, measured from the diagonal to the upper left.

        A corner lies at B / √2; the cloth must reach a·√2 further, its own allowance included.
        """
        corner = self.panel_finished / ROOT2
        reach = corner + allowance * (ROOT2 - 1)
        widths = [cut - 2 * allowance for cut in self.strips_cut]
        check_count(2 * reach / min(widths))
        low, high, n = -widths[0] / 2, widths[0] / 2, 0
        while high < reach:
            if high > corner - LEAST_SEEN:
                high = reach
                low = -reach if n == 0 else low
                break
            yield low, high
            n += 1
            low, high = high, high + widths[n % len(widths)]
        yield low, high

    def _lay_strip(self, start: float, end: float, allowance: float) -> Outline:
        """Return a strip before trimming: long enough to cover the square with its allowance."""
        nearest = 0.0 if start < 0 < end else min(abs(start), abs(end))
        length = (self.panel_finished / 2 + allowance) * ROOT2 - nearest
        middle = self.panel_finished / 2
        corners = make_rectangle(-length, start, 2 * length, end - start)
        return tuple((middle + (u - v) / ROOT2, middle + (u + v) / ROOT2) for u, v in corners)

    def _trim(self, outline: Outline) -> Outline:
        b = self.panel_finished
        for bound in ((1.0, 0.0, b), (-1.0, 0.0, 0.0), (0.0, 1.0, b), (0.0, -1.0, 0.0)):
            outline = clip_outline(outline, *bound)
        return outline

    @property
    def fixed_counts(self) -> tuple[str, ...]:
        """A parallelogram stands alone."""
        return self.count_keys if self.ends == "slanted" else ()

    def name_block(self, row: int, column: int) -> tuple[str, Within]:
        """Return the short id and the copy of a panel."""
        return f"r{row:02d}c{column:02d}", Within("panel", f"{row}-{column}")
