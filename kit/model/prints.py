"""Prints: how often the motif of a cloth comes back, where it lies, and which way its stripes run."""

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from kit.errors import KitError
from kit.lengths import find_system, write_exact

Stripes: TypeAlias = Literal["along", "across"]
"""Which way stripes run: along the cloth, parallel to the selvages, or across it."""
STRIPES: tuple[str, ...] = get_args(Stripes)
FEWEST_LAYERS, MOST_LAYERS = 2, 12
"""Layers of one stack; a rotary cutter takes no more (common practice, no source)."""


@dataclass(frozen=True)
class PrintRepeat:
    """The repeat of a print after washing, inches; None in a direction in which the print looks alike everywhere.

    Attributes
    ----------
    along, across
        Inches from one motif to the next, along the cloth and across it.
    motif_along, motif_across
        The middle of the motif, from where a repeat begins and from the left edge of the usable width; None: any place,
        as long as it is the same one in all pieces of a shape.
    """

    along: float | None = None
    across: float | None = None
    motif_along: float | None = None
    motif_across: float | None = None


def find_print_repeat(
    repeat: float | None, repeat_across: float | None, motif: tuple[float | None, float | None],
    stripes: Stripes | None, shrinkage: float = 0.0,
) -> PrintRepeat | None:  # fmt: skip
    """Return the repeat that pieces have to keep, None where the print does not matter.

    A `repeat` alone holds in both directions. Stripes along the cloth look alike all along it, so that only the repeat
    across counts; stripes across it the other way round. Cloth that shrinks takes its print with it.

    Examples
    --------
    >>> find_print_repeat(24.0, None, (None, None), None)
    PrintRepeat(along=24.0, across=24.0, motif_along=None, motif_across=None)
    >>> find_print_repeat(24.0, 6.0, (None, 3.0), "along").across
    6.0
    """
    if repeat is None and repeat_across is None:
        return None
    keeps = 1 - shrinkage

    def shrink(inches: float | None) -> float | None:
        return None if inches is None else inches * keeps

    along = None if stripes == "along" else repeat
    across = None if stripes == "across" else repeat if repeat_across is None else repeat_across
    return PrintRepeat(shrink(along), shrink(across), *(shrink(inches) for inches in motif))


def check_print(
    who: str, form: str, repeat: float | None, repeat_across: float | None,
    motif: tuple[float | None, float | None], stripes: str | None, stack: int | None,
) -> None:  # fmt: skip
    """Refuse facts about a print that contradict one another; lengths in inches.

    Raises
    ------
    KitError
        Names the cloth, the key, and what to do.
    """
    if stripes is not None and stripes not in STRIPES:
        raise KitError(
            f"{who} has stripes `{stripes}`", needed="`along` (parallel to the selvages) or `across`",
            do="write which way the stripes run in the cloth",
        )  # fmt: skip
    if repeat_across is not None and repeat is None and stripes != "along":
        raise KitError(
            f"{who} has `repeat_across` and no `repeat`", needed="the repeat along the cloth too",
            do='add `repeat`, or stripes = "along" for a print that looks alike all along',
        )  # fmt: skip
    _check_motif(who, "motif_along", motif[0], None if stripes == "along" else repeat)
    across = repeat if repeat_across is None else repeat_across
    _check_motif(who, "motif_across", motif[1], None if stripes == "across" else across)
    if stack is not None:
        _check_layers(who, stack)
        _check_stack(who, form, repeat, motif, stripes)


def _check_motif(who: str, key: str, length: float | None, room: float | None) -> None:
    """Refuse a motif outside its repeat."""
    if length is None:
        return
    if room is None:
        way = key.removeprefix("motif_")
        raise KitError(
            f"{who} has `{key}` and no repeat {way} the cloth", needed="a print that repeats in that direction",
            do=f"add `repeat`, or leave `{key}` out",
        )  # fmt: skip
    if not 0 <= length < room:
        system = find_system()
        raise KitError(
            f"{who} has the `{key}` {write_exact(length, system)} in a repeat of {write_exact(room, system)}",
            needed="a place within the repeat, from its beginning to the middle of the motif",
            do=f"write a `{key}` from {write_exact(0, system)} to less than {write_exact(room, system)}",
        )


def _check_layers(who: str, stack: int) -> None:
    if isinstance(stack, bool) or not isinstance(stack, int) or not FEWEST_LAYERS <= stack <= MOST_LAYERS:
        raise KitError(
            f"{who} is cut in a stack of {stack} layers",
            needed=f"a whole number of layers from {FEWEST_LAYERS} to {MOST_LAYERS}",
            do="write for instance stack = 6 for sets of six pieces alike",
        )


def _check_stack(
    who: str, form: str, repeat: float | None, motif: tuple[float | None, float | None], stripes: str | None
) -> None:
    reasons = (
        (form != "yardage", f"is cut in a stack and comes as {form}, which has no whole repeats",
         "yardage", 'write form = "yardage", or leave `stack` out'),
        (repeat is None, "is cut in a stack and has no `repeat`", "the repeat along the cloth", "add `repeat`"),
        (stripes == "along", "is cut in a stack, and its stripes look alike all along the cloth",
         "a print that repeats along the cloth", "leave `stack` out: every piece of a stripe is alike anyway"),
        (motif != (None, None), "has both `stack` and the place of a motif",
         "one of them: layers of a stack show sets alike, a motif in its place makes every piece alike",
         "leave out `stack`, or `motif_along` and `motif_across`"),
    )  # fmt: skip
    for wrong, found, needed, do in reasons:
        if wrong:
            raise KitError(f"{who} {found}", needed=needed, do=do)
