"""Units as the blocks of a setting: a unit, and others in turn with it, with sashing, borders and the rest."""

from collections.abc import Callable
from typing import Any, Protocol

from pydantic import Field, PrivateAttr

from kit.designs.blocks import Block, Place
from kit.designs.family import Family
from kit.designs.keys import UnitName, refuse_keys
from kit.designs.settings import Border
from kit.designs.units.built_unit import BuiltUnit
from kit.designs.units.unit_words import read_words, write_both
from kit.geometry.outlines import TOLERANCE
from kit.model.notices import Notice, notice
from kit.model.patchwork import Within


class Yard(Protocol):
    """What makes units by their names."""

    def make(self, name: str) -> BuiltUnit:
        """Return a unit."""


class SetUnits(Family):
    """A unit, or several in turn, set out as blocks are."""

    family: str = Field(default="units", description="Stands by itself")
    columns: int = Field(default=1, ge=1, le=1_000_000_000, description="Units across")
    rows: int = Field(default=1, ge=1, le=1_000_000_000, description="Units down")
    block: UnitName = Field(description="The unit that is set out")
    blocks: tuple[UnitName, ...] = Field(
        default=(), max_length=50, description="Further units that lie in turn with it, row by row shifted by one"
    )

    _yard: Yard | None = PrivateAttr(default=None)

    def model_post_init(self, context: Any, /) -> None:
        """Take the yard that the reader of the keys brings."""
        if isinstance(context, dict):
            self._yard = context.get("yard")

    @property
    def kinds(self) -> tuple[str, ...]:
        """The units that lie in turn."""
        return (self.block, *self.blocks)

    def make_block(self, allowance: float) -> Block:
        """Return the unit as a block, once those in turn with it are seen to be as large."""
        del allowance
        first = self._find(self.block)
        others = [*self.blocks, *([self.alternate.unit] if self.alternate and self.alternate.unit else [])]
        for name in others:
            block = self._find(name)
            for one, two, what in ((first.width, block.width, "wide"), (first.height, block.height, "high")):
                if abs(one - two) > TOLERANCE:
                    said = write_both(two, one)
                    raise refuse_keys(
                        f"`{name}` is {said[0]} {what} and `{self.block}` is {said[1]}",
                        "units of one size, so that they can lie in turn",
                        "bring them to one size, or lay them in rows with spacers",
                    )
        return first

    def choose_unit(self, place: Place) -> str | None:
        """Return the unit that lies at a place."""
        if place.plain:
            return super().choose_unit(place)
        return self.kinds[(place.row + place.column - 2) % len(self.kinds)]

    def unit_block(self, name: str) -> Block:
        """Return a unit of the study as a block."""
        return self._find(name)

    def _find(self, name: str) -> Block:
        if self._yard is None:
            return super().unit_block(name)
        return self._yard.make(name).make_block("a setting or a frame takes rectangles")

    def name_block(self, row: int, column: int) -> tuple[str, Within]:
        """Return the short id and the copy of the unit at this row and column, both from 1."""
        name = self.kinds[(row + column - 2) % len(self.kinds)]
        alone = self.columns * self.rows == 1
        return (name, Within(name)) if alone else (f"r{row:02d}c{column:02d}", Within(name, f"{row}-{column}"))

    def count_least(self, count: Callable[[str], int]) -> int:
        """Return the least number of patches, counted without making any unit."""
        held = [count(name) for name in self.kinds]
        places = self.columns * self.rows + ((self.columns - 1) * (self.rows - 1) if self.on_point else 0)
        each = sum(held) * places // len(held)
        if self.alternate:
            other = count(self.alternate.unit) if self.alternate.unit else 1
            each = (each + other * places) // 2
        return max(1, each) * (4 if self.quarters else 1) + sum(_count_border(border, count) for border in self.border)

    def _check_counts(self, block: Block) -> None:
        """Leave it to the yard, which has counted every unit."""

    def notices(self) -> tuple[Notice, ...]:
        """Return a notice where units that lie in turn leave unlike ones at the corners."""
        if self.alternate and self.alternate.unit and not self.on_point:
            kinds = [self.block, self.alternate.unit]
            kinds = kinds if self.alternate.first == "block" else kinds[::-1]
        else:
            kinds = list(self.kinds)
        if len(kinds) == 1 or (self.on_point and not self.blocks) or self.quarters:
            return ()
        across, down = self.columns, self.rows
        corners = tuple(kinds[k % len(kinds)] for k in (0, across - 1, across + down - 2, down - 1))
        return (notice("unlike-corners", across=across, down=down, corners=corners),) if len(set(corners)) > 1 else ()


def _count_border(border: Border, count: Callable[[str], int]) -> int:
    texts = border.sides if border.pieces == "units" else ()
    words = [word for text in texts for word in read_words(text, "design.border.sides")]
    return sum(word.count * count(word.name) for word in words)
