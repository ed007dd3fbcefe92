"""Lengths, areas and places in what is refused: decimals, in the system in use (`use_system`)."""

from kit.lengths.systems import CM
from kit.lengths.writing import find_system

_FINE = 0.1
"""Centimetres below which a length has two figures that count in place of two decimals, so that none reads as zero."""


def write_refused(*inches: float, form: str = "g", joint: str = " x ") -> str:
    """Write a length, or the sides of a shape, in decimals and in the system in use: what is refused.

    Parameters
    ----------
    inches
        The lengths.
    form
        How the figures are formatted; "g" gives at most two decimals in centimetres.
    joint
        What stands between two lengths.

    Examples
    --------
    >>> write_refused(0.375), write_refused(6, 4)
    ('0.375 in', '6 x 4 in')
    """
    said = joint.join(number_refused(one, form) for one in inches)
    return f"{said} {'cm' if find_system() == 'metric' else 'in'}"


def number_refused(inches: float, form: str = "g") -> str:
    """Write a length as `write_refused` does, without its unit: where one unit stands for several lengths.

    Examples
    --------
    >>> number_refused(0.375)
    '0.375'
    """
    if find_system() != "metric":
        return f"{inches:{form}}"
    centimetres = inches / CM
    if form != "g":
        return f"{centimetres:{form}}"
    if 0 < abs(centimetres) < _FINE:
        return f"{centimetres:.2g}"
    return f"{centimetres:.2f}".rstrip("0").removesuffix(".")


def write_refused_area(*square_inches: float, form: str, joint: str = " and ") -> str:
    """Write an area, or several, in square inches or square centimetres, whichever is in use.

    Examples
    --------
    >>> write_refused_area(0.125, form=".4f")
    '0.1250 square inches'
    """
    metric = find_system() == "metric"
    said = joint.join(f"{one / CM**2 if metric else one:{form}}" for one in square_inches)
    return f"{said} square {'centimetres' if metric else 'inches'}"


def write_refused_place(place: tuple[float, float]) -> str:
    """Write a place of a design, both distances in the system in use.

    Examples
    --------
    >>> write_refused_place((3.0, 4.5))
    '(3, 4.5)'
    """
    return f"({', '.join(number_refused(one) for one in place)})"
