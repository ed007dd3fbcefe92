"""Lists of parts that are sewn on one after another: what repeats is said once."""

from collections.abc import Sequence
from itertools import groupby
from typing import TypeAlias

from kit.output.words.strings import say

Row: TypeAlias = tuple[str, ...]
"""The part that a step adds, and what else its row says."""


def find_repeat(parts: Sequence[Row]) -> int:
    """Return after how many parts a list begins again, 0 if it does not: a braid takes a left blade, then a right."""
    for every in range(2, 5):
        if len(parts) >= 2 * every and all(one == other for one, other in zip(parts, parts[every:], strict=False)):
            return every if len(set(parts[:every])) > 1 else 0
    return 0


def list_repeat(parts: Sequence[tuple[int, Row]], every: int) -> tuple[Row, ...]:
    """Return each row of one repeat with the numbers of its steps."""
    return tuple(
        (say("run_every", first=mine[0][0], last=mine[-1][0], every=say(f"every_{every}")), *mine[0][1])
        for mine in (parts[start::every] for start in range(every))
    )


def list_runs(parts: Sequence[tuple[int, Row]]) -> tuple[Row, ...]:
    """Return rows with the numbers of their steps, equal ones that follow one another once."""
    runs = [list(found) for _, found in groupby(parts, key=lambda item: item[1])]
    return tuple(
        (say("run_numbers", first=run[0][0], last=run[-1][0]) if len(run) > 1 else f"{run[0][0]}", *run[0][1])
        for run in runs
    )
