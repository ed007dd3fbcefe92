"""The date and the version of a document: the study's own, or that of the environment; the clock is never read."""

import os
import re
from datetime import UTC, date, datetime

from kit.errors import KitError
from kit.model.pattern import Pattern
from kit.output.words.strings import say

EPOCH = "SOURCE_DATE_EPOCH"
"""Seconds since 1970 as reproducible builds give them (https://reproducible-builds.org/specs/source-date-epoch/)."""


def find_date(pattern: Pattern) -> str:
    """Return the date of a document: the study's `date`, else the day in `SOURCE_DATE_EPOCH`, else no text.

    Raises
    ------
    KitError
        A `SOURCE_DATE_EPOCH` that is not a count of seconds.
    """
    given = os.environ.get(EPOCH, "")
    if pattern.study.date or not given:
        return pattern.study.date
    try:
        return datetime.fromtimestamp(int(given), UTC).date().isoformat()
    except (ValueError, OverflowError, OSError):
        raise KitError(
            f"{EPOCH} is `{given[:40]}`", needed="whole seconds since 1970", do="correct it, or set `date` in the study"
        ) from None


def split_date(text: str) -> tuple[int, int, int] | None:
    """Return year, month and day of a date such as 2026-03-01, or None for another text.

    Examples
    --------
    >>> split_date("2026-03-01"), split_date("spring 2026"), split_date("2026-02-30")
    ((2026, 3, 1), None, None)
    """
    if not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return None
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return None
    return found.year, found.month, found.day


def write_version(pattern: Pattern) -> str:
    """Return the version in the foot of every page: the number of the edition, and the date where there is one."""
    number, dated = pattern.study.edition.partition(", ")[0], find_date(pattern)
    return say("version_dated", edition=number, date=dated) if dated else say("version", edition=number)
