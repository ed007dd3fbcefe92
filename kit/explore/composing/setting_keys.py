"""The keys of a unit laid flat for its fields, and stood up again: "sashing.finished", "border 2.slot"."""

from collections.abc import Mapping
from copy import deepcopy
from typing import Any

KeyValues = dict[str, Any]
LAID_FLAT = ("sashing", "on_point")


def lay_flat(table: Mapping[str, Any]) -> KeyValues:
    """Return the keys of a unit as its fields have them.

    Examples
    --------
    >>> lay_flat({"block": "star", "sashing": {"finished": "1 in"}, "on_point": {}, "border": [{"finished": "2 in"}]})
    {'block': 'star', 'sashing.finished': '1 in', 'lie': 'on point', 'border 1.finished': '2 in'}
    """
    flat: KeyValues = {}
    for key, value in table.items():
        if key == "on_point":
            flat["lie"] = "on point"
        if key == "alternate" and isinstance(value, Mapping):
            flat["between"] = value.get("unit", ".")
            flat["alternate"] = deepcopy(value)
        elif key == "quarters" and isinstance(value, Mapping):
            flat["quarters"] = value.get("images", "turned")
            flat["quarters.all"] = deepcopy(value)
        elif key in LAID_FLAT and isinstance(value, Mapping):
            flat.update({f"{key}.{inner}": deepcopy(one) for inner, one in value.items()})
        elif key == "border":
            for number, border in enumerate(value, start=1):
                flat.update({f"border {number}.{inner}": deepcopy(one) for inner, one in border.items()})
        else:
            flat[key] = deepcopy(value)
    return flat


def stand_up_keys(flat: Mapping[str, Any]) -> KeyValues:
    """Return the keys of a unit from its fields; a border or a sashing without a width is left out.

    Examples
    --------
    >>> stand_up_keys({"block": "star", "sashing.slot": "sea", "border 2.finished": "2 in", "between": "."})
    {'block': 'star', 'border': [{'finished': '2 in'}], 'alternate': {}}
    """
    keys: KeyValues = {}
    borders: dict[str, KeyValues] = {}
    for key, value in flat.items():
        outer, _, inner = key.partition(".")
        if outer.startswith("border ") and inner:
            borders.setdefault(outer, {})[inner] = value
        elif outer == "sashing":
            if flat.get("sashing.finished"):
                keys.setdefault("sashing", {})[inner] = value
        elif outer == "on_point" or key == "lie":
            if flat.get("lie"):
                keys.setdefault("on_point", {}).update({inner: value} if inner else {})
        elif key not in ("between", "alternate", "quarters", "quarters.all"):
            keys[key] = value
    found = [borders[name] for name in sorted(borders) if borders[name].get("finished")]
    if found:
        keys["border"] = found
    _add_between(keys, flat)
    return keys


def _add_between(keys: KeyValues, flat: Mapping[str, Any]) -> None:
    """Add what lies at every other place, and how quarters lie, with what else was said of them before."""
    between = flat.get("between")
    if between:
        others = {key: one for key, one in flat.get("alternate", {}).items() if key != "unit"}
        keys["alternate"] = others if between == "." else {**others, "unit": between}
    quarters = flat.get("quarters")
    if isinstance(quarters, str) and quarters:
        keys["quarters"] = {**flat.get("quarters.all", {}), "images": quarters}
