"""Testers invented for the tests: the form that the kit writes, filled by hand as a spreadsheet would."""

import csv
from functools import cache
from io import StringIO
from pathlib import Path

import pandas as pd

from kit.output.files.files import write_csv
from kit.output.words.tester_words import write_form_rows
from kit.pipeline import make_pattern
from kit.study import read_study

PLAIN = '\n[cutting]\nmake = "one by one"\n'
"""Pieces cut and sewn one by one, so that the figures of the tests can be counted by hand."""


def write_plain(name):
    """Return the text of a study whose pieces are cut one by one."""
    return Path(f"data/studies/{name}.toml").read_text(encoding="utf-8") + PLAIN


@cache
def pattern_of_plain(name):
    """Return the pattern of such a study."""
    return make_pattern(read_study(write_plain(name)))


def write_empty(asked):
    """Return the rows of an empty form as its reader sees them."""
    return list(csv.DictReader(StringIO(write_csv(pd.DataFrame(write_form_rows(asked))))))


def fill(rows, tester, sizes=None, cloth=None, minutes=None, stumbles=()):
    """Return the rows filled: step -> size, fabric -> amount, work -> minutes, (place, read, expected, severity)."""
    given = {"size": sizes or {}, "cloth": cloth or {}, "minutes": minutes or {}, "about": {"tester": tester}}
    asked = [row for row in rows if row["kind"] != "stumble"]
    kept = [{**row, "yours": f"{given[row['kind']].get(row['place'], '')}"} for row in asked]
    empty = dict.fromkeys(rows[0], "")
    for place, read, expected, severity in stumbles:
        said = {"kind": "stumble", "place": f"{place}", "as printed": read, "yours": expected, "severity": severity}
        kept.append({**empty, **said})
    return kept


def write_rows(path, rows, between=","):
    """Write rows as CSV; return the path."""
    text = StringIO()
    writer = csv.DictWriter(text, list(rows[0]), delimiter=between, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    path.write_text(text.getvalue(), encoding="utf-8-sig", newline="")
    return path
