"""Pictures of cloth: mean colour, spread, and whether the print is busy. The only place that decodes pictures."""

import warnings
from dataclasses import dataclass
from os import PathLike
from pathlib import Path, PurePosixPath

import numpy as np
from PIL import Image, ImageOps, UnidentifiedImageError

from kit.errors import KitError
from kit.model.colour import Lab, find_lab, write_linear

FORMATS = ("PNG", "JPEG", "WEBP")
LARGEST_FILE = 20_000_000
"""Bytes: a longer file is refused unread."""
LARGEST_PICTURE = 40_000_000
"""Pixels: a larger picture is refused before it is decoded."""
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
    path = _find(Path(folder), name)
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise KitError(
                f"The picture `{name}` is {path.stat().st_size / 1e6:.0f} megabytes",
                needed=f"at most {LARGEST_FILE / 1e6:.0f}",
                do="save it smaller",
            )
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return _measure(path, name)
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


def _measure(path: Path, name: str) -> FabricPicture:
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
    pixels = np.asarray(Image.alpha_composite(ground, upright).convert("RGB"))
    mean = _LIGHT[pixels].mean(axis=(0, 1))
    rows = np.linspace(0, pixels.shape[0] - 1, GRID).round().astype(int)
    columns = np.linspace(0, pixels.shape[1] - 1, GRID).round().astype(int)
    places = pixels[np.ix_(rows, columns)].reshape(-1, 3).tolist()
    labs: list[Lab] = [find_lab(f"#{red:02x}{green:02x}{blue:02x}") for red, green, blue in places]
    points = np.array(labs)
    spread = float(np.sqrt(((points - points.mean(axis=0)) ** 2).sum(axis=1).mean()))
    red, green, blue = mean.tolist()
    return FabricPicture(write_linear(red, green, blue), round(spread, 2), (upright.size[0], upright.size[1]))


def _linearise() -> "np.ndarray[tuple[int], np.dtype[np.float32]]":
    """Return the light of each of the 256 levels (IEC 61966-2-1)."""
    level = np.arange(256) / 255
    light = np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4)
    return light.astype(np.float32)


_LIGHT = _linearise()
