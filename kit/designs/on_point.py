"""Settings on point: blocks on their corners, in diagonal rows, with triangles at the sides and corners.

Cells lie on a lattice of half diagonals h: cell (i, j) has its middle at (i·h, j·h), i + j even. The lines of blocks
have odd i and j; inside cells with even i and j are the blocks between them. Cells on the edge of the rectangle
show a half, cells at its corners a quarter. Cells of equal i - j form a diagonal row, rising to the right; the
triangles at the upper left and at the lower right are sewn on last, and are cut to their size.

Setting triangles that reach beyond the points are sewn whole; their tips lie across the seam to the next row and
fall off when the row is trimmed. The finished patch is then the part inside the row's strip.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

from kit.designs.blocks import Block, BlockLayout, Place
from kit.designs.keys import refuse_keys
from kit.designs.settings import Alternate, OnPoint, Sashing
from kit.geometry.outlines import TOLERANCE, Outline, clip_outline, make_rectangle, move_outline, turn_outline
from kit.lengths import write_length
from kit.model.patchwork import Group, Patch, Trim, Within

ROOT2 = sqrt(2.0)
Bound = tuple[float, float, float]


@dataclass(frozen=True)
class Lattice:
    """The lattice of a setting on point: counts of columns and rows, the block, and the wishes."""

    columns: int
    rows: int
    block: Block
    keys: OnPoint
    sashing: Sashing | None = None
    alternate: Alternate | None = None

    @property
    def sash(self) -> float:
        """Finished width of the sashing, inches."""
        return self.sashing.finished if self.sashing else 0.0

    @property
    def half(self) -> float:
        """Half the diagonal of a block with its sash, inches."""
        return (self.block.width + self.sash) / ROOT2

    @property
    def float_finished(self) -> float:
        """Finished distance of the points from the edge, inches."""
        return self.keys.float_finished or 0.0

    @property
    def reach(self) -> float:
        """Reach of the triangles beyond the points, before their own allowance, inches."""
        return self.float_finished + (self.keys.oversize or 0.0)

    def frame(self, beyond: float) -> Outline:
        """Return the rectangle through the points, moved out by `beyond`."""
        width, height = 2 * self.columns * self.half, 2 * self.rows * self.half
        return make_rectangle(-beyond, -beyond, width + 2 * beyond, height + 2 * beyond)

    def name_row(self, k: int) -> Group:
        """Return the group of a diagonal row, the first at the upper left; the two triangles beyond have none."""
        number = (k + 2 * self.rows) // 2
        return (Within("diagonal row", str(number)),) if 0 < number < self.columns + self.rows else ()

    def row_bounds(self, k: int) -> list[Bound]:
        """Return the half planes between the seams of a diagonal row; the two outermost have one."""
        low, high = (-1.0, 1.0, (1 - k) * self.half), (1.0, -1.0, (1 + k) * self.half)
        return [*([low] if k > -2 * self.rows else []), *([high] if k < 2 * self.columns else [])]


def lay_on_point(lattice: Lattice) -> BlockLayout:
    """Lay blocks out on point: `rows` lines of `columns` blocks, and the blocks between those lines.

    Raises
    ------
    PatchworkError
        A block that is not square, sashing that leaves a block without, or a float beyond sashing.
    """
    width, height = measure_on_point(lattice)
    shift = lattice.float_finished
    places = tuple(_find_places(lattice))
    fillers = list(_lay_triangles(lattice))
    if lattice.sashing:
        fillers += _lay_sashes(lattice, lattice.sashing)
    trims = tuple(_trim_rows(lattice)) if lattice.reach else ()
    layout = BlockLayout(width, height, places, tuple(fillers), trims)
    return _move(layout, shift) if shift else layout


def measure_on_point(lattice: Lattice) -> tuple[float, float]:
    """Check that the keys go together, and return the finished width and height."""
    _check_fit(lattice)
    shift = lattice.float_finished
    return 2 * lattice.columns * lattice.half + 2 * shift, 2 * lattice.rows * lattice.half + 2 * shift


def _check_fit(lattice: Lattice) -> None:
    block = lattice.block
    if abs(block.width - block.height) > TOLERANCE:
        raise refuse_keys(
            f"`design.on_point` with a block that finishes {write_length(block.width)} x {write_length(block.height)}:"
            " its points would not line up along the edge",
            "a square block",
            "make the block square, or leave out [design.on_point]",
        )
    if lattice.sashing and not lattice.sashing.outer:
        raise refuse_keys(
            "`design.sashing.outer` is false on point: sashes between the blocks alone would leave a gap at each side"
            " triangle",
            "sashing round every block",
            "set outer = true, or leave the sashing out",
        )
    if lattice.sashing and lattice.reach:
        raise refuse_keys(
            f"`design.on_point` reaches {write_length(lattice.reach)} beyond the points; there sashes end at the edge"
            " and setting triangles do not meet",
            "no float_finished and no oversize together with sashing",
            "leave both out, or leave the sashing out",
        )
    if (block.trimmed or block.trims) and lattice.reach:
        raise refuse_keys(
            f"`design.on_point` reaches {write_length(lattice.reach)} beyond the points of a trimmed block,"
            " and its rows would be trimmed a second time",
            "one trim around each patch",
            "leave float_finished and oversize out",
        )
    if lattice.alternate and lattice.alternate.first == "plain" and min(lattice.columns, lattice.rows) == 1:
        raise refuse_keys(
            '`design.alternate.first` is "plain" with a single line of blocks on point: no block would be left',
            "at least two columns and two rows",
            'set first = "block"',
        )


def _find_places(lattice: Lattice) -> Iterator[Place]:
    """Yield the blocks, line by line from the top."""
    h, side = lattice.half, lattice.block.width
    for line, j in enumerate(range(2 * lattice.rows - 1, 0, -1), start=1):
        odd = j % 2 == 1
        for column, i in enumerate(range(1 if odd else 2, 2 * lattice.columns, 2), start=1):
            plain = lattice.alternate is not None and odd == (lattice.alternate.first == "plain")
            group = lattice.name_row(i - j)
            yield Place(line, column, i * h - side / 2, j * h - side / 2, 45.0, group, plain)


def _lay_triangles(lattice: Lattice) -> Iterator[Patch]:
    """Yield the setting triangles: along the bottom, the right, the top, the left, then the corners."""
    c, r, keys = 2 * lattice.columns, 2 * lattice.rows, lattice.keys
    sides = [*((i, 0) for i in range(2, c, 2)), *((c, j) for j in range(2, r, 2))]
    sides += [*((i, r) for i in range(2, c, 2)), *((0, j) for j in range(2, r, 2))]
    corners = [(0, 0), (c, 0), (c, r), (0, r)]
    bias_side = 45.0 if keys.side_cut == "half-square" else 0.0
    bias_corner = 45.0 if keys.corner_cut == "quarter-square" else 0.0
    for n, (i, j) in enumerate(sides, start=1):
        yield _make_triangle(lattice, i, j, f"side{n:02d}", keys.side_slot, "side triangle", bias_side)
    for n, (i, j) in enumerate(corners, start=1):
        yield _make_triangle(lattice, i, j, f"corner{n}", keys.corner_slot, "corner triangle", bias_corner)


def _make_triangle(lattice: Lattice, i: int, j: int, key: str, slot: str, name: str, grain: float) -> Patch:
    """Return the setting triangle of a cell: its whole shape, and its finished part."""
    h, inset = lattice.half, lattice.sash / ROOT2
    bounds: list[Bound] = []
    for di, dj in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
        if 0 < i + di < 2 * lattice.columns and 0 < j + dj < 2 * lattice.rows:
            bounds.append((float(di), float(dj), di * i * h + dj * j * h + h - inset))
    row = i - j
    whole = _clip(lattice.frame(lattice.reach), bounds)
    if not lattice.reach:
        return Patch(key, whole, slot, name, lattice.name_row(row), grain)
    seen = _clip(lattice.frame(lattice.float_finished), [*bounds, *lattice.row_bounds(row)])
    return Patch(key, seen, slot, name, lattice.name_row(row), grain, whole if lattice.name_row(row) else None)


def _clip(outline: Outline, bounds: list[Bound]) -> Outline:
    for a, b, c in bounds:
        outline = clip_outline(outline, a, b, c)
    return outline


def _trim_rows(lattice: Lattice) -> Iterator[Trim]:
    """Yield the trimmed outline of each diagonal row."""
    for k in range(2 - 2 * lattice.rows, 2 * lattice.columns - 1, 2):
        yield Trim(lattice.name_row(k), _clip(lattice.frame(lattice.float_finished), lattice.row_bounds(k)))


def _lay_sashes(lattice: Lattice, sashing: Sashing) -> Iterator[Patch]:
    """Yield short sashes within the diagonal rows, then those between the rows, whole or cut up by cornerstones."""
    h, s, wide = lattice.half, sashing.finished, lattice.block.width
    c, r = 2 * lattice.columns, 2 * lattice.rows
    frame = lattice.frame(0.0)
    steps = [(i, j) for j in range(r) for i in range(c)]
    for i, j in steps:
        middle = (i + 0.5) * h, (j + 0.5) * h
        if (i + j) % 2 == 0:
            sash = _lay_bar(middle, s, wide)
            group = lattice.name_row(i - j)
            yield Patch(f"sash-r{i:02d}-{j:02d}", sash, sashing.slot, "sash", group, 45.0)
        elif sashing.cornerstones:
            sash = _lay_bar(middle, wide, s)
            yield Patch(f"sash-d{i:02d}-{j:02d}", sash, sashing.slot, "sash", (), 45.0)
    if sashing.cornerstones:
        for i, j in ((i, j) for j in range(r + 1) for i in range(c + 1) if (i + j) % 2):
            stone = _clip(_lay_bar((i * h, j * h), s, s), _inside(frame))
            yield Patch(f"stone-{i:02d}-{j:02d}", stone, sashing.cornerstone_slot, "cornerstone", (), 45.0)
        return
    for n, k in enumerate(range(1 - r, c, 2), start=1):
        long = turn_outline(make_rectangle(-2 * (c + r) * h, -s / 2, 4 * (c + r) * h, s), 45.0)
        strip = _clip(move_outline(long, k * h, 0.0), _inside(frame))
        yield Patch(f"sash-d{n:02d}", strip, sashing.slot, "sash", (), 45.0)


def _lay_bar(middle: tuple[float, float], along: float, across: float) -> Outline:
    """Return a rectangle at 45°, with its length up to the right and its length up to the left."""
    return move_outline(turn_outline(make_rectangle(-along / 2, -across / 2, along, across), 45.0), *middle)


def _inside(frame: Outline) -> list[Bound]:
    (left, bottom), (right, top) = frame[0], frame[2]
    return [(1.0, 0.0, right), (-1.0, 0.0, -left), (0.0, 1.0, top), (0.0, -1.0, -bottom)]


def _move(layout: BlockLayout, by: float) -> BlockLayout:
    """Return the layout with its lower left corner moved back to (0, 0)."""
    places = tuple(Place(p.row, p.column, p.x + by, p.y + by, p.angle, p.group, p.plain) for p in layout.places)
    fillers = tuple(
        Patch(
            p.id, move_outline(p.outline, by, by), p.slot, p.name, p.group, p.grain,
            move_outline(p.sewn, by, by) if p.sewn else None,
        )
        for p in layout.fillers
    )  # fmt: skip
    trims = tuple(Trim(trim.group, move_outline(trim.outline, by, by)) for trim in layout.trims)
    return BlockLayout(layout.width, layout.height, places, fillers, trims)
