"""Sums on shapes: diamonds, hexagons, octagons and kites."""

from math import cos, pi, radians, sin, sqrt, tan

from kit.errors import KitError
from kit.geometry.outlines import Outline, measure_area, measure_box, measure_edges, offset_outline
from kit.lengths import Length
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import cut_alone, draw_shapes
from kit.sums.sum_terms import Number, take_terms
from kit.sums.unit_sums import find_given, refuse_lost, say_ruler

ROOT2, ROOT3 = sqrt(2), sqrt(3)


def diamonds(
    height: Length | None = None,
    *,
    strip: Length | None = None,
    angle: Number = 60,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Diamonds cut from strips: the strip and the step along it; or what a strip finishes.

    Parameters
    ----------
    height
        Finished distance between two opposite sides.
    strip
        Cut strip on hand, in place of it.
    angle
        The sharp angle in degrees: 60, 45 or any other.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "strip", "step" (the cut side along the strip), "height", "side" finished; for 45° "star", the
        finished block of eight of them.

    Raises
    ------
    KitError
        Not exactly one size, or an angle out of range.

    Examples
    --------
    >>> diamonds("3 in")["strip"], round(diamonds("3 in", angle=45)["star"] / diamonds("3 in", angle=45)["side"], 4)
    (3.5, 3.4142)
    """
    terms = take_terms(height, strip, system=system, allowance=allowance)
    degrees = terms.number(angle, "angle", least=15, most=90)
    given = find_given(height=height, strip=strip)
    size = terms.length((height if given == "height" else strip) or 0, given)
    high = size if given == "height" else size - 2 * terms.allowance
    refuse_lost(high, "diamond", terms)
    side = high / sin(radians(degrees))
    lean = side * cos(radians(degrees))
    outline: Outline = ((0.0, 0.0), (side, 0.0), (side + lean, high), (lean, high))
    grown = offset_outline(outline, terms.allowance)
    step, wide = measure_edges(grown)[0], measure_box(grown)[3] - measure_box(grown)[1]
    figures: dict[str, Figure] = {"strip": wide, "step": step, "height": high, "side": side}
    says = [f"Cut strips {terms.say_cut(wide)}, then every {terms.say_cut(wide)} across at {degrees:g}°.",
            f"A diamond finishes {terms.say(round(side, 4))} along each side."]  # fmt: skip
    if abs(degrees - 45) < 1e-9:
        star = side * (2 + ROOT2)
        figures["star"] = star
        says.append(f"Eight of them make a star whose block finishes {terms.say(round(star, 4))}.")
    return SumAnswer(
        f"Diamonds of {degrees:g}° that finish {terms.say(high)} from side to side",
        tuple(says),
        (
            f"The strip is the finished height and {terms.say(2 * terms.allowance)}; the side grows to"
            f" {terms.say(step)}.",
        ),
        say_ruler(terms),
        figures,
        terms.system,
        draw_shapes([(grown, "cut")], f"A diamond cut from a strip of {terms.say(wide)}", dashed=[outline]),
    )


def hexagons(
    side: Length | None = None,
    *,
    across: Length | None = None,
    strip: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Hexagons: the strip and the cut side; or what a strip finishes.

    Parameters
    ----------
    side
        Finished side.
    across
        Finished distance between opposite sides, in place of it.
    strip
        Cut strip on hand, in place of both.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "strip", "cut side", "side", "across", "points" (corner to corner, finished).

    Raises
    ------
    KitError
        Not exactly one size.

    Examples
    --------
    >>> round(hexagons(strip="3 1/4 in")["across"], 4), round(hexagons("1 1/2 in")["strip"], 4)
    (2.75, 3.0981)
    """
    terms = take_terms(side, across, strip, system=system, allowance=allowance)
    given = find_given(side=side, across=across, strip=strip)
    size = terms.length({"side": side, "across": across, "strip": strip}[given] or 0, given)
    if given == "strip":
        size -= 2 * terms.allowance
        refuse_lost(size, "hexagon", terms)
    long = size if given == "side" else size / ROOT3
    outline = _ring(6, long, 0)
    grown = offset_outline(outline, terms.allowance)
    box = measure_box(grown)
    wide, edge = box[3] - box[1], measure_edges(grown)[0]
    return SumAnswer(
        f"Hexagons that finish {terms.say(round(long, 4))} along each side",
        (f"Cut strips {terms.say_cut(wide)}; each cut side measures {terms.say_cut(edge)}.",
         f"Finished: {terms.say(round(long * ROOT3, 4))} from side to side, {terms.say(round(2 * long, 4))} from corner"
         " to corner."),
        (f"From side to side: side × √3 = {terms.say(round(long * ROOT3, 4))}, and {terms.say(2 * terms.allowance)} for"
         " the seams.",),
        say_ruler(terms), {"strip": wide, "cut side": edge, "side": long, "across": long * ROOT3, "points": 2 * long},
        terms.system, draw_shapes([(grown, "cut")], f"A hexagon cut {terms.say(wide)} wide", dashed=[outline]),
    )  # fmt: skip


def octagons(
    across: Length | None = None,
    *,
    square: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Octagons in a square: the square to cut, what is cut off its corners, and the corner triangles.

    Parameters
    ----------
    across
        Finished distance between opposite sides: the block.
    square
        Cut square on hand, in place of it.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "square", "corner" (what is cut off along each side), "side" and "across" finished, "corner square"
        (cut once for two corner triangles).

    Raises
    ------
    KitError
        Not exactly one size.

    Examples
    --------
    >>> answer = octagons("6 in")
    >>> answer["square"], round(answer["side"], 4), round(answer["corner"], 4)
    (6.5, 2.4853, 1.9038)
    """
    terms = take_terms(across, square, system=system, allowance=allowance)
    given = find_given(across=across, square=square)
    size = terms.length((across if given == "across" else square) or 0, given)
    block = size if given == "across" else size - 2 * terms.allowance
    refuse_lost(block, "octagon", terms)
    side = block * tan(pi / 8)
    leg = (block - side) / 2
    outline: Outline = (
        (leg, 0.0), (leg + side, 0.0), (block, leg), (block, leg + side), (leg + side, block), (leg, block),
        (0.0, leg + side), (0.0, leg),
    )  # fmt: skip
    grown = offset_outline(outline, terms.allowance)
    box = measure_box(grown)
    cut, edge = box[2] - box[0], measure_edges(grown)[0]
    off = (cut - edge) / 2
    corner = cut_alone(((0.0, 0.0), (leg, 0.0), (0.0, leg)), terms).cut["square"]
    return SumAnswer(
        f"Octagons that finish {terms.say(block)} across",
        (f"Cut squares {terms.say_cut(cut)} and cut {terms.say(round(off, 4))} off both sides of every corner.",
         f"Corner triangles: two squares {terms.say_cut(corner)}, cut once.",
         f"Each side finishes {terms.say(round(side, 4))}."),
        (f"The side is the width ÷ (1 + √2): {terms.say(block)} ÷ 2.4142 = {terms.say(round(side, 4))}.",),
        say_ruler(terms), {"square": cut, "corner": off, "side": side, "across": block, "corner square": corner},
        terms.system, draw_shapes([(grown, "octagon")], f"An octagon cut {terms.say(cut)} wide", dashed=[outline]),
    )  # fmt: skip


def kites(
    length: Length, width: Length, shoulder: Length, *, sizes: str = "finished", allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:  # fmt: skip
    """Kites: the cut size of a kite that lies along its axis; or what a cut kite finishes.

    Parameters
    ----------
    length
        Length from the long point to the short one.
    width
        Width at the widest place.
    shoulder
        Distance of the widest place from the long point.
    sizes
        "finished" or "cut": which of them these are.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "length", "width", "shoulder" as cut; "finished length", "finished width", "long side", "short side".

    Raises
    ------
    KitError
        A widest place outside the kite, or a kite lost in its seams.

    Examples
    --------
    >>> answer = kites("4 in", "2 in", "3 in")
    >>> round(answer["length"], 3), round(answer["width"], 3)
    (5.144, 2.572)
    >>> round(kites("5.144 in", "2.572 in", "3.858 in", sizes="cut")["finished length"], 2)
    4.0
    """
    terms = take_terms(length, width, shoulder, system=system, allowance=allowance)
    long, wide = terms.length(length, "length"), terms.length(width, "width")
    place = terms.length(shoulder, "shoulder")
    if not 0 < place < long:
        raise KitError(f"the widest place lies {terms.say(place)} from the point of a kite {terms.say(long)} long",
                       needed="a place within the kite", do="correct one of the two")  # fmt: skip
    if sizes not in ("finished", "cut"):
        raise KitError(f"sizes `{sizes!s:.30}`", needed="finished or cut", do="write one of these")
    given: Outline = ((0.0, 0.0), (wide / 2, place), (0.0, long), (-wide / 2, place))
    turned = offset_outline(given, terms.allowance if sizes == "finished" else -terms.allowance)
    outline, grown = (given, turned) if sizes == "finished" else (turned, given)
    if measure_area(outline) <= 0 or outline[1][0] <= 0 or not outline[0][1] < outline[1][1] < outline[2][1]:
        raise KitError("the kite has nothing left between its seams", needed="a larger one", do="correct its sizes")
    long, wide = outline[2][1] - outline[0][1], 2 * outline[1][0]
    left, bottom, right, top = measure_box(grown)
    edges = measure_edges(outline)
    widest = next(y for x, y in grown if abs(x - right) < 1e-6)
    figures: dict[str, Figure] = {
        "length": top - bottom, "width": right - left, "shoulder": widest - bottom,
        "long side": max(edges[:2]), "short side": min(edges[:2]), "finished length": long, "finished width": wide,
    }  # fmt: skip
    return SumAnswer(
        f"Kites that finish {terms.say(round(long, 4))} long and {terms.say(round(wide, 4))} wide",
        (*([f"It finishes {terms.say(round(long, 3))} by {terms.say(round(wide, 3))}."] if sizes == "cut" else []),
         f"Cut {terms.say_cut(top - bottom)} long and {terms.say_cut(right - left)} wide, widest"
         f" {terms.say_cut(widest - bottom)} from the long point."),
        ("Every side moves out by the allowance; the points reach farther.",), say_ruler(terms), figures, terms.system,
        draw_shapes([(grown, "cut")], "A kite with its seam line", dashed=[outline]),
    )  # fmt: skip


def _ring(corners: int, radius: float, start: float) -> Outline:
    return tuple(
        (radius * cos(start + 2 * pi * k / corners), radius * sin(start + 2 * pi * k / corners)) for k in range(corners)
    )
