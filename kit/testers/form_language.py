"""A form that was filled in another language, put into the words that the kit reads."""

from collections.abc import Iterable, Mapping, Sequence

from kit.model.findings import PARTS, SEVERITIES
from kit.output.words.strings import MOST_LETTERS, check_language, say_name, use_language, write_as_read
from kit.output.words.tester_words import name_form_part, name_severity

NumberedRow = tuple[int, Mapping[str, str]]
MEASURED = ("size", "cloth", "minutes")
"""Kinds of rows that hold a figure under `yours`."""


def put_in_english(rows: Sequence[NumberedRow], places: Iterable[str] = ()) -> list[NumberedRow]:
    """Return the rows of a form with figures, parts and severities as the kit reads them; every other word stays.

    The language is that of the row `about, language`; a form without it is English and comes back as it is.

    Parameters
    ----------
    rows
        From `read_form_rows`.
    places
        Lower case names of the places that were asked, as the kit gives them.

    Raises
    ------
    KitError
        A language that the kit does not print.
    """
    about = {row["place"].lower(): row["as printed"] for _, row in rows if row["kind"].lower() == "about"}
    language = about.get("language", "English")
    check_language(language)
    with use_language(language):
        severities = {name_severity(one).lower(): one for one in SEVERITIES}
        named = {_say_place(one).lower(): one for one in places}
        named |= {name_form_part(one).lower(): one for one in PARTS}
    return [(number, _put(row, language, severities, named)) for number, row in rows]


def _say_place(place: str) -> str:
    """Return a place in the language in use; letters after the name of a unit are capitals where the kit gives it."""
    stem, between, last = place.rpartition(" ")
    return say_name(f"{stem}{between}{last.upper() if len(last) <= MOST_LETTERS else last}")


def _put(
    row: Mapping[str, str], language: str, severities: Mapping[str, str], places: Mapping[str, str]
) -> Mapping[str, str]:
    kind = row["kind"].lower()
    if kind in MEASURED:
        return {**row, "yours": write_as_read(row["yours"], language)}
    if kind != "stumble":
        return row
    severity, place = row["severity"].lower(), row["place"].lower()
    return {**row, "severity": severities.get(severity, row["severity"]), "place": places.get(place, row["place"])}
