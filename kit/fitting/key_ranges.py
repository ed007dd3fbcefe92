"""Which keys a search for a size changes, and between which values: as the user wishes, or as the search chooses."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from difflib import get_close_matches
from math import ceil, floor
from typing import Any

from kit.designs.units.unit_lengths import read_sum
from kit.errors import KitError, LengthError
from kit.fitting.size_keys import STRIPS, SizeKey, find_top_keys, list_size_keys, look_up
from kit.lengths import CM, Length, take_length
from kit.study import Study, study_keys

Span = tuple[Length, Length]
KeyWishes = Mapping[str, Span | None] | Iterable[str]
"""Keys with (least, greatest) of each, or keys alone, for their usual ranges."""
MOST_KEYS = 40
MOST_VALUES = 400
WIDEST = 5 / 3
"""How many times as long, or as short, a search makes a length by itself."""
COUNTED = frozenset({"columns", "rows", "across", "down", "pairs", "geese", "rounds", "strips", "loops"})
"""Counts of units that a search looks at by itself; others, such as how many copies lie round a point, when asked."""
FREE_COUNT = 40
"""The greatest count of blocks across or down that a search tries by itself, unless the wanted size needs more."""


def choose_size_keys(study: Study, wishes: KeyWishes | None, own_size: float, wanted: float) -> tuple[SizeKey, ...]:
    """Return the keys of a search with the values to try.

    Without wishes: the counts in the units, the shared lengths, and counts, sashing, outermost border and block of the
    top. A count goes from half to twice its own, and two more at least (of the top: from 1 to 40, or as far as the
    wanted size needs), a length from three fifths to five thirds of its own on the ruler, in eighths of an inch or
    half centimetres, a number of strips by halves.

    Parameters
    ----------
    study
        One edition.
    wishes
        Keys with (least, greatest), or None or keys alone for the usual ranges.
    own_size, wanted
        The greater side of the study and of the wanted size, inches.

    Raises
    ------
    KitError
        An unknown key, with the nearest; a range that cannot be read or holds no value; too many keys or values.
    """
    known, top = list_size_keys(study), find_top_keys(study)
    most = max(FREE_COUNT, ceil(2 * wanted / max(own_size, 1e-6)))
    free = {top[name]: max(most, 2 * round(known[top[name]].own)) for name in ("across", "down") if top[name] in known}
    if wishes is None:
        return tuple(spread_key(known[key], None, free.get(key)) for key in _list_usual(known, top))
    asked = dict(wishes) if isinstance(wishes, Mapping) else dict.fromkeys(wishes)
    if isinstance(wishes, str) or not asked:
        raise KitError(
            "`keys` names no key", needed="keys of the study", do='write keys=["strip_cut"], or leave it out'
        )
    if len(asked) > MOST_KEYS:
        raise KitError(f"`keys` names {len(asked)} keys", needed=f"at most {MOST_KEYS}", do="name fewer")
    found = {}
    for name, span in asked.items():
        key = _find_key(study, name, known)
        found[key] = spread_key(known[key], span, free.get(key))
    return tuple(found.values())


def _list_usual(known: Mapping[str, SizeKey], top: Mapping[str, str]) -> list[str]:
    """Return the keys that a search looks at by itself: shared lengths first, the top next, then the units."""
    shared = [key for key in known if key.startswith("design.lengths.") or key == "design.strip_cut"]
    counts = [
        key
        for key, one in known.items()
        if key.startswith("unit.") and one.measure == "count" and one.held is not None
        if key.split(".")[-1] in COUNTED
    ]
    found = [key for key in (*shared, *top.values(), *counts) if key in known]
    return list(dict.fromkeys(found))[:MOST_KEYS]


def _find_key(study: Study, name: object, known: Mapping[str, SizeKey]) -> str:
    """Return the full name of a key; for an unknown one, tell the nearest."""
    said = str(name)[:80]
    for key in (said, f"design.{said}", f"unit.{said}"):
        if key in known:
            return key
    keys = study_keys(study)
    for key in (said, f"design.{said}", f"unit.{said}"):
        try:
            value = look_up(keys, key)
        except (AttributeError, IndexError, KeyError, TypeError, ValueError):
            continue
        if value is not None:
            raise KitError(
                f"`{said}` is {value!r:.60}, which is neither one count nor a length that stands by itself",
                needed='a key that holds a count, a length or strips, such as "2 1/2 in" or "2 strips"',
                do="name the key that it follows",
            )
    near = get_close_matches(said, [one.name for one in known.values()], n=1, cutoff=0.4)
    raise KitError(
        f"The study has no key `{said}` for a count or a length",
        needed="a key as it stands in the study file, such as unit.NAME.columns or strip_cut",
        do=f"write `{near[0]}`" if near else "see kit.sweeping.list_sweep_keys(study)",
    )


def spread_key(one: SizeKey, span: object, free: int | None = None) -> SizeKey:
    """Return a key with the values to try.

    Parameters
    ----------
    one
        The key.
    span
        (least, greatest), None for the usual range.
    free
        The greatest count of the usual range, where it is one of the top.

    Raises
    ------
    KitError
        A range that cannot be read, or that holds no value or too many.
    """
    step = 1.0 if one.measure == "count" else 0.5
    if one.measure == "length":
        step = CM / 2 if one.metric else 0.125
    if span is None:
        low, high = one.own / WIDEST, one.own * WIDEST
        if one.measure == "count":
            low, high = (1, free) if free else (ceil(one.own / 2), max(2 * one.own, one.own + 2))
    else:
        low, high = _read_span(one, span)
    inside = {n * step for n in range(max(1, ceil(low / step - 1e-9)), floor(high / step + 1e-9) + 1)}
    if low - 1e-9 <= one.own <= high + 1e-9:
        inside = {number for number in inside if abs(number - one.own) > 1e-6} | {one.own}
    if not inside:
        raise KitError(
            f"No value of `{one.name}` lies from {span[0]} to {span[1]}",  # type: ignore[index]  # a span was read
            needed="a range with a mark of the ruler inside" if one.measure == "length" else "a range with a value",
            do="widen the range",
        )
    if len(inside) > MOST_VALUES:
        raise KitError(
            f"{len(inside)} values of `{one.name}` would be tried", needed=f"at most {MOST_VALUES}", do="narrow it"
        )
    return replace(one, numbers=tuple(sorted(inside)))


def _read_span(one: SizeKey, span: object) -> tuple[float, float]:
    """Return least and greatest of a range as numbers of the key's own measure."""
    word = "strip" if one.measure in STRIPS else one.measure
    example = {"count": "(4, 9)", "length": '("2 in", "3 in")'}.get(one.measure, f'("1 {word}", "3 {one.measure}")')
    if not isinstance(span, tuple | list) or len(span) != 2:
        raise KitError(f"The range of `{one.name}` is {span!r:.60}", needed="(least, greatest)", do=f"write {example}")
    low, high = (_read_end(one, end, example) for end in span)
    if not 0 < low <= high:
        raise KitError(
            f"The range of `{one.name}` runs from {span[0]} to {span[1]}",
            needed="the least first, more than zero",
            do=f"write for instance {example}",
        )
    return low, high


def _read_end(one: SizeKey, end: Any, example: str) -> float:
    if one.measure == "count":
        if isinstance(end, bool) or not isinstance(end, int):
            raise KitError(
                f"The range of `{one.name}` holds {end!r:.60}",
                needed="whole numbers",
                do=f"write for instance {example}",
            )
        return end
    try:
        if one.measure == "length":
            return take_length(end, f"range of `{one.name}`")
        (term,) = read_sum(end)
        if term.name == one.measure or {term.name, one.measure} <= {*STRIPS}:
            return term.times
    except LengthError as error:
        raise KitError(
            f"The range of `{one.name}` holds {end!r:.60}", needed=error.needed or "lengths", do=f"write {example}"
        ) from None
    except ValueError:
        pass
    raise KitError(
        f"The range of `{one.name}` holds {end!r:.60}",
        needed=f"numbers of {one.measure}, as the study writes it",
        do=f"write {example}",
    )
