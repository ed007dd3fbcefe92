"""Beds: the sizes of mattresses, and the finished size of a quilt that hangs from one.

The sizes are data for you to edit and extend: `data/published/bed_batting_sizes.csv`, each row with its source.
"""

import csv
import os
from difflib import get_close_matches
from pathlib import Path

from kit.errors import KitError
from kit.lengths import CM, Length, take_length, write_length, write_refused
from kit.model.fits import Target
from kit.planning.finishing.care import enlarge_for_loss, spread_bed
from kit.shipped import find_shipped

SIZES = find_shipped("data/published/bed_batting_sizes.csv")
CRIB = (
    "A quilt of crib size: bedding does not belong in an infant's sleep space; follow current paediatric and local"
    " guidance. It may serve on the floor, on a wall or later in life."
)
LARGEST = 400.0
"""Inches: a larger wanted size is taken for a slip of the pen."""


def read_beds(path: str | os.PathLike[str] = SIZES) -> dict[str, tuple[float, float]]:
    """Return the beds of a table: name -> (width, length) of the mattress in inches.

    Parameters
    ----------
    path
        A table with the columns item, width and length. Items that end in "mattress" are beds, in inches; with "(cm)"
        at the end they are in centimetres. Lines that begin with # are comments.

    Raises
    ------
    KitError
        A table that cannot be read, or a row without numbers.

    Examples
    --------
    >>> beds = read_beds()
    >>> beds["queen"], [round(inches, 2) for inches in beds["UK king"]]
    ((60.0, 80.0), [59.06, 78.74])
    """
    try:
        lines = Path(path).read_text(encoding="utf-8").splitlines()
    except (OSError, ValueError) as error:
        raise KitError(
            f"The table of beds {Path(path).name} cannot be read ({error.__class__.__name__})",
            needed="a table with the columns item, width and length",
            do="give the mattress as (width, length)",
        ) from None
    beds: dict[str, tuple[float, float]] = {}
    for row in csv.DictReader(line for line in lines if line.strip() and not line.startswith("#")):
        item = row.get("item") or ""
        name = item.removesuffix(" mattress").removesuffix(" (cm)")
        if name == item:
            continue
        unit = CM if item.endswith(" (cm)") else 1.0
        try:
            beds[name] = float(row["width"]) * unit, float(row["length"]) * unit
        except (KeyError, TypeError, ValueError):
            raise KitError(
                f"{Path(path).name}: `{item:.60}` has no width and length", needed="two numbers", do="correct that row"
            ) from None
    return beds


def aim(
    width: Length | None = None,
    height: Length | None = None,
    *,
    bed: str | tuple[Length, Length] | None = None,
    drop: Length = 14.0,
    foot: Length | None = None,
    tuck: Length = 0.0,
    shrinkage: float | tuple[float, float] = 0.0,
    tolerance: Length = 2.0,
) -> Target:
    """Return the wanted finished size: typed, or from a bed, enlarged by the loss in washing.

    Parameters
    ----------
    width, height
        The size, inches or a text with a unit; left out if a bed is given.
    bed
        The name of a bed of `read_beds`, or (width, length) of a mattress.
    drop, foot, tuck
        The drop at the sides and at the foot (left out: as at the sides), and the tuck.
    shrinkage
        The part lost in quilting and washing, 0.05 for five in a hundred; or (of the width, of the height).
    tolerance
        The most by which the top may be off either way.

    Raises
    ------
    KitError
        Neither or both of size and bed, a bed missing from the table, or a length that is not positive.

    Notes
    -----
    A drop of 14 in is common practice for a quilt that leaves the bed's frame visible, as in
    `data/published/bed_drop_table.csv`.

    Examples
    --------
    >>> target = aim(bed="queen", drop="14 in")
    >>> target.width, target.height
    (88.0, 94.0)
    >>> round(aim("90 in", "90 in", shrinkage=0.05).width, 2)
    94.74
    """
    reasons: list[str] = []
    if bed is None:
        if width is None or height is None:
            raise KitError(
                "No size is given", needed="a width and a height, or a bed", do='write for instance bed="queen"'
            )
        size = _read("width", width), _read("height", height)
        reasons.append(f"Wanted: {write_length(size[0])} × {write_length(size[1])} finished")
    else:
        if width is not None or height is not None:
            raise KitError("A size and a bed are given", needed="one of the two", do="leave one out")
        name, mattress = _find_bed(bed)
        hang, end, under = _read("drop", drop), None if foot is None else _read("foot", foot), _read("tuck", tuck)
        size = spread_bed(mattress, hang, foot=end, tuck=under)
        reasons.append(
            f"{name}: mattress {write_length(mattress[0])} × {write_length(mattress[1])}, drop {write_length(hang)} at"
            f" the sides and {write_length(hang if end is None else end)} at the foot"
            + (f", {write_length(under)} to tuck" if under else "")
        )
    losses = shrinkage if isinstance(shrinkage, tuple) else (shrinkage, shrinkage)
    wanted = enlarge_for_loss(size[0], losses[0]), enlarge_for_loss(size[1], losses[1])
    if any(losses):
        reasons.append(f"Enlarged for a loss of {100 * losses[0]:g} % in width and {100 * losses[1]:g} % in height")
    off = _read("tolerance", tolerance)
    for what, inches in zip(("width", "height"), wanted, strict=True):
        if not 1 <= inches <= LARGEST:
            raise KitError(
                f"The wanted {what} is {write_refused(inches)}",
                needed=f"from {write_refused(1)} to {write_refused(LARGEST)}",
                do="correct the size",
            )
    cautions = (CRIB,) if _is_crib(bed, size) else ()
    return Target(*wanted, off, tuple(reasons), cautions)


def _is_crib(bed: object, size: tuple[float, float]) -> bool:
    short, long = sorted(size)
    return (isinstance(bed, str) and "crib" in bed) or (short <= 48 and long <= 60)


def _find_bed(bed: str | tuple[Length, Length]) -> tuple[str, tuple[float, float]]:
    if not isinstance(bed, str):
        width, length = bed
        return "A bed", (_read("bed", width), _read("bed", length))
    beds = read_beds()
    if bed not in beds:
        near = get_close_matches(bed, beds, n=1)
        raise KitError(
            f"There is no bed `{bed:.60}` in the table",
            needed=", ".join(beds),
            do=f"is `{near[0]}` meant?" if near else "give the mattress as (width, length)",
        )
    return bed[:1].upper() + bed[1:], beds[bed]


def _read(what: str, value: Length) -> float:
    """Return inches of a number or a text."""
    inches = take_length(value, what)
    if not 0 <= inches < 1_000:
        needed = f"zero to {write_refused(1_000, form=',.0f')}"
        raise KitError(f"`{what}` is {write_refused(inches)}", needed=needed, do="correct it")
    return inches
