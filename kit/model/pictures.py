"""Pictures of cloth: mean colour, spread, and whether the print is busy. The only place that decodes pictures."""

import warnings
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from os import PathLike
from pathlib import Path, PurePosixPath
from typing import Literal, TypeVar

import numpy as np
from PIL import Image, ImageOps, UnidentifiedImageError

from kit.errors import KitError
from kit.model.colour import Lab, find_lab, write_linear

FORMATS = ("PNG", "JPEG", "WEBP")
LARGEST_FILE = 20_000_000
"""Bytes: a longer file is refused unread."""
LARGEST_PICTURE = 40_000_000
"""Pixels: a larger picture is refused before it is decoded."""
PICTURE_WIDTH = 4.0
"""Inches of cloth that a picture shows from side to side if nobody says how many (own choice, no source)."""
LARGEST_TILE = 640
"""Pixels: a larger picture is made smaller before it is laid into patches."""
SMALL_TILE = 20_000
"""Pixels: a picture as small as this stays as sharp as it is."""
GRID = 32
"""The spread is measured on a grid with this many places each way."""
BUSY = 8.0
"""The least spread of a busy print (common practice, no source)."""


@dataclass(frozen=True)
class FabricPicture:
    """The facts about a cloth from its picture.

    Attributes
    ----------
    colour
        "#rrggbb": the mean of its light, its look from afar.
    spread
        Root mean square distance of its places from their mean in CIELAB; zero for a plain cloth.
    size
        (width, height) of the picture in pixels, turned right.
    """

    colour: str
    spread: float
    size: tuple[int, int]

    @property
    def busy(self) -> bool:
        """Whether the print is busy rather than calm."""
        return self.spread >= BUSY


@dataclass(frozen=True)
class ClothTile:
    """A picture of cloth to be laid side by side: its length runs up.

    Attributes
    ----------
    data, kind
        The picture and its format.
    wide, high
        Inches of cloth that it shows.
    """

    data: bytes
    kind: Literal["png", "jpeg"]
    wide: float
    high: float


T = TypeVar("T")


def read_cloth(folder: str | PathLike[str], name: str) -> FabricPicture:
    """Read a picture of cloth in a folder or below it.

    Turn it upright by the camera's note, lay transparent parts on white, average its light, and compare the places
    of an even grid with their mean.

    Parameters
    ----------
    folder
        The folder of the study file.
    name
        Relative path, with forward slashes, that stays in the folder.

    Raises
    ------
    KitError
        A path that leaves the folder; a file that is not a picture, too large, or cut short.

    Notes
    -----
    A picture of 40 million pixels takes some two seconds; one of a thousand by a thousand some 50 ms.
    """
    return _read(Path(folder), name, _measure)


def read_tile(
    folder: str | PathLike[str], name: str, *, shown: float, turn: int = 0,
    repeat: tuple[float | None, float | None] = (None, None), mirrored: bool = False, grey: bool = False,
) -> ClothTile:  # fmt: skip
    """Read a picture of cloth as a tile.

    Turn it, cut it to whole repeats where they are known and seen, mirror it both ways if its edges do not meet, and
    make it small enough for a page.

    Parameters
    ----------
    folder, name
        As for `read_cloth`.
    shown
        Inches of cloth from side to side of the picture, before it is turned.
    turn
        Quarter turns against the clock, in degrees, that bring the length of the cloth upright.
    repeat
        Inches from one motif to the next, across the cloth and along it; None where nobody knows.
    mirrored
        Lay it beside its mirror images.
    grey
        In the greys of its lightness.

    Raises
    ------
    KitError
        As `read_cloth`.
    """

    def cut(picture: Image.Image) -> ClothTile:
        inch = picture.width / shown
        tile = picture.rotate(turn, expand=True) if turn % 360 else picture
        sides = [_keep_whole(side, each, inch) for side, each in zip(tile.size, repeat, strict=True)]
        tile = tile.crop((0, tile.height - sides[1], sides[0], tile.height))
        if mirrored:
            tile = _mirror(tile)
        wide, high = tile.width / inch, tile.height / inch
        if max(tile.size) > LARGEST_TILE:
            tile.thumbnail((LARGEST_TILE, LARGEST_TILE), Image.Resampling.LANCZOS)
        tile = tile.convert("L") if grey else tile
        small, out = tile.width * tile.height <= SMALL_TILE, BytesIO()
        tile.save(out, "PNG" if small else "JPEG", **({"optimize": True} if small else {"quality": 85}))
        return ClothTile(out.getvalue(), "png" if small else "jpeg", wide, high)

    return _read(Path(folder), name, cut)


