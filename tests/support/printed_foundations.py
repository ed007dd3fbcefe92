"""Papers read back out of a PDF: lines, numbers and the trim, from its vectors and words alone."""

import itertools
from io import BytesIO
from math import dist

import numpy as np
import pdfplumber
import shapely

INCH = 72.0


def read_papers(data):
    """Return by its number each paper: its cells by number, outline and dotted line, inches, y upwards, as printed.

    Only papers that lie whole on a page are read.
    """
    found = {}
    with pdfplumber.open(BytesIO(data)) as pdf:
        for page in pdf.pages[1:]:
            if "tape" in page.extract_text():
                continue
            found |= _read_page(page)
    return found


def _read_page(page):
    high = float(page.height)
    solid, dotted = [], []
    for shape in [*page.curves, *page.rects, *page.lines]:
        points = [(x / INCH, (high - y) / INCH) for x, y in shape["pts"]]
        if shape.get("dash") and shape["dash"][0]:
            dotted.append(points)
        elif not shape.get("fill") and shape["linewidth"] > 0.8:
            solid.append(_lengthen(points) if len(points) == 2 else [*points, points[0]])
    lines = shapely.union_all([shapely.LineString(points) for points in solid])
    cells = [cell for cell in shapely.get_parts(shapely.polygonize(list(shapely.get_parts(lines)))) if cell.area > 0.01]
    words = page.extract_words()
    numbers = []
    for word, letter in itertools.pairwise(words):
        close = abs(word["top"] - letter["top"]) < 1 and 0 < letter["x0"] - word["x1"] < 8
        if word["text"].isdigit() and letter["text"].isupper() and letter["text"].isalpha() and close:
            at = ((word["x0"] + letter["x1"]) / 2 / INCH, (high - (word["top"] + word["bottom"]) / 2) / INCH)
            numbers.append((int(word["text"]), letter["text"], at))
    papers = {}
    for trim in (shapely.Polygon(points) for points in dotted if len(points) > 2):
        inside = [cell for cell in cells if trim.covers(cell.representative_point())]
        by_number = {}
        for number, letter, at in numbers:
            holding = [cell for cell in inside if cell.covers(shapely.Point(at))]
            if holding:
                assert len(holding) == 1
                assert number not in by_number
                by_number[number] = letter, shapely.normalize(holding[0]).simplify(1e-3)
        papers[_find_name(words, trim, high)] = by_number, shapely.union_all(inside, grid_size=1e-4), trim
    return papers


def _find_name(words, trim, high):
    """Return the number under a paper: of those that stand below it, the nearest to its lower left corner."""
    left, low, *_ = trim.bounds
    named = [
        (abs(word["x0"] / INCH - left) + abs(low - (high - word["top"]) / INCH), name["text"])
        for word, name in itertools.pairwise(words)
        if word["text"] == "Paper"
    ]
    return min(named)[1]


def _lengthen(points, by=5e-4):
    """Return a line a hair longer at both ends, so that it surely meets those that it ends on."""
    (ax, ay), (bx, by_) = points
    ux, uy = (bx - ax) / dist(*points) * by, (by_ - ay) / dist(*points) * by
    return [(ax - ux, ay - uy), (bx + ux, by_ + uy)]


def turn_over(shape):
    """Return a printed shape as it is seen from the other side of the paper."""
    return shapely.transform(shape, lambda points: points * [-1, 1])


def lay_at(shape, target):
    """Return a shape moved so that its lower left corner is that of another."""
    (x, y, *_), (u, v, *_) = shape.bounds, target.bounds
    return shapely.transform(shape, lambda points: points + np.array([u - x, v - y]))
