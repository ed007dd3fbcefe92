"""The points of a sweep: the keys of a study, the wanted ranges, and the study of each point."""

from collections.abc import Iterable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import product
from math import isfinite, prod
from typing import Any, get_args

from pydantic import BaseModel

from kit.designs import FAMILIES, list_unit_models
from kit.errors import StudyError
from kit.study import Study, study_keys
from kit.study.study_keys import StudyKeys

MOST = 10_000
"""Points: a larger sweep is refused before any is made."""

Ranges = tuple[tuple[str, tuple[Any, ...]], ...]


@dataclass(frozen=True)
class SweepPoint:
    """One point of a sweep.

    Attributes
    ----------
    number
        From 0, the last key running fastest.
    setting
        The value of each swept key, in the order of the ranges.
    keys
        The keys of its study, as in a study file.
    """

    number: int
    setting: tuple[Any, ...]
    keys: Mapping[str, Any]


def list_sweep_keys(study: Study) -> tuple[str, ...]:
    """Return the dotted keys of a study that a sweep may change; fabrics and borders are counted from 1.

    The title and the editions are left out: they do not affect any figure.

    Examples
    --------
    >>> from kit.study import open_study
    >>> keys = list_sweep_keys(open_study("data/studies/tideline.toml"))
    >>> "design.strip_cut" in keys, "design.sashing.finished" in keys, "fabric.1.price" in keys
    (True, True, True)
    """
    keys = study_keys(study)
    tables: dict[str, type[BaseModel]] = {"design": FAMILIES[study.design.family]}
    walked = [
        key for key in _walk(StudyKeys, keys, "", tables) if key not in ("title", "edition", "unit", "design.unit")
    ]
    for name, model in list_unit_models(study.design).items():
        walked += _walk(model, keys["unit"][name], f"unit.{name}.", {})
    shared = keys["design"].get("lengths", {})
    return (*walked, *(f"design.lengths.{name}" for name in shared))


def _walk(model: type[BaseModel], keys: Any, place: str, tables: Mapping[str, type[BaseModel]]) -> Iterator[str]:
    for name, field in model.model_fields.items():
        here = f"{place}{name}"
        held = keys.get(name) if isinstance(keys, Mapping) else None
        inner = tables.get(here) or _find_table(field.annotation)
        if inner is None:
            yield here
        elif isinstance(held, list | tuple):
            for number, entry in enumerate(held, 1):
                yield from _walk(inner, entry, f"{here}.{number}.", tables)
        elif not _is_list(field.annotation):
            yield from _walk(inner, held, f"{here}.", tables)


def _find_table(kind: Any) -> type[BaseModel] | None:
    """Return the table of keys in an annotation: the annotation itself, or a part of a union or a list."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind
    return next((found for part in get_args(kind) if (found := _find_table(part))), None)


def _is_list(kind: Any) -> bool:
    return any(part is Ellipsis for part in get_args(kind))


def read_ranges(study: Study, ranges: Mapping[str, Iterable[Any]]) -> Ranges:
    """Return the ranges as tuples of plain values, in the given order.

    Raises
    ------
    StudyError
        A key that the study does not have, with the nearest key; a range that is empty, has a value twice or
        a value unfit for a study file; more points than the limit.
    """
    if not ranges:
        raise StudyError("The sweep names no key", needed="keys with values", do='write {"design.columns": [3, 4]}')
    known = list_sweep_keys(study)
    read = tuple((_know(key, known), _read_range(key, values)) for key, values in ranges.items())
    count = prod(len(values) for _, values in read)
    if count > MOST:
        many = " × ".join(str(len(values)) for _, values in read)
        found = f"The sweep has {count:,} points ({many})"
        raise StudyError(found, needed=f"at most {MOST:,}", do="sweep fewer values or fewer keys")
    return read


def _know(key: str, known: tuple[str, ...]) -> str:
    """Return a key of the study; for an unknown key, suggest the nearest."""
    if key in known:
        return key
    near = get_close_matches(str(key)[:80], known, n=1, cutoff=0.4)
    raise StudyError(
        f"The study has no key `{str(key)[:80]}` to sweep",
        needed="a dotted key of the study file, fabrics and borders counted from 1",
        do=f"write `{near[0]}`" if near else "see kit.sweeping.list_sweep_keys(study)",
    )


def _read_range(key: str, values: Iterable[Any]) -> tuple[Any, ...]:
    if isinstance(values, str | bytes | Mapping) or not isinstance(values, Iterable):
        raise StudyError(f"The range of `{key}` is not a list", needed="a list or a range", do="write [ ] around it")
    read: list[Any] = []
    seen: set[str] = set()
    for value in values:
        plain = _read_value(key, value)
        if repr(plain) in seen:
            raise StudyError(f"The range of `{key}` holds {plain!r:.60} twice", needed="each value once", do="drop one")
        seen.add(repr(plain))
        read.append(plain)
        if len(read) > MOST:
            raise StudyError(f"The range of `{key}` does not end", needed=f"at most {MOST:,} values", do="shorten it")
    if not read:
        raise StudyError(f"The range of `{key}` is empty", needed="at least one value", do="name a value")
    return tuple(read)


def _read_value(key: str, value: Any) -> Any:
    """Return a value as in a study file; numbers of numpy become Python's."""
    if hasattr(value, "item") and not isinstance(value, str) and getattr(value, "ndim", 1) == 0:
        value = value.item()
    if isinstance(value, bool | int | str) or (isinstance(value, float) and isfinite(value)):
        return value
    if isinstance(value, list | tuple):
        return [_read_value(key, each) for each in value]
    raise StudyError(
        f"The range of `{key}` holds {value!r:.60}", needed="texts, numbers, true, false, or lists of them",
        do='write lengths as text, for instance "2 1/2 in"',
    )  # fmt: skip


def list_points(study: Study, ranges: Ranges) -> tuple[SweepPoint, ...]:
    """Return every point of a sweep, the last key running fastest."""
    base = study_keys(study)
    names = [key for key, _ in ranges]
    return tuple(
        SweepPoint(number, values, put_values(base, zip(names, values, strict=True)))
        for number, values in enumerate(product(*(values for _, values in ranges)))
    )


def put_values(keys: Mapping[str, Any], values: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    """Return the keys of a study with some set to other values; missing tables are added.

    Examples
    --------
    >>> put_values({"design": {"columns": 3}}, [("design.columns", 4), ("design.sashing.finished", "1 in")])
    {'design': {'columns': 4, 'sashing': {'finished': '1 in'}}}
    """
    made = deepcopy(dict(keys))
    for key, value in values:
        *path, last = key.split(".")
        place: Any = made
        for part in path:
            place = place[int(part) - 1] if isinstance(place, list) else place.setdefault(part, {})
        place[last] = deepcopy(value)
    return made
