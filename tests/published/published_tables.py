"""Read the published tables, and draw the shapes that they are about."""

import csv
import json
from math import cos, pi, radians, sin, sqrt, tan
from pathlib import Path

from kit.checks.cut_list_check import check_cut_list
from kit.geometry.outlines import make_rectangle, measure_box
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list

DATA = Path(__file__).parents[2] / "data" / "published"
QUARTER = 0.25
CM = 1 / 2.54


def read_table(name):
    """Return the rows of a table as dictionaries; lines that begin with # say where it is from."""
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def read_remarks(name):
    """Return the lines of a table that say where it is from."""
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line.startswith("#")]


def read_rules():
    return json.loads((DATA / "cut_size_rules.json").read_text(encoding="utf-8"))


def cut(outlines, slots=None, allowance=QUARTER, step=0.125):
    """Return the checked cut list of outlines, as the kit has it."""
    patchwork = patchwork_from_outlines(outlines, slots, allowance)
    cuts = cut_list(patchwork, step)
    check_cut_list(patchwork, cuts)
    return cuts


def pick(cuts, kind, slot=None):
    """Return the only piece of a kind."""
    (piece,) = [piece for piece in cuts.pieces if piece.kind == kind and slot in (None, piece.slot)]
    return piece


# Shapes, all lengths finished


def halved_square(side):
    return [((0, 0), (side, 0), (0, side)), ((side, 0), (side, side), (0, side))]


def quartered_square(side):
    middle = (side / 2, side / 2)
    corners = [(0, 0), (side, 0), (side, side), (0, side)]
    return [(corners[k], corners[(k + 1) % 4], middle) for k in range(4)]


def goose(width, height):
    """Return a goose of width by height between its two corners of sky."""
    tip = (width / 2, height)
    return [
        ((0, 0), (width, 0), tip),
        ((0, 0), tip, (0, height)),
        ((width, 0), (width, height), tip),
    ]


def row_of_squares(count, side):
    return [make_rectangle(side * k, 0, side, side) for k in range(count)]


def row_of_strips(count, width, length):
    return [make_rectangle(width * k, 0, width, length) for k in range(count)]


def square_in_square(inner):
    """Return a square on point and the four corners round it."""
    side = inner * sqrt(2)
    half = side / 2
    return [
        ((half, 0), (side, half), (half, side), (0, half)),
        ((0, 0), (half, 0), (0, half)),
        ((half, 0), (side, 0), (side, half)),
        ((side, half), (side, side), (half, side)),
        ((0, half), (half, side), (0, side)),
    ]


def leaning(edge, height, angle, base=None):
    """Return a parallelogram with a sharp angle in degrees; `edge` is the leaning edge unless a height is given."""
    height = edge * sin(radians(angle)) if height is None else height
    lean = height / tan(radians(angle))
    base = edge if base is None else base
    return ((0, 0), (base, 0), (base + lean, height), (lean, height))


def hexagon(side):
    return tuple((side * cos(pi * k / 3), side * sin(pi * k / 3)) for k in range(6))


def trapezoid(short, height, angle):
    spread = height / tan(radians(angle))
    return ((0, 0), (short + 2 * spread, 0), (short + spread, height), (spread, height))


def eight_pointed_star(edge):
    """Return eight diamonds, four corner squares and four side triangles, with their slots."""
    ray = [(edge * cos(pi * k / 4), edge * sin(pi * k / 4)) for k in range(8)]
    join = [(ray[k][0] + ray[(k + 1) % 8][0], ray[k][1] + ray[(k + 1) % 8][1]) for k in range(8)]
    outlines = [((0, 0), ray[k], join[k], ray[(k + 1) % 8]) for k in range(8)]
    slots = ["star"] * 8
    for k in range(8):
        before, here, after = join[k - 1], ray[k], join[k]
        if k % 2:
            corner = (before[0] + after[0] - here[0], before[1] + after[1] - here[1])
            outlines.append((here, before, corner, after))
        else:
            outlines.append((here, before, after))
        slots.append("ground")
    return outlines, slots


def on_point(rows, columns, block):
    """Return blocks set on point with side and corner triangles, with their slots."""
    d = block * sqrt(2)
    r = d / 2
    width, height = columns * d, rows * d
    centres = [((c + 0.5) * d, (q + 0.5) * d) for q in range(rows) for c in range(columns)]
    centres += [(c * d, q * d) for q in range(1, rows) for c in range(1, columns)]
    outlines = [((x, y - r), (x + r, y), (x, y + r), (x - r, y)) for x, y in centres]
    slots = ["block"] * len(outlines)
    sides = [((x - r, 0), (x + r, 0), (x, r)) for x in (c * d for c in range(1, columns))]
    sides += [((x - r, height), (x, height - r), (x + r, height)) for x in (c * d for c in range(1, columns))]
    sides += [((0, y - r), (r, y), (0, y + r)) for y in (q * d for q in range(1, rows))]
    sides += [((width, y - r), (width, y + r), (width - r, y)) for y in (q * d for q in range(1, rows))]
    corners = [
        ((0, 0), (r, 0), (0, r)),
        ((width, 0), (width, r), (width - r, 0)),
        ((width, height), (width - r, height), (width, height - r)),
        ((0, height), (0, height - r), (r, height)),
    ]
    return outlines + sides + corners, slots + ["side"] * len(sides) + ["corner"] * 4


def width_of(outlines):
    left, _, right, _ = measure_box(point for outline in outlines for point in outline)
    return right - left
