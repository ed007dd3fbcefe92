"""A study that fails, made as small as it still fails in the same way."""

from collections.abc import Callable, Mapping
from copy import deepcopy
from typing import Any

from whole_studies import list_places


def reduce_study(
    keys: Mapping[str, Any], fails: Callable[[Mapping[str, Any]], bool], trials: int = 400
) -> dict[str, Any]:
    """Return the smallest study that was found to fail alike.

    Leave out tables and keys from the outside in, one after another, as long as it still fails; then halve lists, and
    write whole numbers smaller. The result fails: nothing is taken over that was not tried.
    """
    small, left, again = deepcopy(dict(keys)), trials, True
    while again and left > 0:
        again = False
        for change in (_leave_out, _halve, _make_small):
            for path in _list_paths(small):
                smaller = deepcopy(small)
                if left <= 0 or not change(smaller, path):
                    continue
                left -= 1
                if fails(smaller):
                    small, again = smaller, True
    return small


def _list_paths(keys: Any, before: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found: list[tuple[Any, ...]] = []
    if isinstance(keys, dict | list):
        for key in list(keys) if isinstance(keys, dict) else range(len(keys) - 1, -1, -1):
            found += [(*before, key), *_list_paths(keys[key], (*before, key))]
    return found


def _find(keys: Any, path: tuple[Any, ...]) -> Any:
    for key in path[:-1]:
        keys = keys[key]
    return keys


def _leave_out(keys: Any, path: tuple[Any, ...]) -> bool:
    try:
        holder = _find(keys, path)
        del holder[path[-1]]
    except (KeyError, IndexError, TypeError):
        return False
    return True


def _halve(keys: Any, path: tuple[Any, ...]) -> bool:
    try:
        holder = _find(keys, path)
        value = holder[path[-1]]
    except (KeyError, IndexError, TypeError):
        return False
    if not isinstance(value, list | str) or len(value) < (2 if isinstance(value, list) else 40):
        return False
    holder[path[-1]] = value[: len(value) // 2]
    return True


def _make_small(keys: Any, path: tuple[Any, ...]) -> bool:
    try:
        holder = _find(keys, path)
        value = holder[path[-1]]
    except (KeyError, IndexError, TypeError):
        return False
    if isinstance(value, bool) or not isinstance(value, int) or value <= 1:
        return False
    holder[path[-1]] = 1 if value < 4 else value // 2
    return True


def count_keys(keys: Any) -> int:
    """Return the number of keys and items of a study."""
    return sum(1 for _ in list_places(keys))
