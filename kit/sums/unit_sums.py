"""Sums on units: half and quarter squares, geese, half rectangles, a square in a square; forwards and backwards."""

from collections.abc import Callable, Sequence
from functools import partial

from kit.errors import KitError
from kit.geometry.outlines import Outline, make_rectangle, move_outline
from kit.lengths import SLACK, Length
from kit.model.making import Way
from kit.planning.batches.ways_of_making import BatchUnit, list_ways
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import stack_up
from kit.sums.sum_terms import Number, SumTerms, take_terms

Cuts = Callable[[float], float]
"""The exact cut size of a finished size."""


def half_squares(
    finished: Length | None = None,
    *,
    unfinished: Length | None = None,
    square: Length | None = None,
    count: Number = 1,
    oversize: Length = 0,
    width: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Half-square units: the squares to cut by each way of making them; or what a square finishes.

    Parameters
    ----------
    finished, unfinished
        Size of the unit in the quilt, or with its allowances; one of them.
    square
        Cut square on hand, in place of both: the answer is what it finishes, one by one, two, four and eight at a time.
    count
        Units needed.
    oversize
        Extra size that is trimmed away.
    width, allowance, system
        Usable width of the cloth; seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: the way -> exact cut size; "finished", "unfinished"; "cloth" of the way with least. Backwards: the way
        -> finished size.

    Raises
    ------
    KitError
        Not exactly one size, or a square lost in its seams.

    Examples
    --------
    >>> round(half_squares(unfinished="3 1/2 in")["four at a time"], 3)
    5.45
    >>> round(half_squares(square="5 in")["two at a time"], 4)
    4.1464
    """
    terms = take_terms(finished, unfinished, square, system=system, width=width, allowance=allowance)
    return _ask_unit("half-square", finished, unfinished, square, count, oversize, terms)


def quarter_squares(
    finished: Length | None = None,
    *,
    unfinished: Length | None = None,
    square: Length | None = None,
    count: Number = 1,
    oversize: Length = 0,
    width: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Quarter-square units: the squares to cut by each way of making them; or what a square finishes.

    Parameters
    ----------
    finished, unfinished, square, count, oversize, width, allowance, system
        As for `half_squares`.

    Returns
    -------
    SumAnswer
        As for `half_squares`.

    Raises
    ------
    KitError
        As for `half_squares`.

    Examples
    --------
    >>> round(quarter_squares("3 in")["one by one"], 4), quarter_squares(square="4 1/4 in")["unfinished"] > 3.5
    (4.2071, True)
    """
    terms = take_terms(finished, unfinished, square, system=system, width=width, allowance=allowance)
    return _ask_unit("quarter-square", finished, unfinished, square, count, oversize, terms)


def find_given(**given: object) -> str:
    """Return the name of the one value that is given."""
    found = [name for name, value in given.items() if value not in (None, "")]
    if len(found) != 1:
        raise KitError(f"{' and '.join(found) or 'nothing'} is given", needed=f"one of {', '.join(given)}",
                       do="give one alone")  # fmt: skip
    return found[0]


def refuse_lost(size: float, what: str, terms: SumTerms) -> None:
    """Refuse a finished size that is zero or less."""
    if size <= SLACK:
        raise KitError(f"the {what} has nothing left between its seams of {terms.say(terms.allowance)}",
                       needed=f"more than {terms.say(2 * terms.allowance)}", do="give a larger one")  # fmt: skip


def say_ruler(terms: SumTerms) -> tuple[str, ...]:
    """Say the allowance and the marks of the ruler."""
    return (f"Allowance {terms.say(terms.allowance)}; cut sizes are rounded up to {terms.say(terms.step)}.",)


def undo_cut(cuts: Cuts, wanted: float, what: str, terms: SumTerms) -> float:
    """Return the finished size whose cut is wanted: the cut grows evenly with it."""
    low, high = 20.0, 40.0
    rise = (cuts(high) - cuts(low)) / (high - low)
    found = low + (wanted - cuts(low)) / rise
    if found <= SLACK:
        raise KitError(
            f"a {what} of {terms.say(wanted)} is lost in the seams", needed="a larger one", do="cut it larger"
        )
    return found


def find_way_cloth(unit: BatchUnit, finished: float, terms: SumTerms, name: str, part: int) -> float:
    """Return the exact cut width of one of the cloths of a way of making a unit."""
    ways = list_ways(unit, finished, 1, allowance=terms.allowance, step=terms.step, width=terms.usable)
    return next(way for way in ways if way.name == name).cloths[part].width


def _ask_unit(
    unit: BatchUnit, finished: Length | None, unfinished: Length | None, square: Length | None, count: Number,
    oversize: Length, terms: SumTerms,
) -> SumAnswer:  # fmt: skip
    given = find_given(finished=finished, unfinished=unfinished, square=square)
    if given == "square":
        return _undo_unit(unit, terms.length(square or 0, "square"), terms)
    size = terms.length((unfinished if given == "unfinished" else finished) or 0, given)
    size -= 2 * terms.allowance if given == "unfinished" else 0.0
    refuse_lost(size, "unit", terms)
    needed, more = terms.count(count, "count"), terms.length(oversize, "oversize", zero_allowed=True)
    ways = list_ways(unit, size, needed, allowance=terms.allowance, step=terms.step, width=terms.usable, oversize=more)
    figures: dict[str, Figure] = {"finished": size, "unfinished": size + 2 * terms.allowance}
    figures |= {way.name: way.cloths[0].width for way in ways}
    figures |= {f"{way.name}, cut": terms.up(way.cloths[0].width) for way in ways}
    least = min((way for way in ways if not way.bias), key=lambda way: way.cloth)
    figures["cloth"] = least.cloth
    says = [_say_way(way, terms) for way in ways]
    working = [
        f"Unfinished, the unit measures {terms.say(size + 2 * terms.allowance)}; trim it to that.",
        f"Least cloth: {least.name}, {terms.say(least.cloth)} of the width.",
        *(f"{way.name.capitalize()}: every outer edge lies on the bias." for way in ways if way.bias),
    ]
    first = ways[0].cloths[0].width
    return SumAnswer(
        f"{unit.capitalize()} units that finish {terms.say(size)}, {needed} of them", tuple(says), tuple(working),
        (*say_ruler(terms), f"Cloth {terms.say(terms.usable)} wide."), figures, terms.system,
        stack_up([([(make_rectangle(0, 0, first, first), "first")], f"cut {terms.say(terms.up(first))}"),
                  (_draw_unit(unit, size), f"finished {terms.say(size)}")], f"A {unit} unit and its square"),
    )  # fmt: skip


def _say_way(way: Way, terms: SumTerms) -> str:
    said = f"{way.name.capitalize()}: squares {terms.say_cut(way.cloths[0].width)}"
    return f"{said}, {way.batches} of each fabric" if way.batches > 1 else said


def _undo_unit(unit: BatchUnit, side: float, terms: SumTerms) -> SumAnswer:
    """Say what a cut square finishes by each way."""
    names = [way.name for way in list_ways(unit, 3.0, 1, allowance=terms.allowance)]
    figures: dict[str, Figure] = {}
    says = []
    for name in names:
        try:
            size = undo_cut(partial(_cut_by, unit, terms, name), side, "square", terms)
        except KitError:
            says.append(f"{name.capitalize()}: the square is lost in the seams.")
            continue
        figures[name] = size
        says.append(f"{name.capitalize()}: finishes {terms.say(round(size, 6))}, unfinished"
                    f" {terms.say(round(size + 2 * terms.allowance, 6))}.")  # fmt: skip
    if not figures:
        raise KitError(f"a square of {terms.say(side)} is lost in the seams", needed="a larger one", do="cut it larger")
    first = float(figures[names[0]]) if names[0] in figures else float(next(iter(figures.values())))  # type: ignore[arg-type]
    figures |= {"finished": first, "unfinished": first + 2 * terms.allowance}
    return SumAnswer(
        f"What a square of {terms.say(side)} finishes as {unit} units",
        tuple(says),
        ("The same sums as for cutting, turned round.",),
        say_ruler(terms),
        figures,
        terms.system,
        stack_up(
            [
                ([(make_rectangle(0, 0, side, side), "first")], f"cut {terms.say(side)}"),
                (_draw_unit(unit, first), f"finished {terms.say(round(first, 4))}"),
            ],
            f"A square and its {unit} unit",
        ),
    )


def _cut_by(unit: BatchUnit, terms: SumTerms, name: str, finished: float) -> float:
    return find_way_cloth(unit, finished, terms, name, 0)


def _draw_unit(unit: BatchUnit, size: float) -> Sequence[tuple[Outline, str]]:
    corners: Outline = ((0.0, 0.0), (size, 0.0), (size, size), (0.0, size))
    if unit == "half-square":
        return [((corners[0], corners[1], corners[3]), "first"), ((corners[1], corners[2], corners[3]), "second")]
    middle = (size / 2, size / 2)
    return [
        (move_outline((corners[k], corners[(k + 1) % 4], middle), 0, 0), ("first", "second")[k % 2]) for k in range(4)
    ]
