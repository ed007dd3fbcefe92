"""The check of a foundation plan: cloth laid, sewn, pressed open and trimmed on the paper, piece by piece.

It takes the lines, the numbers and the sizes of the rectangles as they are printed, and the finished patches. Whether a
piece is added across a whole straight edge, whether the cloth covers it, and whether the sections go together, it
finds out with shapely.
"""

from math import dist

import shapely

from kit.errors import CheckError
from kit.model.foundations import FoundationPlan, PaperPiece, PaperSection, SectionJoin

NEAR = 1e-3
"""Inches."""
MITRE = 2.0
"""Sharper corners of allowances are cut off at this many allowances."""


def check_foundation_plan(plan: FoundationPlan) -> None:
    """Sew a block on its papers and join them.

    Parameters
    ----------
    plan
        From `foundation_plan`.

    Raises
    ------
    CheckError
        A patch that is missing or comes twice; a line that is not one whole straight edge of what is sewn; paper that
        cannot be folded along a line; cloth that does not cover its piece with its allowance; a seam between sections
        that is not as it is told. Names paper and number.

    Notes
    -----
    O(n²) for the n pieces of a section.
    """
    patches = {name: shapely.Polygon(outline) for name, outline in plan.target}
    _check_names(plan, patches)
    for section in plan.sections:
        _sew(plan, section, patches)
    if sum(section.pieces != () for section in plan.sections) > 1 or plan.joins:
        _join(plan, patches)


def _check_names(plan: FoundationPlan, patches: dict[str, shapely.Polygon]) -> None:
    seen: set[str] = set()
    for section in plan.sections:
        numbers = [piece.number for piece in section.pieces]
        if numbers != list(range(1, len(numbers) + 1)):
            raise CheckError(f"Paper {section.name} has the numbers {numbers}", needed="1, 2, 3 and so on")
        for piece in section.pieces:
            if piece.patch not in patches:
                raise CheckError(f"{_name(section, piece)} is `{piece.patch}`", needed="a patch of the block")
            if piece.patch in seen:
                raise CheckError(f"Patch `{piece.patch}` is sewn twice", needed="every patch once")
            seen.add(piece.patch)
    if missing := sorted(set(patches) - seen):
        raise CheckError(f"Patch `{missing[0]}` is on no paper", needed="every patch once")


def _name(section: PaperSection, piece: PaperPiece) -> str:
    return f"Paper {section.name}, piece {piece.number}"


def _sew(plan: FoundationPlan, section: PaperSection, patches: dict[str, shapely.Polygon]) -> None:
    """Lay, sew and trim the pieces of a section in order."""
    shapes = [patches[piece.patch] for piece in section.pieces]
    whole = shapely.union_all(shapes, grid_size=NEAR / 10)
    paper = _grow(shapely.Polygon(section.outline), plan.allowance)
    if whole.symmetric_difference(shapely.Polygon(section.outline)).area > NEAR * whole.length:
        raise CheckError(f"Paper {section.name} is drawn otherwise than its pieces lie", needed="their outline")
    sewn: shapely.Geometry = shapely.Polygon()
    for piece, shape in zip(section.pieces, shapes, strict=True):
        name = _name(section, piece)
        if piece.number > 1:
            _check_line(name, piece, shape, sewn)
        _check_cloth(plan, name, piece, shape, paper)
        sewn = shapely.union(sewn, shape, grid_size=NEAR / 10).buffer(0)


