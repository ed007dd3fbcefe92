"""The table of chain piecing."""

import pandas as pd

from kit.model.pattern import Pattern
from kit.output.words.chain_words import list_chains


def chains(pattern: Pattern) -> pd.DataFrame:
    """Return one row per chain: what is fed through the machine and how many of each, its seams and its minutes.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    rows = [
        {"Chain": line.number, "How many of each": line.sew, "Seams": line.seams, "Minutes": round(line.minutes)}
        for line in list_chains(pattern)
    ]
    return pd.DataFrame(rows, columns=["Chain", "How many of each", "Seams", "Minutes"])
