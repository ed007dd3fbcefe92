"""The contrast of every sign on a page, measured in the PDF: its own colour against what lies beneath it.

W3C, Web Content Accessibility Guidelines 2.1, "relative luminance" and "contrast ratio" (from memory): 7:1 is its level
AAA for text.
"""

import numpy as np
from pdfminer.layout import LTChar, LTCurve, LTFigure

WHITE = (1.0, 1.0, 1.0)
ENOUGH = 7.0


def find_luminance(colour):
    """Return the relative luminance of red, green and blue from 0 to 1."""
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def find_contrast(one, other):
    """Return the contrast ratio of two colours, 1 to 21.

    >>> find_contrast((0, 0, 0), (1, 1, 1))
    21.0
    """
    dark, light = sorted((find_luminance(one), find_luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def read_colour(colour):
    """Return a colour of a PDF as red, green and blue; black where none is set, as the format has it."""
    if colour is None:
        return (0.0, 0.0, 0.0)
    parts = tuple(float(part) for part in (colour if isinstance(colour, tuple | list) else (colour,)))
    if len(parts) == 4:
        return tuple((1 - part) * (1 - parts[3]) for part in parts[:3])
    return parts if len(parts) == 3 else parts * 3


def walk(container):
    """Yield what a page draws in the order of drawing."""
    for thing in container:
        if isinstance(thing, LTFigure):
            yield from walk(thing)
        else:
            yield thing


class Ground:
    """What is filled on a page, in the order of drawing."""

    def __init__(self):
        self.boxes, self.shapes = [], []

    def add(self, curve):
        self.boxes.append(curve.bbox)
        self.shapes.append((np.array(list(follow(curve))), read_colour(curve.non_stroking_color)))

    def find(self, x, y):
        """Return the colour of the topmost shape at a point, white where there is none."""
        if not len(self.boxes):
            return WHITE
        boxes = np.asarray(self.boxes)
        here = (boxes[:, 0] <= x) & (x <= boxes[:, 2]) & (boxes[:, 1] <= y) & (y <= boxes[:, 3])
        for number in np.flatnonzero(here)[::-1]:
            points, colour = self.shapes[number]
            if is_inside(points, x, y):
                return colour
        return WHITE


def follow(curve):
    """Yield points along the outline of a shape, eight on each curved part of it."""
    at = curve.pts[0]
    for kind, *points in curve.original_path or ():
        if kind == "c":
            a, b, c, d = (np.array(point) for point in (at, *points))
            for t in np.arange(1, 9) / 8:
                yield (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * d
        elif kind in "ml":
            yield np.array(points[-1])
        at = points[-1] if points else at


def is_inside(points, x, y):
    """Return True if a point lies in a polygon."""
    a, b = points, np.roll(points, -1, axis=0)
    crossed = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(a[:, 1] == b[:, 1], 1.0, b[:, 1] - a[:, 1])
    return bool((crossed & (a[:, 0] + (y - a[:, 1]) / rise * (b[:, 0] - a[:, 0]) > x)).sum() % 2)


def list_contrasts(page):
    """Yield every sign of a page with the least contrast of its middle and four points round that."""
    ground, fresh = Ground(), None
    for thing in walk(page.layout):
        if isinstance(thing, LTCurve) and thing.fill and len(thing.pts) > 2:
            ground.add(thing)
            fresh = None
        elif isinstance(thing, LTChar) and thing.get_text().strip():
            fresh = fresh or freeze(ground)
            (x0, y0, x1, y1), ink = thing.bbox, read_colour(thing.graphicstate.ncolor)
            x, y, dx, dy = (x0 + x1) / 2, (y0 + y1) / 2, 0.3 * (x1 - x0), 0.2 * (y1 - y0)
            places = ((x, y), (x - dx, y - dy), (x + dx, y - dy), (x - dx, y + dy), (x + dx, y + dy))
            yield thing, min(find_contrast(ink, fresh.find(*place)) for place in places)


def freeze(ground):
    """Return the ground as it is, its boxes in one array."""
    frozen = Ground()
    frozen.boxes, frozen.shapes = np.array(ground.boxes), ground.shapes
    return frozen if len(ground.boxes) else Ground()


def find_faint(pdf, least=ENOUGH):
    """Return for each page with signs of too little contrast: its number, the least contrast, and some of the signs."""
    faint = []
    for page in pdf.pages:
        weak = [(contrast, sign.get_text()) for sign, contrast in list_contrasts(page) if contrast < least]
        if weak:
            faint.append((page.page_number, round(min(weak)[0], 2), "".join(text for _, text in weak)[:40]))
        page.close()
    return faint
