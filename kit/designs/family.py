"""The common parts of every family: a block, and the settings of blocks."""

from functools import cache
from typing import ClassVar

from pydantic import Field

from kit.designs.bars import Stack, lay_bars, measure_bars
from kit.designs.blocks import Block, BlockLayout, BlockPatch, Place, frame_block, move_parts, place_block
from kit.designs.borders import lay_borders, place_borders, trim_borders
from kit.designs.keys import Keys, Turns, check_sewable, refuse_keys
from kit.designs.on_point import Lattice, lay_on_point, measure_on_point
from kit.designs.quarters import complete_quarters, measure_whole
from kit.designs.settings import Alternate, Bars, Border, Offset, OnPoint, Quarters, Sashing
from kit.designs.straight import Grid, lay_straight, measure_straight
from kit.geometry.outlines import TOLERANCE, Outline, make_rectangle
from kit.lengths import write_refused
from kit.model.notices import Notice
from kit.model.patchwork import Patch, Patchwork, Trim, Within, check_count

__all__ = ["Block", "BlockPatch", "Border", "Family", "Keys", "Sashing"]

SETTINGS = ("sashing", "alternate", "on_point", "offset", "bars", "quarters", "border")
"""The keys of the tables that set blocks out."""


class Family(Keys):
    """A family of designs; each subclass makes one kind of block and explains its keys."""

    size_key: ClassVar[str | None] = None
    """The key, a length, that changes the size of the block when a quilt is fitted to a size."""
    count_keys: ClassVar[tuple[str, str]] = ("columns", "rows")
    """The keys, whole numbers, that make the quilt wider and longer."""
    parts: ClassVar[int] = 1
    """The number of equal parts of the length of `size_key`, each on a mark of the ruler."""

    family: str
    columns: int = Field(default=3, ge=1, le=20_000, description="Columns across")
    rows: int = Field(default=1, ge=1, le=20_000, description="Rows down")
    turns: Turns = Field(default=("0",), description="Quarter turns of the blocks, repeated")
    sashing: Sashing | None = Field(default=None, description="Sashing between the blocks")
    alternate: Alternate | None = Field(default=None, description="Plain patches instead of every other block")
    on_point: OnPoint | None = Field(default=None, description="Blocks on their points")
    offset: Offset | None = Field(default=None, description="Shifted rows")
    bars: Bars | None = Field(default=None, description="Upright bars between columns of blocks")
    quarters: Quarters | None = Field(default=None, description="The layout is a quarter of the whole")
    border: tuple[Border, ...] = Field(default=(), description="Borders, the innermost first")

    def make_block(self, allowance: float) -> Block:
        """Return the block of the family.

        Parameters
        ----------
        allowance
            Seam allowance in inches; strips are given by their cut width.

        Raises
        ------
        PatchworkError
            Keys that leave no room for a patch; the message names them.
        """
        raise TypeError(f"{type(self).__name__} makes no block of {allowance}")

    def name_block(self, row: int, column: int) -> tuple[str, Within]:
        """Return the short id and the copy of the part at this row and column, both from 1."""
        return f"r{row:02d}c{column:02d}", Within("block", f"{row}-{column}")

    def choose_unit(self, place: Place) -> str | None:
        """Return the name of the unit that lies at a place instead of the block, None where it is the block."""
        return self.alternate.unit if self.alternate and place.plain else None

    def unit_block(self, name: str) -> Block:
        """Return a unit of the study as a block.

        Raises
        ------
        PatchworkError
            In every family but `units`: its studies alone have units.
        """
        raise refuse_keys(
            f"`design` names the unit `{name}`, and the family `{self.family}` has no units",
            'the family "units"',
            'write [design] family = "units", and the design itself as a unit: [unit.NAME] and its keys',
        )

    def name_edges(self, outline: Outline) -> tuple[str, ...] | None:
        """Return the names of the edges of what the family makes, where it has names of its own for them.

        Parameters
        ----------
        outline
            Of what it makes; edge i runs from corner i to corner i + 1.
        """
        del outline
        return None

    @property
    def fixed_counts(self) -> tuple[str, ...]:
        """The keys of `count_keys` that stay as they are when a quilt is fitted to a size."""
        return ()

    def notices(self) -> tuple[Notice, ...]:
        """Return what the maker should know of the design although it can be made."""
        return ()

    def patchwork(self, allowance: float = 0.25) -> Patchwork:
        """Make the block and lay it out, with sashing, bars and borders.

        Raises
        ------
        PatchworkError
            Keys that contradict one another, or more patches than the limit; refused before anything large is built.
        """
        block = self._prepare(allowance)
        layout = self._lay_out(block, allowance)
        patches, trims = self._fill(block, layout)
        width, height = layout.width, layout.height
        if self.quarters:
            whole = measure_whole(self.quarters, width, height)
            patches, trims = complete_quarters(self.quarters, patches, trims, width, height)
            width, height = whole
        placed = place_borders(self.border, width, height, allowance, self.unit_block)
        around, frames = lay_borders(placed)
        if placed:
            left, bottom, _, _ = placed[-1].outer
            patches, trims = move_parts([*patches, *around], [*trims, *trim_borders(placed)], -left, -bottom)
        return Patchwork(tuple(patches), allowance, tuple(trims), frames)

    def measure(self, allowance: float = 0.25) -> tuple[float, float]:
        """Return the finished width and height of the quilt in inches, without building it.

        Raises
        ------
        PatchworkError
            As `patchwork` does, except for flaws that show only when the patches lie side by side.
        """
        size = self._measure_layout(self._prepare(allowance), allowance)
        if self.quarters:
            size = measure_whole(self.quarters, *size)
        placed = place_borders(self.border, *size, allowance, self.unit_block)
        return placed[-1].outer[2:] if placed else size

    def _prepare(self, allowance: float) -> Block:
        """Check that the keys go together, and return the block."""
        block = self.make_block(allowance)
        self._check_counts(block)
        if block.outline is not None:
            self._check_alone(block)
        for key in ("sashing", "bars"):
            table = getattr(self, key)
            if table:
                check_sewable(allowance, **{f"{key}.finished": table.finished})
        if self.quarters and self.quarters.between_finished is not None:
            check_sewable(allowance, **{"quarters.between_finished": self.quarters.between_finished})
        if self.border:
            check_sewable(allowance, **{"border.finished": min(border.finished for border in self.border)})
        self._check_turns(block)
        return block

    def _fill(self, block: Block, layout: BlockLayout) -> tuple[list[Patch], list[Trim]]:
        """Return the patches of a layout, its blocks in their places, and its trims."""
        turned = cache(lambda unit, degrees: (self.unit_block(unit) if unit else block).turn(degrees))
        frame = cache(lambda degrees: frame_block(block, degrees))
        patches: list[Patch] = []
        trims: list[Trim] = []
        for place in layout.places:
            unit = self.choose_unit(place)
            if place.plain and unit is None:
                patches.append(self._make_plain(block, place))
                continue
            short, name = self.name_block(place.row, place.column)
            degrees = self._turn(place.row, place.column) + place.angle
            within: Within | None = Within(unit, name.copy) if unit else name
            laid = turned(unit, degrees)
            if unit and len(laid.shapes) == 1:
                within = None
            edge = frame(place.angle if block.outline is None else degrees)
            found, trim = place_block(laid, place, short, within, edge)
            patches.extend(found)
            trims.extend(trim)
        patches.extend(layout.fillers)
        return patches, [*trims, *layout.trims]

    def _lay_out(self, block: Block, allowance: float) -> BlockLayout:
        """Return the places of the blocks."""
        setting = self._set(block)
        if isinstance(setting, Stack):
            return lay_bars(setting, allowance)
        return lay_straight(setting, allowance) if isinstance(setting, Grid) else lay_on_point(setting)

    def _measure_layout(self, block: Block, allowance: float) -> tuple[float, float]:
        """Return the finished size of the setting."""
        setting = self._set(block)
        if isinstance(setting, Stack):
            return measure_bars(setting, allowance)
        return measure_straight(setting, allowance) if isinstance(setting, Grid) else measure_on_point(setting)

    def _set(self, block: Block) -> Grid | Lattice | Stack:
        """Return the setting named by the tables."""
        if self.bars is not None:
            self._check_bars()
            return Stack(self.columns, self.rows, block, self.bars, self.alternate, self.on_point)
        if self.on_point is None:
            return Grid(self.columns, self.rows, block, self.sashing, self.alternate, self.offset)
        if self.offset is not None:
            raise refuse_keys(
                "`design.offset` beside `design.on_point`: the points of shifted rows do not line up",
                "one of the two",
                "leave out [design.offset] or [design.on_point]",
            )
        return Lattice(self.columns, self.rows, block, self.on_point, self.sashing, self.alternate)

    def _check_bars(self) -> None:
        for key, table, why in (
            ("offset", self.offset, "its rows would not be straight across the bars"),
            ("sashing", self.sashing, "both lie between the columns"),
        ):
            if table is not None:
                raise refuse_keys(
                    f"`design.{key}` beside `design.bars`: {why}",
                    "one of the two",
                    f"leave out [design.{key}] or [design.bars]",
                )

    def _make_plain(self, block: Block, place: Place) -> Patch:
        """Return the plain patch in the place of a block."""
        short, _ = self.name_block(place.row, place.column)
        slot = self.alternate.slot if self.alternate else "plain"
        outline = make_rectangle(0, 0, block.width, block.height)
        plain = Block(block.width, block.height, (BlockPatch("plain", outline, slot, "plain patch"),)).turn(place.angle)
        (patch,), _ = place_block(plain, place, short, Within("plain patch"), outline)
        return Patch(patch.id, patch.outline, patch.slot, patch.name, place.group, patch.grain)

    def _check_counts(self, block: Block) -> None:
        """Refuse a design with too many patches before it is built."""
        quarters = 4 if self.quarters else 1
        each = quarters * (len(block.shapes) + (4 if self.sashing else 0))
        between = (self.columns - 1) * (self.rows - 1) if self.on_point and not self.bars else 0
        blocks = self.columns * self.rows + between
        if self.alternate:
            whole = self.columns * self.rows if self.on_point else (blocks + 1) // 2
            check_count(whole * each + quarters * (blocks - whole))
            return
        check_count(blocks * each)

    def _check_alone(self, block: Block) -> None:
        """Refuse a setting around a block that is not a rectangle."""
        tables = [key for key in SETTINGS if getattr(self, key)]
        if self.columns * self.rows == 1 and not tables:
            return
        beside = f"`design.{tables[0]}`" if tables else f"`design.{self.count_keys[0]}` = {self.columns}"
        if not tables and self.columns == 1:
            beside = f"`design.rows` = {self.rows}"
        raise refuse_keys(
            f"{beside} with a block that is not a rectangle (it has {len(block.outline or ())} sides)",
            "one such block as the whole top, or as a unit of a larger one",
            "set columns = 1 and rows = 1 without a setting or border, or keep the ends straight",
        )

    def _check_turns(self, block: Block) -> None:
        asked = self.columns * self.rows > 1 or "turns" in self.model_fields_set
        rows = self.turns if asked else (self.turns[0].split()[0],)  # of a family's own turns one block takes the first
        quarter = any(word in ("90", "270") for row in rows for word in row.split())
        if quarter and abs(block.width - block.height) > TOLERANCE:
            raise refuse_keys(
                f"`turns` has quarter turns for a block that finishes {write_refused(block.width, block.height)}",
                "a square block",
                "use only 0 and 180, or make the block square",
            )

    def _turn(self, row: int, column: int) -> int:
        words = self.turns[(row - 1) % len(self.turns)].split()
        return int(words[(column - 1) % len(words)])
