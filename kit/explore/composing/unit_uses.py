"""Which units the keys of a study name: to see what uses a unit, to give it another name, to know what changed."""

import re
from collections.abc import Callable, Mapping
from hashlib import sha1
from typing import Any

KeyValues = dict[str, Any]
NameChange = Callable[[str], str]

_NAME = r"[^\W\d_][\w-]*"
_OF_LENGTH = re.compile(rf"(?<![\w-])({_NAME})(?=\.)")
_OF_ROW = re.compile(rf"(?<![\w.(-])({_NAME})")
_OF_JOIN = re.compile(rf"(?:^|(?<= to ))({_NAME})")
_FIRST = re.compile(rf"^({_NAME})")
WORDS = {
    "rows": (_OF_ROW,), "sides": (_OF_ROW,), "join": (_OF_JOIN, _OF_LENGTH), "around": (_FIRST,), "centre": (_FIRST,),
    "block": (_FIRST,), "blocks": (_FIRST,), "unit": (_FIRST,), "corner_unit": (_FIRST,), "top": (_FIRST,),
}  # fmt: skip
"""Where the names of units stand in the text of a key; of any other key they stand in lengths."""
PLAIN = ("slot", "name", "grain", "patch", "family", "images", "corner", "place", "title", "pieces")
"""Keys whose texts name no unit."""


def map_units(keys: Any, change: NameChange, key: str = "") -> Any:
    """Return keys of a study with each name of a unit in them changed.

    Parameters
    ----------
    keys
        A table, a list or a value.
    change
        Returns the name that takes the place of a name; it may be asked again for what it gave.
    key
        What they are the value of.

    Examples
    --------
    >>> map_units({"join": ["arm", "a.long to arm.left"], "slot": "arm"}, lambda name: name.upper())
    {'join': ['ARM', 'A.long to ARM.left'], 'slot': 'arm'}
    """
    if isinstance(keys, Mapping):
        return {one: map_units(value, change, str(one)) for one, value in keys.items()}
    if isinstance(keys, list | tuple):
        return [map_units(value, change, key) for value in keys]
    if not isinstance(keys, str) or key in PLAIN or key.endswith("slot"):
        return keys
    text = " ".join(keys.split()) if key == "join" else keys.strip() if key in WORDS else keys
    for pattern in WORDS.get(key, (_OF_LENGTH,)):
        text = pattern.sub(lambda found: change(found[1]), text)
    return text


def list_used(table: Any, known: Mapping[str, Any], key: str = "") -> tuple[str, ...]:
    """Return the units that some keys name, of those that are known, each once."""
    found: dict[str, None] = {}

    def note(name: str) -> str:
        if name in known:
            found[name] = None
        return name

    map_units(table, note, key)
    return tuple(found)


def list_users(name: str, keys: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the units that use a unit; "the design" where its own keys do."""
    units = keys.get("unit", {})
    users = [other for other, table in units.items() if other != name and name in list_used(table, units)]
    design = {key: value for key, value in keys["design"].items() if key != "top"}
    return (*users, *(["the design"] if name in list_used(design, units) else []))


def list_within(name: str, units: Mapping[str, Any]) -> tuple[str, ...]:
    """Return a unit and all that it is made of, directly or not."""
    found: dict[str, None] = {name: None}
    waiting = [name]
    while waiting:
        for inner in list_used(units.get(waiting.pop(), {}), units):
            if inner not in found:
                found[inner] = None
                waiting.append(inner)
    return tuple(found)


def mark_units(units: Mapping[str, Any], shared: Any) -> dict[str, str]:
    """Return for each unit a mark that changes when anything changes that it is made of.

    Parameters
    ----------
    units
        Their tables by name.
    shared
        What all of them depend on: lengths, the strip, the allowance.
    """
    used = {name: list_used(table, units) for name, table in units.items()}
    common = {name for one in list_used(shared, units) for name in list_within(one, units)}
    salt = repr((shared, [(name, units[name]) for name in sorted(common)]))
    marks: dict[str, str] = {}

    def mark(name: str, above: tuple[str, ...]) -> str:
        if name in above:
            return "itself"
        if name not in marks:
            inner = [mark(one, (*above, name)) for one in used[name]]
            marks[name] = sha1(repr((name, units[name], inner, salt)).encode(), usedforsecurity=False).hexdigest()
        return marks[name]

    for name in units:
        mark(name, ())
    return marks
