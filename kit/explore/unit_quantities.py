"""The quantities of a study of units: of each unit its counts and lengths, and the lengths that units share.

They follow from the study at hand. A length that is written by a name, by strips or by an edge follows other lengths
and has no control: moving one would cut that tie.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from kit.designs import BLOCK_FAMILIES
from kit.errors import LengthError
from kit.explore.quantities import DESIGN, Quantity
from kit.lengths import read_length

WIDEST = 36.0
"""Inches of the longest length that a slider offers."""
COUNTS = ("columns", "rows", "across", "down")
"""Keys of units put together that hold a count where a study gives one."""


def list_quantities(keys: Mapping[str, Any]) -> tuple[Quantity, ...]:
    """Return the quantities of the design of a study: those of its family, and of its units.

    Parameters
    ----------
    keys
        Of the whole study.

    Examples
    --------
    >>> keys = {"design": {"family": "units"}, "unit": {"arm": {"family": "braid", "strip_cut": "2 strips"}}}
    >>> [quantity.label for quantity in list_quantities(keys)][:3]
    ['Arm: columns', 'Arm: pairs', 'Arm: length, finished']
    """
    design = keys["design"]
    found = list(DESIGN.get(design["family"], ()))
    if _is_plain(design.get("strip_cut")) and design["family"] == "units":
        found.append(Quantity(("design", "strip_cut"), "Shared strip, cut width", "length", 1, 8, 0.125))
    for name, text in design.get("lengths", {}).items():
        if _is_plain(text):
            found.append(_make_length(("design", "lengths", name), f"Shared length: {name}"))
    for name, table in keys.get("unit", {}).items():
        found += _list_of_unit(name, table, shared="strip_cut" in design)
    return tuple(found)


def _list_of_unit(name: str, table: Mapping[str, Any], *, shared: bool) -> Iterator[Quantity]:
    """Yield the quantities of one unit; `shared` says that the study gives a strip for all."""
    known = DESIGN[table["family"]] if table.get("family") in BLOCK_FAMILIES else ()
    for quantity in known:
        key = quantity.path[1]
        follows = key == "strip_cut" and shared and key not in table
        if quantity.kind == "count":
            first = 1 if key in ("columns", "rows") else quantity.first
            yield replace(quantity, path=("unit", name, key), label=_name(name, key), first=first)
        elif quantity.kind == "length" and not follows and (key not in table or _is_plain(table[key])):
            yield replace(quantity, path=("unit", name, key), label=_name(name, key))
    if known:
        return
    for key, value in table.items():
        if key in COUNTS and isinstance(value, int):
            yield Quantity(("unit", name, key), _name(name, key), "count", 1, 24, 1, first=1)
        elif key.endswith(("_finished", "oversize")) and _is_plain(value):
            yield _make_length(("unit", name, key), _name(name, key))


def _make_length(path: tuple[str, ...], label: str) -> Quantity:
    return Quantity(path, label, "length", 0.125, WIDEST, 0.125)


def _name(unit: str, key: str) -> str:
    """Return the label of a key of a unit: "Arm: pairs", "Goose: side, finished"."""
    words = key.replace("_finished", ", finished").replace("_cut", ", cut").replace("_", " ")
    return f"{unit[:1].upper()}{unit[1:]}: {words}"


def _is_plain(value: object) -> bool:
    """Return True for a length that is written as one, or a list of them."""
    if isinstance(value, list):
        return bool(value) and all(_is_plain(one) for one in value)
    if not isinstance(value, str):
        return False
    try:
        read_length(value)
    except LengthError:
        return False
    return True