def _check_line(name: str, piece: PaperPiece, shape: shapely.Polygon, sewn: shapely.Geometry) -> None:
    """Refuse a line that is not one whole straight edge between the piece and what is sewn."""
    if piece.line is None:
        raise CheckError(f"{name} has no line to sew along", needed="a line between it and what is sewn")
    line = shapely.LineString(piece.line)
    border = shape.boundary.intersection(sewn.boundary.buffer(NEAR)).intersection(sewn.buffer(NEAR))
    beside = border.buffer(NEAR).intersection(sewn.boundary).length
    along = line.buffer(2 * NEAR)
    if abs(beside - line.length) > 20 * NEAR or not along.buffer(5 * NEAR).covers(border):
        raise CheckError(
            f"{name} meets what is sewn along {beside:.3f} in, and its line is {line.length:.3f} in",
            needed="one whole straight edge",
            do="change the order or cut the block into more papers",
        )
    (ax, ay), (bx, by) = piece.line
    far = [((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / line.length for x, y in shapely.get_coordinates(sewn)]
    here = [((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / line.length for x, y in shape.exterior.coords]
    if max(far) > 2 * NEAR or min(here) < -2 * NEAR:
        raise CheckError(
            f"{name}: the paper cannot be folded along its line, cloth lies on both sides",
            needed="all that is sewn on one side",
        )


def _check_cloth(
    plan: FoundationPlan, name: str, piece: PaperPiece, shape: shapely.Polygon, paper: shapely.Polygon
) -> None:
    """Refuse a rectangle that does not cover its piece with its allowance, or not with the ease that was promised."""
    corners = piece.rectangle
    cloth = shapely.Polygon(corners)
    sizes = dist(corners[0], corners[1]), dist(corners[1], corners[2])
    if max(abs(sizes[0] - piece.width), abs(sizes[1] - piece.height)) > NEAR or (
        abs(dist(corners[0], corners[2]) - dist(corners[1], corners[3])) > NEAR
    ):
        raise CheckError(
            f"{name} is drawn {sizes[0]:.3f} in × {sizes[1]:.3f} in", needed=f"{piece.width:g} in × {piece.height:g} in"
        )
    need = _grow(shape, plan.allowance).intersection(paper)
    open_side = need
    if piece.line is not None:
        beyond = _grow(shapely.Polygon(shape), plan.allowance).intersection(
            shapely.LineString(piece.line).buffer(plan.allowance + NEAR, cap_style="flat")
        )
        open_side = need.difference(beyond)
    if need.difference(cloth.buffer(NEAR)).area > NEAR:
        short = max(cloth.distance(shapely.Point(p)) for p in shapely.get_coordinates(need))
        raise CheckError(
            f"{name}: a rectangle {piece.width:g} in × {piece.height:g} in leaves {short:.3f} in of it bare",
            needed="cloth over the piece and its allowance",
            do="cut it larger",
        )
    if plan.ease and not cloth.buffer(NEAR).covers(
        open_side.buffer(plan.ease - NEAR).intersection(_beyond(piece, need, plan))
    ):
        raise CheckError(
            f"{name} has less than {plan.ease:g} in to spare", needed=f"{plan.ease:g} in", do="cut it larger"
        )


def _beyond(piece: PaperPiece, need: shapely.Polygon, plan: FoundationPlan) -> shapely.Geometry:
    """Return where the ease is owed: everywhere, but not behind the line that the cloth is sewn along."""
    if piece.line is None:
        return need.buffer(plan.ease)
    (ax, ay), (bx, by) = piece.line
    length = dist(*piece.line)
    ux, uy = (bx - ax) / length, (by - ay) / length
    return shapely.Polygon(
        [
            (ax - 500 * ux, ay - 500 * uy), (bx + 500 * ux, by + 500 * uy),
            (bx + 500 * ux - 500 * uy, by + 500 * uy + 500 * ux), (ax - 500 * ux - 500 * uy, ay - 500 * uy + 500 * ux),
        ]
    )  # fmt: skip


def _grow(shape: shapely.Polygon, allowance: float) -> shapely.Polygon:
    return shapely.Polygon(shape.buffer(allowance, join_style="mitre", mitre_limit=MITRE).exterior)


def _join(plan: FoundationPlan, patches: dict[str, shapely.Polygon]) -> None:
    """Join the sections as told, and compare the result with the block."""
    loose: dict[tuple[str, ...], shapely.Geometry] = {
        (section.name,): shapely.union_all([patches[piece.patch] for piece in section.pieces], grid_size=NEAR / 10)
        for section in plan.sections
    }
    for join in plan.joins:
        sides = []
        for names in (join.first, join.second):
            if names not in loose:
                raise CheckError(f"The papers {' + '.join(names)} are joined before they are made", needed="each once")
            sides.append(loose.pop(names).buffer(0))
        _check_join(join, sides[0], sides[1])
        loose[tuple(sorted(join.first + join.second, key=int))] = shapely.union_all(sides, grid_size=NEAR / 10)
    if len(loose) > 1:
        raise CheckError(f"Paper {min(loose)[0]} is joined to nothing", needed="one block")
    (block,) = loose.values()
    if block.symmetric_difference(shapely.Polygon(plan.block)).area > NEAR * block.length:
        raise CheckError("The joined papers are not the block", needed="its outline")


def _check_join(join: SectionJoin, first: shapely.Geometry, second: shapely.Geometry) -> None:
    border = first.buffer(NEAR).intersection(second.boundary)
    line = shapely.LineString(join.ends)
    names = " + ".join(join.first), " + ".join(join.second)
    if border.length < 10 * NEAR:
        raise CheckError(f"The papers {names[0]} and {names[1]} do not meet", needed="a common edge")
    straight = line.buffer(5 * NEAR).covers(border) and abs(border.length - line.length) < 20 * NEAR
    if straight != (join.kind == "straight"):
        told = "straight" if join.kind == "straight" else "set in"
        raise CheckError(f"The seam between {names[0]} and {names[1]} is told as {told}", needed="the seam as it is")
