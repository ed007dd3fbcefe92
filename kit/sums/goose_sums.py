"""Sums on geese, half rectangles and a square in a square; forwards and backwards."""

from kit.errors import KitError
from kit.geometry.outlines import Outline, make_rectangle
from kit.lengths import Length
from kit.planning.batches.ways_of_making import list_ways
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import cut_alone, stack_up
from kit.sums.sum_terms import Number, Size, SumTerms, take_terms
from kit.sums.unit_sums import find_given, find_way_cloth, refuse_lost, say_ruler, undo_cut


def geese(
    finished: Size | None = None,
    *,
    unfinished: Size | None = None,
    large: Length | None = None,
    count: Number = 4,
    width: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Flying geese: the squares for four at a time and for each other way; or what a large square finishes.

    Parameters
    ----------
    finished, unfinished
        Size in the quilt, or with its allowances, twice as wide as high: "4 x 2 in".
    large
        The large square on hand, in place of both.
    count, width, allowance, system
        As for `half_squares`.

    Returns
    -------
    SumAnswer
        Figures: "large", "small" exact; "large cut", "small cut" on the ruler; "width", "height" finished.

    Raises
    ------
    KitError
        Not exactly one size, or a goose that is not twice as wide as high.

    Examples
    --------
    >>> answer = geese(unfinished="4 1/2 x 2 1/2 in")
    >>> answer["large cut"], answer["small cut"], answer["height"]
    (5.25, 2.875, 2.0)
    """
    terms = take_terms(finished, unfinished, large, system=system, width=width, allowance=allowance)
    given = find_given(finished=finished, unfinished=unfinished, large=large)
    if given == "large":
        side = terms.length(large or 0, "large square")
        high = undo_cut(lambda h: find_way_cloth("geese", h, terms, "four at a time", 0), side, "large square", terms)
        wide = 2 * high
    else:
        wide, high = terms.size((unfinished if given == "unfinished" else finished) or 0, "goose")
        if given == "unfinished":
            wide, high = wide - 2 * terms.allowance, high - 2 * terms.allowance
        if abs(wide - 2 * high) > 0.01:
            raise KitError(f"a goose that finishes {terms.say_size((wide, high))} is not twice as wide as high",
                           needed="twice as wide as high", do="ask for its triangles one by one")  # fmt: skip
    ways = list_ways("geese", high, terms.count(count, "count"), allowance=terms.allowance, step=terms.step,
                     width=terms.usable)  # fmt: skip
    four = next(way for way in ways if way.name == "four at a time")
    exact = [cloth.width for cloth in four.cloths]
    a2 = 2 * terms.allowance
    figures: dict[str, Figure] = {
        "width": wide, "height": high, "large": exact[0], "small": exact[1],
        "large cut": terms.up(exact[0]), "small cut": terms.up(exact[1]), "batches": four.batches,
    }  # fmt: skip
    says = [
        f"Four at a time: one square {terms.say_cut(exact[0])} and four squares {terms.say_cut(exact[1])}.",
        f"Each goose finishes {terms.say_size((wide, high))}; unfinished {terms.say_size((wide + a2, high + a2))}.",
    ]
    flip = next(way for way in ways if way.name == "stitch and flip")
    body, corner = flip.cloths
    working = [
        f"The large square is a quarter-square: the finished width and {terms.say(round(exact[0] - wide, 4))}.",
        f"The small ones are half-squares: the finished height and {terms.say(round(exact[1] - high, 4))}.",
        f"{four.batches} batches for {count} geese.",
        f"Stitch and flip: a rectangle {terms.say_size((terms.up(body.width), terms.up(body.height)))}, two squares"
        f" {terms.say(terms.up(corner.width))}.",
    ]
    goose = [((0.0, 0.0), (wide, 0.0), (wide / 2, high)), ((0.0, 0.0), (wide / 2, high), (0.0, high)),
             ((wide, 0.0), (wide, high), (wide / 2, high))]  # fmt: skip
    unit = list(zip(goose, ("goose", "sky", "sky"), strict=True))
    return SumAnswer(
        f"Geese that finish {terms.say_size((wide, high))}", tuple(says), tuple(working), say_ruler(terms), figures,
        terms.system, stack_up([
            ([(make_rectangle(0, 0, exact[0], exact[0]), "goose")], f"1 × {terms.say(terms.up(exact[0]))}"),
            ([(make_rectangle(0, 0, exact[1], exact[1]), "sky")], f"4 × {terms.say(terms.up(exact[1]))}"),
            (unit, "finished"),
        ], f"A goose that finishes {terms.say_size((wide, high))} and its squares"),
    )  # fmt: skip


def half_rectangles(
    finished: Size | None = None,
    *,
    unfinished: Size | None = None,
    rectangle: Size | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Half-rectangle units: the rectangle that is cut on its diagonal; or what a rectangle finishes.

    Parameters
    ----------
    finished, unfinished
        Size in the quilt, or with its allowances.
    rectangle
        Cut rectangle on hand, in place of both.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "short", "long": the exact sides to cut; "width", "height" finished.

    Raises
    ------
    KitError
        Not exactly one size, or a rectangle lost in its seams.

    Examples
    --------
    >>> answer = half_rectangles("2 x 4 in")
    >>> round(answer["short"], 4), round(answer["long"], 4)
    (2.6545, 5.309)
    """
    terms = take_terms(finished, unfinished, rectangle, system=system, allowance=allowance)
    given = find_given(finished=finished, unfinished=unfinished, rectangle=rectangle)
    a2 = 2 * terms.allowance
    if given == "rectangle":
        cut = sorted(terms.size(rectangle or 0, "rectangle"))
        high = undo_cut(lambda h: _cut_half_rectangle(h, h * cut[1] / cut[0], terms)[0], cut[0], "rectangle", terms)
        size = (high, high * cut[1] / cut[0])
    else:
        both = terms.size((unfinished if given == "unfinished" else finished) or 0, "unit")
        lost = a2 if given == "unfinished" else 0.0
        size = (min(both) - lost, max(both) - lost)
        refuse_lost(min(size), "unit", terms)
    short, long = _cut_half_rectangle(*size, terms)
    triangle: Outline = ((0.0, 0.0), (size[1], 0.0), (0.0, size[0]))
    other: Outline = ((size[1], 0.0), (size[1], size[0]), (0.0, size[0]))
    figures: dict[str, Figure] = {"short": short, "long": long, "width": size[1], "height": size[0]}
    return SumAnswer(
        f"Half-rectangle units that finish {terms.say_size(size)}",
        (
            f"Cut rectangles {terms.say_cut(short)} by {terms.say_cut(long)}, each once on its diagonal.",
            f"A unit finishes {terms.say_size(size)}; unfinished {terms.say_size((size[0] + a2, size[1] + a2))}.",
        ),
        (
            f"The finished triangle grows by {terms.say(terms.allowance)} on every side, so both legs grow by one"
            f" factor: {short / size[0]:.4f}.",
            "Half of the rectangles are cut on the other diagonal if units mirror one another.",
        ),
        say_ruler(terms),
        figures,
        terms.system,
        stack_up(
            [
                (
                    [(make_rectangle(0, 0, long, short), "light")],
                    f"{terms.say(terms.up(short))} × {terms.say(terms.up(long))}",
                ),
                ([(triangle, "light"), (other, "dark")], "finished"),
            ],
            "The rectangle and the unit",
        ),
    )


def square_in_square(
    finished: Length | None = None,
    *,
    inner: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """A square in a square: the square inside, and the squares cut once on the diagonal for its corners.

    Parameters
    ----------
    finished
        Size of the whole unit in the quilt.
    inner
        Finished side of the inner square, in place of it.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "inner cut", "corner" (exact), "finished", "inner".

    Raises
    ------
    KitError
        Not exactly one size.

    Examples
    --------
    >>> round(square_in_square(inner="4 in")["corner"], 4)
    3.682
    """
    terms = take_terms(finished, inner, system=system, allowance=allowance)
    given = find_given(finished=finished, inner=inner)
    side = terms.length((finished if given == "finished" else inner) or 0, given)
    inside = side / 2**0.5 if given == "finished" else side
    whole = inside * 2**0.5
    half = whole / 2
    corner: Outline = ((0.0, 0.0), (half, 0.0), (0.0, half))
    cut = cut_alone(corner, terms).cut["square"]
    centre = cut_alone(make_rectangle(0, 0, inside, inside), terms).cut["side"]
    turned: Outline = ((half, 0.0), (whole, half), (half, whole), (0.0, half))
    corners = [corner, ((half, 0.0), (whole, 0.0), (whole, half)), ((whole, half), (whole, whole), (half, whole)),
               ((0.0, half), (half, whole), (0.0, whole))]  # fmt: skip
    return SumAnswer(
        f"A square in a square that finishes {terms.say(whole)}",
        (f"Inside: a square {terms.say_cut(centre)}. Corners: two squares {terms.say_cut(cut)}, cut once.",),
        (f"The inner square finishes {terms.say(inside)}: the whole ÷ √2.",
         f"A corner has short sides of {terms.say(half)}, and as a half-square grows to {terms.say(cut)}."),
        say_ruler(terms), {"inner": inside, "finished": whole, "inner cut": centre, "corner": cut}, terms.system,
        stack_up([([(turned, "inside"), *((one, "corner") for one in corners)], f"finished {terms.say(whole)}")],
                 "A square in a square"),
    )  # fmt: skip


def _cut_half_rectangle(short: float, long: float, terms: SumTerms) -> tuple[float, float]:
    outline: Outline = ((0.0, 0.0), (long, 0.0), (0.0, short))
    if long - short < 1e-3:
        side = cut_alone(outline, terms).cut
        leg = side.get("square", 0.0)
        return leg, leg
    cut = cut_alone(outline, terms).cut
    return cut["short leg"], cut["long leg"]
