"""Lists of parts that are sewn on one after another: what repeats is said once."""

from collections.abc import Sequence
from itertools import groupby

from kit.output.words.strings import say


def find_repeat(parts: Sequence[str]) -> int:
    """Return after how many parts a list begins again, 0 if it does not: a braid takes a left blade, then a right."""
    for every in range(2, 5):
        if len(parts) >= 2 * every and all(one == other for one, other in zip(parts, parts[every:], strict=False)):
            return every if len(set(parts[:every])) > 1 else 0
    return 0


def list_repeat(parts: Sequence[tuple[int, str]], every: int) -> tuple[tuple[str, str], ...]:
    """Return each part of one repeat with the numbers of its steps."""
    return tuple(
        (say("run_every", first=mine[0][0], last=mine[-1][0], every=say(f"every_{every}")), mine[0][1])
        for mine in (parts[start::every] for start in range(every))
    )


def list_runs(parts: Sequence[tuple[int, str]]) -> tuple[tuple[str, str], ...]:
    """Return parts with the numbers of their steps, equal parts in a row once."""
    runs = [list(found) for _, found in groupby(parts, key=lambda item: item[1])]
    return tuple(
        (say("run_numbers", first=run[0][0], last=run[-1][0]) if len(run) > 1 else f"{run[0][0]}", run[0][1])
        for run in runs
    )
