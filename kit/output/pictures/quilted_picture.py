"""The quilt as it will look: the top in its colours, the stitches in their thread, and the soft shade of the batting.

The cloth rises between the lines of stitches. Its height is taken from blurred pictures of the lines, narrow and wide
ones together; light falls from the upper left, so slopes towards it are lighter and the others darker.
"""

from io import BytesIO
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from kit.geometry.paths import measure_path, walk_path
from kit.model.pattern import Sketch
from kit.model.quilting import QuiltingPlan, QuiltLine

Side: TypeAlias = Literal["front", "back"]
Pixels = NDArray[np.float64]

STITCH, GAP = 0.07, 0.03
"""Inches of thread seen of each stitch, and of the hole between two."""
BLURS = ((0.05, 0.25), (0.14, 0.45), (0.4, 0.3))
"""Inches of a blur of the lines, and its share of the height."""
SLOPE = 1.7
"""How much a slope of the cloth changes its lightness (by eye)."""
BACKING = "#f1e9da"
FINEST = 2.0
"""Pixels are first drawn this many times finer than they are shown."""


def draw_quilted(
    sketch: Sketch,
    plan: QuiltingPlan,
    *,
    side: Side = "front",
    width: int = 1000,
    backing: str = BACKING,
    thread: float = 0.02,
) -> Image.Image:
    """Return a picture of the quilted top, or of its back.

    Parameters
    ----------
    sketch
        A sketch or a pattern, for the top and its colours.
    plan
        Its quilting.
    side
        "front", or "back": mirrored, all of the backing's colour, with the same stitches.
    width
        Pixels of the longer side.
    backing
        Colour of the backing, "#rrggbb".
    thread
        Inches of the thread's thickness: 0.016 for a fine one, 0.02 for a usual one, 0.03 for a heavy one (common
        practice, no source).

    Notes
    -----
    Some 0.5 s for 20,000 in of lines and a thousand pixels. Cloth is drawn in its colour, not in its print.
    """
    left, bottom, right, top = sketch.patchwork.box
    scale = FINEST * width / max(right - left, top - bottom)
    size = max(8, round((right - left) * scale)), max(8, round((top - bottom) * scale))

    def place(points: object) -> list[tuple[float, float]]:
        at = np.asarray(points, dtype=np.float64)
        return list(zip(((at[:, 0] - left) * scale).tolist(), ((top - at[:, 1]) * scale).tolist(), strict=True))

    cloth = Image.new("RGB", size, backing)
    draw = ImageDraw.Draw(cloth)
    if side == "front":
        colours = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
        for patch in sketch.patchwork.patches:
            draw.polygon(place(patch.outline), fill=colours[sketch.colouring.assignment[patch.id]])
    lines = Image.new("L", size, 255)
    pen = ImageDraw.Draw(lines)
    for line in plan.lines:
        pen.line(place(line.points), fill=0, width=max(1, round(0.03 * scale)))
    shown = _shade(np.asarray(cloth, dtype=np.float64), _raise(lines, scale))
    quilted = Image.fromarray(np.clip(shown, 0, 255).astype(np.uint8))
    _stitch(quilted, plan.lines, place, max(1, round(thread * scale)))
    small = quilted.resize((round(size[0] / FINEST), round(size[1] / FINEST)), Image.Resampling.LANCZOS)
    return small if side == "front" else small.transpose(Image.Transpose.FLIP_LEFT_RIGHT)


def _raise(lines: Image.Image, scale: float) -> Pixels:
    """Return the height of the cloth, 0 in a line and 1 far from every line."""
    height = np.zeros(lines.size[::-1])
    for inches, share in BLURS:
        blurred = lines.filter(ImageFilter.GaussianBlur(inches * scale))
        height += share * np.asarray(blurred, dtype=np.float64) / 255
    return height


def _shade(cloth: Pixels, height: Pixels) -> Pixels:
    """Return colours lightened on slopes that face the upper left, darkened on the others and in the lines."""
    down, across = np.gradient(height)
    slope = np.asarray((across + down) * SLOPE * 6, dtype=np.float64)
    light = np.asarray(1 + np.clip(slope, -0.28, 0.28) - 0.22 * (1 - height), dtype=np.float64)
    glow = np.asarray(10 * np.clip(slope, 0, 0.28), dtype=np.float64)
    return np.asarray(cloth * light[:, :, None] + glow[:, :, None])


def _stitch(image: Image.Image, lines: tuple[QuiltLine, ...], place: object, wide: int) -> None:
    """Draw every stitch of every line."""
    draw = ImageDraw.Draw(image)
    for line in lines:
        path = np.array(line.points)
        count = max(1, round(measure_path(path) / (STITCH + GAP)))
        starts = np.arange(count) * (measure_path(path) / count)
        share = np.linspace(0, STITCH, 3)
        points = place(walk_path(path, (starts[:, None] + share).ravel()))  # type: ignore[operator]  # the function of the caller
        for k in range(count):
            draw.line(points[3 * k : 3 * k + 3], fill=line.colour, width=wide)


def write_quilted(sketch: Sketch, plan: QuiltingPlan, *, side: Side = "front", width: int = 1000) -> bytes:
    """Return the picture of `draw_quilted` as the bytes of a JPEG file."""
    kept = BytesIO()
    draw_quilted(sketch, plan, side=side, width=width).save(kept, "JPEG", quality=88)
    return kept.getvalue()
