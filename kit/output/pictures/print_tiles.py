"""Prints on the picture: the tile of each photographed cloth, and how it lies in every patch.

A tile is the picture turned so that the length of the cloth runs up; if the print's repeat is known and seen whole, it
is cut to whole repeats, so that it runs on. Every patch takes its tile at its own place: by its name and from its
middle, so that it stays there when the quilt grows; where the motif matters, with the motif on its middle.
"""

from base64 import b64encode
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import atan2, cos, degrees, hypot, radians, sin
from pathlib import Path
from zlib import crc32

from kit.errors import KitError
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patch
from kit.model.pattern import ColouredTop
from kit.model.pictures import PICTURE_WIDTH, read_tile

ASKEW = 2.0
"""Degrees within which an edge runs with the grain."""


@dataclass(frozen=True)
class PrintTile:
    """A picture of cloth that is laid side by side.

    Attributes
    ----------
    address
        The picture, as a data address.
    wide, high
        Inches of cloth that it shows, across the cloth and along it.
    """

    address: str
    wide: float
    high: float


@dataclass(frozen=True, slots=True)
class Lie:
    """How a print lies in a patch: turned by an angle in radians, the upper left corner of one tile at a point."""

    print_of: str
    turn: float
    at: tuple[float, float]


def find_tiles(draft: ColouredTop, view: str) -> dict[str, PrintTile]:
    """Return the tile of each fabric that has a picture which can be read; the others keep their colour.

    Prints are seen in the views "colour" and, in grey, "value"; the other views are of plain colours.
    """
    folder, grey = draft.study.folder, view == "value"
    if folder is None or view not in ("colour", "value"):
        return {}
    found = {}
    for fabric in draft.study.fabrics:
        if fabric.picture is not None:
            try:
                found[fabric.name] = make_tile(Path(folder), fabric, grey=grey)
            except KitError:  # the picture has gone since it was read; the study still holds the cloth's colour
                continue
    return found


def make_tile(folder: Path, fabric: Fabric, *, grey: bool = False) -> PrintTile:
    """Return the tile of a fabric with a picture.

    Raises
    ------
    KitError
        As `read_tile`.
    """
    name = fabric.picture or ""
    place = folder / name
    changed = place.stat().st_mtime_ns if place.is_file() else 0
    shown = fabric.picture_width or PICTURE_WIDTH
    across = fabric.repeat_across or fabric.repeat
    return _keep_tile(
        folder, name, changed, shown, fabric.picture_turn, (across, fabric.repeat), fabric.picture_mirrored, grey
    )


@lru_cache(maxsize=256)
def _keep_tile(
    folder: Path, name: str, changed: int, shown: float, turn: int,
    repeat: tuple[float | None, float | None], mirrored: bool, grey: bool,
) -> PrintTile:  # fmt: skip
    del changed  # when the file was: another picture under its name is another tile
    tile = read_tile(folder, name, shown=shown, turn=turn, repeat=repeat, mirrored=mirrored, grey=grey)
    address = f"data:image/{tile.kind};base64,{b64encode(tile.data).decode()}"
    return PrintTile(address, tile.wide, tile.high)


def lay_prints(draft: ColouredTop, tiles: Mapping[str, PrintTile]) -> Iterator[Lie | None]:
    """Yield how the print lies in each patch, None for a patch of plain colour.

    Pieces of a print with a top lie as the quilt does. Long sides run along stripes. All other pieces come out of
    strips that are cut across the cloth, so that their longest edge on the grain lies across.
    """
    fabrics = {fabric.name: fabric for fabric in draft.study.fabrics}
    for patch in draft.patchwork.patches:
        name = draft.colouring.assignment[patch.id]
        yield _lay(patch, fabrics[name], tiles[name]) if name in tiles else None


def _lay(patch: Patch, fabric: Fabric, tile: PrintTile) -> Lie:
    turn = radians(find_turn(patch, fabric))
    xs, ys = zip(*patch.outline, strict=True)
    middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    if fabric.repeat is not None or fabric.repeat_across is not None:
        across, along = fabric.motif_across or 0.0, fabric.motif_along or 0.0
    else:
        chance = crc32(patch.id.encode())
        across, along = (chance & 0xFFFF) / 0x10000 * tile.wide, (chance >> 16) / 0x10000 * tile.high
    x, y = -across, tile.high - along
    at = middle[0] + cos(turn) * x - sin(turn) * y, middle[1] + sin(turn) * x + cos(turn) * y
    return Lie(fabric.name, turn, at)


def find_turn(patch: Patch, fabric: Fabric) -> float:
    """Return by how many degrees the cloth is turned in a patch: zero with its length up the quilt.

    Examples
    --------
    >>> sash = Patch("sash", ((0, 0), (2, 0), (2, 9), (0, 9)), "sash")
    >>> find_turn(sash, Fabric("sash", "Fog", "#dfe6ea")), find_turn(sash, Fabric("sash", "Fog", "#dfe6ea", nap=True))
    (90.0, 0.0)
    >>> find_turn(sash, Fabric("sash", "Awning", "#dfe6ea", stripes="along"))
    0.0
    """
    level = abs((patch.grain + 45.0) % 90.0 - 45.0) < ASKEW
    if level and (fabric.one_way or fabric.nap) and not fabric.stripes:
        return 0.0
    edges = zip(patch.outline, patch.outline[1:] + patch.outline[:1], strict=True)
    runs = [(hypot(x1 - x0, y1 - y0), degrees(atan2(y1 - y0, x1 - x0))) for (x0, y0), (x1, y1) in edges]
    grain = (patch.grain + 45.0) % 90.0 - 45.0
    straight = [run for run in runs if abs((run[1] - grain + 45.0) % 90.0 - 45.0) < ASKEW]
    longest = max((length for length, _ in straight), default=0.0)
    near = [(angle + 90.0) % 180.0 - 90.0 for length, angle in straight if length > longest - 1e-6]
    turn = min((angle + 180.0 if angle <= -90.0 else angle for angle in near), key=abs, default=grain)
    if fabric.stripes == "along":
        turn -= 90.0
    return turn + 180.0 if turn < -90.0 + 1e-9 else turn
