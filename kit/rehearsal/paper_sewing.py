"""Blocks on paper rehearsed: cloth laid, sewn on the line, flipped and trimmed, by the papers as they are printed.

Each rectangle is taken in its printed size, wrong side to the paper, one edge an allowance beyond its line. What was
sewn before is trimmed an allowance beyond the line, and the new cloth lies over that. The papers are trimmed to the
dotted line. What then lies within the solid lines is compared with the design, copy by copy.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from math import dist

import shapely

from kit.geometry.outlines import Outline, Point
from kit.model.foundations import FoundationPlan, PaperPiece, PaperSection
from kit.model.making import Made
from kit.rehearsal.batch_sewing import SLIP
from kit.rehearsal.flat_cloth import CannotMakeError

FAR = 500.0
"""Inches: farther than any block reaches."""
BLUNT = 2.0
"""Sharper corners of allowances are cut off at this many allowances (common practice, no source)."""
NEAR = 1e-3
"""Inches by which two copies of a block may differ."""


def find_wrong_on_paper(made: Made, shapes: Mapping[str, Outline], allowance: float) -> str:
    """Sew a block by its papers, and return the first thing that is not as in the design, in words; empty if all is.

    Parameters
    ----------
    made
        A block on paper: the sizes of its rectangles, and its papers.
    shapes
        Patch id -> finished outline in the top.
    allowance
        Seam allowance, inches.
    """
    if made.papers is None:
        return "a block on paper has no papers"
    pieces = [piece for section in made.papers.sections for piece in section.pieces]
    if not len(pieces) == len(made.uses) == len(made.fabrics):
        return f"{len(pieces)} pieces lie on the papers, {len(made.uses)} rectangles are told"
    taken = Counter(made.uses)
    for place, each in enumerate(made.each):
        if taken[place] != each:
            return f"{each} of {made.blanks[place].id} are cut for a block, its papers take {taken[place]}"
    for piece, use, fabric in zip(pieces, made.uses, made.fabrics, strict=True):
        told = sorted((piece.width, piece.height))
        if any(abs(a - b) > SLIP for a, b in zip(told, sorted(made.sizes[use]), strict=True)):
            return f"{made.blanks[use].id} is cut {made.sizes[use]} in, on paper it is {told} in"
        if piece.slot != fabric:
            return f"{made.blanks[use].id} is of {fabric}, on paper of {piece.slot}"
    try:
        for section in made.papers.sections:
            _sew(section, made.papers, allowance)
    except CannotMakeError as error:
        return str(error)
    return _find_unlike_copy(made, made.papers, shapes)


def _sew(section: PaperSection, plan: FoundationPlan, allowance: float) -> None:
    """Sew one paper, trim it, and compare it with the block."""
    outlines = {name: shapely.Polygon(outline) for name, outline in plan.target}
    trim = _grow(shapely.Polygon(section.outline), allowance)
    shown: list[tuple[PaperPiece, shapely.Geometry]] = []
    for piece in section.pieces:
        if piece.number > 1 and piece.line is None:
            raise CannotMakeError(f"paper {section.name}, piece {piece.number} has no line")
        need = shapely.intersection(_grow(outlines[piece.patch], allowance), trim)
        cloth = _lay(piece, need, allowance)
        if piece.line is not None:
            beyond = _take_side(piece.line)
            cloth = shapely.intersection(cloth, beyond)
            # along the new cloth what was sewn is trimmed an allowance beyond the line; elsewhere it lies as it was
            gone = shapely.union(_take_side(piece.line, allowance, piece.width / 2), cloth)
            held = [(one, shapely.difference(part, gone)) for one, part in shown]
            if any(outlines[one.patch].intersection(beyond).area > SLIP * dist(*piece.line) for one, _ in shown):
                raise CannotMakeError(
                    f"paper {section.name}, piece {piece.number}: cloth lies on both sides of its line, so the paper"
                    " cannot be folded along it"
                )
            shown = held
        shown.append((piece, cloth))
    covered = shapely.union_all([part for _, part in shown], grid_size=1e-6)
    bare = shapely.difference(trim, covered)
    if bare.area > SLIP * trim.length:
        raise CannotMakeError(f"paper {section.name}: {bare.area:.3f} square inches of it stay bare")
    for piece, part in shown:
        inside = shapely.intersection(part, shapely.Polygon(section.outline))
        off = shapely.symmetric_difference(inside, outlines[piece.patch]).area
        if off > SLIP * outlines[piece.patch].length:
            raise CannotMakeError(
                f"paper {section.name}, piece {piece.number}: {off:.3f} square inches lie otherwise than in the block"
            )


def _lay(piece: PaperPiece, need: shapely.Geometry, allowance: float) -> shapely.Polygon:
    """Return a rectangle of the printed size as it lies after it was pressed open; the first one as it was laid."""
    (ax, ay), (bx, by) = piece.line or piece.rectangle[:2]
    long = dist((ax, ay), (bx, by))
    ux, uy = (bx - ax) / long, (by - ay) / long
    along = [(x - ax) * ux + (y - ay) * uy for x, y in shapely.get_coordinates(need)]
    away = [(y - ay) * ux - (x - ax) * uy for x, y in shapely.get_coordinates(need)]
    left = (min(along) + max(along) - piece.width) / 2
    low = -allowance if piece.line else (min(away) + max(away) - piece.height) / 2
    corners = [(left, low), (left + piece.width, low), (left + piece.width, low + piece.height),
               (left, low + piece.height)]  # fmt: skip
    return shapely.Polygon([(ax + a * ux - b * uy, ay + a * uy + b * ux) for a, b in corners])


def _take_side(line: tuple[Point, Point], off: float = 0.0, reach: float = FAR) -> shapely.Polygon:
    """Return all that lies to the left of a line, some inches off it, and so far to both sides of its middle."""
    (ax, ay), (bx, by) = line
    long = dist((ax, ay), (bx, by))
    ux, uy = (bx - ax) / long, (by - ay) / long
    middle = long / 2
    corners = [(middle - reach, off), (middle + reach, off), (middle + reach, FAR), (middle - reach, FAR)]
    return shapely.Polygon([(ax + a * ux - b * uy, ay + a * uy + b * ux) for a, b in corners])


def _grow(shape: shapely.Polygon, allowance: float) -> shapely.Polygon:
    return shapely.Polygon(shape.buffer(allowance, join_style="mitre", mitre_limit=BLUNT).exterior)


# Copies


def _find_unlike_copy(made: Made, plan: FoundationPlan, shapes: Mapping[str, Outline]) -> str:
    """Lay the block on every copy in the top, turned or as a mirror image: as many as papers are printed so."""
    target = dict(plan.target)
    block = [target[piece.patch] for section in plan.sections for piece in section.pieces]
    flipped = straight = 0
    for unit in made.units:
        copy = [shapes[patch] for patch in unit]
        ways = [mirrored for mirrored in (False, True) if _is_laid(block, copy, mirrored=mirrored)]
        if not ways:
            return f"at patch `{unit[0]}` the top has another block than its papers give"
        flipped += ways == [True]
        straight += ways == [False]
    if flipped > plan.mirrored or straight > plan.copies - plan.mirrored:
        return f"{flipped} copies are mirror images, papers are printed the other way round for {plan.mirrored}"
    if plan.copies != len(made.units):
        return f"papers are printed for {plan.copies} blocks, the top has {len(made.units)}"
    return ""


def _is_laid(block: Sequence[Outline], copy: Sequence[Outline], *, mirrored: bool) -> bool:
    """Return True if a copy is the block, moved and turned, patch on patch."""
    if len(block) != len(copy):
        return False
    here = [_find_centre(outline, mirrored=mirrored) for outline in block]
    there = [_find_centre(outline, mirrored=False) for outline in copy]
    middle, goal = sum(here) / len(here), sum(there) / len(there)
    turned = sum((b - goal) * (a - middle).conjugate() for a, b in zip(here, there, strict=True))
    if abs(turned) < NEAR:
        return False
    turn = turned / abs(turned)
    for outline, other in zip(block, copy, strict=True):
        moved = [goal + turn * (_flip(point, mirrored=mirrored) - middle) for point in outline]
        laid = shapely.Polygon([(z.real, z.imag) for z in moved])
        if shapely.symmetric_difference(laid, shapely.Polygon(other)).area > NEAR * laid.length:
            return False
    return True


def _flip(point: Point, *, mirrored: bool) -> complex:
    return complex(-point[0] if mirrored else point[0], point[1])


def _find_centre(outline: Outline, *, mirrored: bool) -> complex:
    middle = shapely.Polygon(outline).centroid
    return _flip((middle.x, middle.y), mirrored=mirrored)
