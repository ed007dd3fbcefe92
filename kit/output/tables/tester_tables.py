"""What testers found, and the errata, as plain tables."""

import pandas as pd

from kit.model.corrections import Errata
from kit.model.findings import Findings
from kit.output.words.errata_words import ERRATA, list_errata_rows
from kit.output.words.sizes import write_size
from kit.output.words.tester_words import name_measured, name_place, say_off


def findings(found: Findings) -> pd.DataFrame:
    """Return one row per stumble, those at one place together: place, step, how bad, who, what was read and expected.

    Parameters
    ----------
    found
        From `kit.read_findings`.
    """
    columns = [
        "Where",
        "Step",
        "Testers here",
        "Worst here",
        "Tester",
        "As written",
        "Read",
        "Expected",
        "How bad",
        "Note",
    ]
    rows = [
        (
            name_place(place), place.step, len(place.testers), place.severity, one.tester, one.place, one.read,
            one.expected, one.severity, one.note,
        )
        for place in found.places
        for one in place.stumbles
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=columns)


def measured(found: Findings) -> pd.DataFrame:
    """Return one row per measured size and tester: step, unit, printed size, the difference, whether it is out.

    Parameters
    ----------
    found
        From `kit.read_findings`.
    """
    system = found.questions.system
    columns = [
        "After step",
        "What",
        "Printed",
        "Tester",
        "Measured",
        "Off, shorter side (in)",
        "Off, longer side (in)",
        "Out",
    ]
    rows = [
        (
            size.asked.step, name_measured(size.asked), write_size(size.asked.size, system), tester,
            say_off(off, system), round(off[0], 4), round(off[-1], 4), "yes" if tester in size.out else "–",
        )
        for size in found.sizes
        for tester, off in size.off
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=columns)


def errata(corrections: Errata) -> pd.DataFrame:
    """Return one row per correction: size, step, what, printed and correct values, what to do if it is cut already.

    Parameters
    ----------
    corrections
        From `kit.find_errata`.
    """
    return pd.DataFrame(list_errata_rows(corrections), columns=list(ERRATA["columns"]))
