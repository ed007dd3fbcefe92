"""Full-size templates: pieces beyond the ruler, on pages within the common area of A4 and Letter. Millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin

from kit.geometry.closing import find_inside
from kit.geometry.outlines import (
    Outline,
    Point,
    measure_angles,
    measure_box,
    measure_directions,
    measure_edges,
    offset_outline,
)
from kit.lengths import MM
from kit.model.cutting import Piece
from kit.model.pattern import Sketch
from kit.output.pictures.page_tiles import AREA, MARGIN, TOP, PageShelves, TestSquare, list_tiles, place_squares
from kit.output.words.strings import say, say_name


@dataclass(frozen=True, slots=True)
class Template:
    """A piece on a page; y downwards from the upper edge of the paper, right side of the cloth up.

    Attributes
    ----------
    piece
        Id of the piece.
    cut, seam
        The line to cut and the line to sew.
    grain
        Ends of the arrow along the straight grain.
    words
        Name and counts, one line each; only on the part of a large template with its middle.
    at
        The middle of the arrow, next to the words.
    """

    piece: str
    cut: Outline
    seam: Outline
    grain: tuple[Point, Point]
    words: tuple[str, ...]
    at: Point


@dataclass(frozen=True, slots=True)
class TemplatePage:
    """A page of templates.

    Attributes
    ----------
    number
        From 1.
    templates
        Its templates.
    squares
        The test squares.
    part, parts
        For a template too large for a page: the number of this part, and of all; (1, 1) otherwise.
    across
        The number of parts side by side; they are numbered row by row.
    crosses
        The marks for joining parts.
    """

    number: int
    templates: tuple[Template, ...]
    squares: tuple[TestSquare, ...]
    part: int = 1
    parts: int = 1
    across: int = 1
    crosses: tuple[Point, ...] = ()


def lay_out_templates(sketch: Sketch) -> tuple[TemplatePage, ...]:
    """Lay every template on pages: side by side while there is room, large ones in overlapping parts.

    A mirror image has no separate template: its count is written on the other, "reversed".

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    pages: list[TemplatePage] = []
    shelf: list[Template] = []
    shelves = PageShelves()
    for alike in _group_alike(sketch):
        template, open_page = _lay(sketch, alike), shelves.page
        at = shelves.place(*_measure(template.cut))
        if at is None:
            pages += _tile(template, len(pages))
            continue
        if shelves.page > open_page:
            pages.append(TemplatePage(len(pages) + 1, tuple(shelf), place_squares()))
            shelf = []
        shelf.append(_move(template, *at))
    if shelf:
        pages.append(TemplatePage(len(pages) + 1, tuple(shelf), place_squares()))
    return tuple(pages)


def _group_alike(sketch: Sketch) -> list[list[tuple[Piece, bool]]]:
    """Return the template pieces, each with its likes and its mirror images (True)."""
    groups: dict[tuple[tuple[float, float], ...], list[tuple[Piece, bool]]] = {}
    for piece in sketch.making.pieces:
        if piece.kind != "template":
            continue
        here, mirrored = _sign(piece.outline), _sign(tuple((-x, y) for x, y in reversed(piece.outline)))
        if here not in groups and mirrored in groups:
            groups[mirrored].append((piece, True))
        else:
            groups.setdefault(here, []).append((piece, False))
    return list(groups.values())


def _sign(outline: Outline) -> tuple[tuple[float, float], ...]:
    """Return edges and angles from the corner that sorts first: the same for turned copies of an outline."""
    pairs = [
        (round(edge, 3), round(angle, 2))
        for edge, angle in zip(measure_edges(outline), measure_angles(outline), strict=True)
    ]
    return min(tuple(pairs[i:] + pairs[:i]) for i in range(len(pairs)))


def _lay(sketch: Sketch, alike: Sequence[tuple[Piece, bool]]) -> Template:
    """Return a template with its upper left corner at (0, 0), with a quarter turn if it only fits so."""
    piece = alike[0][0]
    left, bottom, right, top = measure_box(piece.outline)
    turned = (right - left) / MM > AREA[0] and (top - bottom) / MM <= AREA[0] and (right - left) / MM <= AREA[1]
    seam = offset_outline(piece.outline, -sketch.cut_list.allowance)

    def put(points: Sequence[Point]) -> Outline:
        if turned:
            return tuple(((top - y) / MM, (right - x) / MM) for x, y in points)
        return tuple(((x - left) / MM, (top - y) / MM) for x, y in points)

    middle = find_inside(seam)
    half = 0.16 * min(right - left, top - bottom)
    way = radians(find_grain(sketch, piece))
    ends = [(middle[0] + s * half * cos(way), middle[1] + s * half * sin(way)) for s in (-1, 1)]
    arrow = put(ends)
    words = [say("template_name", piece=piece.id, name=say_name(piece.name))]
    words += [
        f"{one.id}: " * (len(alike) > 1)
        + say("template_reversed" if mirrored else "template_cut", count=one.count, role=say_name(one.slot))
        for one, mirrored in alike
    ]
    return Template(piece.id, put(piece.outline), put(seam), (arrow[0], arrow[1]), tuple(words), put([middle])[0])


def find_grain(sketch: Sketch, piece: Piece) -> float:
    """Return the direction of the straight grain in the frame of a piece that has patches, degrees."""
    patch = sketch.patchwork.by_id[piece.patches[0]]
    cut = offset_outline(patch.sewn or patch.outline, sketch.cut_list.allowance)
    return patch.grain - measure_directions(cut)[piece.turns[0]] + measure_directions(piece.outline)[0]


def _measure(outline: Outline) -> tuple[float, float]:
    left, bottom, right, top = measure_box(outline)
    return right - left, top - bottom


def _move(template: Template, dx: float, dy: float) -> Template:
    def move(points: Sequence[Point]) -> Outline:
        return tuple((x + dx, y + dy) for x, y in points)

    grain = move(template.grain)
    return replace(
        template,
        cut=move(template.cut),
        seam=move(template.seam),
        grain=(grain[0], grain[1]),
        at=move([template.at])[0],
    )


def _tile(template: Template, before: int) -> list[TemplatePage]:
    """Return the pages of a large template; its words stand on the part with its middle alone."""
    tiles = list(list_tiles(*_measure(template.cut)))
    pages = []
    for tile in tiles:
        shown = _move(template, *tile.move)
        if not (MARGIN < shown.at[0] < MARGIN + AREA[0] and TOP < shown.at[1] < TOP + AREA[1]):
            shown = replace(shown, words=())
        pages.append(
            TemplatePage(
                before + tile.number, (shown,), place_squares(), tile.number, len(tiles), tile.across, tile.crosses
            )
        )
    return pages