def _keep_whole(side: int, repeat: float | None, inch: float) -> int:
    """Return how many dots of a side are whole repeats; all of them where no whole one is seen."""
    if repeat is None or not 1 <= repeat * inch <= side + 0.5:
        return side
    return min(side, round((side + 0.5) // (repeat * inch) * repeat * inch))


def _mirror(tile: Image.Image) -> Image.Image:
    """Return a picture with its mirror images to the right, above, and across."""
    wide, high = tile.size
    whole = Image.new("RGB", (2 * wide, 2 * high))
    upside = ImageOps.flip(tile)
    for place, part in (((0, high), tile), ((wide, high), ImageOps.mirror(tile)),
                        ((0, 0), upside), ((wide, 0), ImageOps.mirror(upside))):  # fmt: skip
        whole.paste(part, place)
    return whole


def _read(folder: Path, name: str, act: Callable[[Image.Image], T]) -> T:
    """Do something with a picture in a folder; what cannot be read is refused in words."""
    path = _find(folder, name)
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise KitError(
                f"The picture `{name}` is {path.stat().st_size / 1e6:.0f} megabytes",
                needed=f"at most {LARGEST_FILE / 1e6:.0f}",
                do="save it smaller",
            )
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return act(_decode(path, name))
    except UnidentifiedImageError:
        raise KitError(
            f"`{name}` is not a readable picture", needed=", ".join(FORMATS), do="save it as PNG or JPEG"
        ) from None
    except FileNotFoundError:
        raise KitError(
            f"The picture `{name}` does not exist", needed="a picture beside the study file", do="check the name"
        ) from None
    except (OSError, SyntaxError, ValueError, EOFError, OverflowError, Image.DecompressionBombError) as error:
        raise KitError(
            f"The picture `{name}` is damaged or cut short ({error})", needed="a whole picture", do="save it again"
        ) from None


def _find(folder: Path, name: str) -> Path:
    parts = PurePosixPath(name).parts
    path = folder.joinpath(*parts)
    odd = not parts or PurePosixPath(name).is_absolute() or ".." in parts or "\\" in name or ":" in name or "\0" in name
    if odd or not path.resolve().is_relative_to(folder.resolve()):
        raise KitError(
            f"The picture `{name}` is outside the study's folder",
            needed="a path within that folder",
            do='copy the picture there and write for instance picture = "fabrics/fog.png"',
        )
    return path


def _decode(path: Path, name: str) -> Image.Image:
    """Return a picture upright, on white."""
    with Image.open(path, formats=FORMATS) as picture:
        wide, high = picture.size
        if wide * high > LARGEST_PICTURE:
            raise KitError(
                f"The picture `{name}` has {wide} x {high} pixels",
                needed=f"at most {LARGEST_PICTURE // 1_000_000} million",
                do="save it smaller; a thousand across is plenty",
            )
        picture.load()
        upright = ImageOps.exif_transpose(picture).convert("RGBA")
    ground = Image.new("RGBA", upright.size, (255, 255, 255, 255))
    return Image.alpha_composite(ground, upright).convert("RGB")


def _measure(picture: Image.Image) -> FabricPicture:
    pixels = np.asarray(picture)
    mean = _LIGHT[pixels].mean(axis=(0, 1))
    rows = np.linspace(0, pixels.shape[0] - 1, GRID).round().astype(int)
    columns = np.linspace(0, pixels.shape[1] - 1, GRID).round().astype(int)
    places = pixels[np.ix_(rows, columns)].reshape(-1, 3).tolist()
    labs: list[Lab] = [find_lab(f"#{red:02x}{green:02x}{blue:02x}") for red, green, blue in places]
    points = np.array(labs)
    spread = float(np.sqrt(((points - points.mean(axis=0)) ** 2).sum(axis=1).mean()))
    red, green, blue = mean.tolist()
    return FabricPicture(write_linear(red, green, blue), round(spread, 2), (picture.size[0], picture.size[1]))


def _linearise() -> "np.ndarray[tuple[int], np.dtype[np.float32]]":
    """Return the light of each of the 256 levels (IEC 61966-2-1)."""
    level = np.arange(256) / 255
    light = np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4)
    return light.astype(np.float32)


_LIGHT = _linearise()
