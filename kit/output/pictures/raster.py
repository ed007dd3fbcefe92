"""Drawings as small pictures of dots, for places that take no drawing."""

from io import BytesIO

from PIL import Image, ImageDraw

from kit.output.pictures.drawing import Drawing

FINER = 3
"""The drawing is made so much larger, and then smaller, so that slanted edges are smooth."""


def write_raster(drawing: Drawing, *, pixels: int = 900) -> bytes:
    """Return the patches of a drawing as a PNG, its longer side so many pixels.

    Notes
    -----
    Same drawing, same bytes with one version of the picture library. Words, lines and prints are left out.
    """
    left, bottom, right, top = drawing.box
    scale = FINER * pixels / max(right - left, top - bottom)
    wide, high = round((right - left) * scale), round((top - bottom) * scale)
    made = Image.new("RGB", (max(FINER, wide), max(FINER, high)), "white")
    pen = ImageDraw.Draw(made)
    for polygon in drawing.polygons:
        corners = [((x - left) * scale, (top - y) * scale) for x, y in polygon.points]
        pen.polygon(corners, fill=polygon.fill, outline="#26221f", width=FINER)
    small = made.resize((max(1, wide // FINER), max(1, high // FINER)), Image.Resampling.BOX)
    packed = BytesIO()
    small.save(packed, "PNG")
    return packed.getvalue()
