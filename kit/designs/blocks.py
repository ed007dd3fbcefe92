"""Blocks: a family makes each in its own place; a setting then puts them side by side."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from kit.geometry.outlines import Outline, make_rectangle, mirror_outline, move_outline, turn_outline
from kit.model.patchwork import Group, Patch, Trim, Within


@dataclass(frozen=True, slots=True)
class BlockPatch:
    """A patch of a block, in the block's own place: lower left corner at (0, 0).

    Attributes
    ----------
    key
        Its id within the block.
    outline, slot, name, grain, sewn
        As in the patch that it becomes.
    group
        The parts of the block around it, from the outermost in.
    unit
        As in the patch that it becomes.
    """

    key: str
    outline: Outline
    slot: str
    name: str
    grain: float = 0.0
    sewn: Outline | None = None
    group: Group = ()
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """Shapes that tile a rectangle, or another outline.

    Attributes
    ----------
    width, height
        Finished inches; of the rectangle round it where it has an outline of its own.
    shapes
        In the order of their keys.
    trimmed
        Whether it is sewn larger and then cut straight.
    trims
        Its trimmed parts, with the same groups as the shapes.
    outline
        The outline that the shapes tile, where it is not a rectangle.
    """

    width: float
    height: float
    shapes: tuple[BlockPatch, ...]
    trimmed: bool = False
    trims: tuple[Trim, ...] = ()
    outline: Outline | None = None

    def turn(self, degrees: float) -> "Block":
        """Return the block turned counter-clockwise about its middle; its place stays the same."""
        if not degrees:
            return self
        about = self.width / 2, self.height / 2
        shapes = tuple(
            replace(
                shape,
                outline=turn_outline(shape.outline, degrees, about=about),
                sewn=turn_outline(shape.sewn, degrees, about=about) if shape.sewn else None,
                grain=(shape.grain + degrees) % 360,
            )
            for shape in self.shapes
        )
        trims = tuple(Trim(t.group, turn_outline(t.outline, degrees, about=about)) for t in self.trims)
        outline = turn_outline(self.outline, degrees, about=about) if self.outline else None
        return replace(self, shapes=shapes, trims=trims, outline=outline)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a block goes.

    Attributes
    ----------
    row, column
        From 1, the top row first.
    x, y
        Lower left corner of the block before it is turned, inches.
    angle
        Degrees that the setting turns it about its middle.
    group
        The parts of the top around it.
    plain
        Whether a plain patch lies here instead of a block.
    """

    row: int
    column: int
    x: float
    y: float
    angle: float = 0.0
    group: Group = ()
    plain: bool = False


@dataclass(frozen=True, slots=True)
class BlockLayout:
    """How a setting lays blocks out: its width and height from (0, 0), the places, and the patches between."""

    width: float
    height: float
    places: tuple[Place, ...]
    fillers: tuple[Patch, ...] = ()
    trims: tuple[Trim, ...] = ()


def place_block(
    block: Block, place: Place, short: str, within: Within | None, frame: Outline
) -> tuple[list[Patch], list[Trim]]:
    """Return the patches and trims of a block that is turned already; `frame` is its edge.

    A block without `within` is a single patch, not a part of the top by itself.
    """
    group = (*place.group, within) if within else place.group
    patches = [
        Patch(
            f"{short}-{shape.key}" if shape.key else short,
            move_outline(shape.outline, place.x, place.y),
            shape.slot,
            shape.name,
            group + shape.group,
            shape.grain,
            move_outline(shape.sewn, place.x, place.y) if shape.sewn else None,
            shape.unit,
        )
        for shape in block.shapes
    ]
    trims = [Trim(group + trim.group, move_outline(trim.outline, place.x, place.y)) for trim in block.trims]
    if block.trimmed:
        trims.append(Trim(group, move_outline(frame, place.x, place.y)))
    return patches, trims


def move_parts(patches: Iterable[Patch], trims: Iterable[Trim], dx: float, dy: float) -> tuple[list[Patch], list[Trim]]:
    """Return patches and trims moved by (dx, dy) inches."""
    moved = [
        replace(
            patch,
            outline=move_outline(patch.outline, dx, dy),
            sewn=move_outline(patch.sewn, dx, dy) if patch.sewn else None,
        )
        for patch in patches
    ]
    return moved, [Trim(trim.group, move_outline(trim.outline, dx, dy)) for trim in trims]


def frame_block(block: Block, degrees: float) -> Outline:
    """Return the edge of a block, turned about its middle."""
    edge = block.outline or make_rectangle(0, 0, block.width, block.height)
    return turn_outline(edge, degrees, about=(block.width / 2, block.height / 2))


def mirror_shapes(shapes: Iterable[BlockPatch], axis: float) -> list[BlockPatch]:
    """Return the shapes mirrored in the upright line x = axis, grain included."""
    return [
        replace(
            shape,
            outline=mirror_outline(shape.outline, axis=axis),
            sewn=mirror_outline(shape.sewn, axis=axis) if shape.sewn else None,
            grain=-shape.grain % 360,
        )
        for shape in shapes
    ]


def rename_shapes(shapes: Iterable[BlockPatch], prefix: str) -> list[BlockPatch]:
    """Return the shapes with a prefix before their keys."""
    return [replace(shape, key=prefix + shape.key) for shape in shapes]
