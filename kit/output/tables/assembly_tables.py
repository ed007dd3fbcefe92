"""The ways of putting a top together, side by side."""

import pandas as pd

from kit.lengths import write_buying
from kit.model.pattern import Pattern
from kit.output.words.assembly_words import TOGETHER
from kit.progress import Progress, keep_quiet


def assemblies(pattern: Pattern, progress: Progress = keep_quiet) -> pd.DataFrame:
    """Return one row per way of putting the top together: pieces, written steps, seams by kind, cloth and minutes.

    The last row is the same top in straight seams only, with patches split where that is needed. Every piece is cut
    by itself and every seam sewn by itself, so that the ways compare; units made several at a time lower them all.

    Parameters
    ----------
    pattern
        A pattern.
    progress
        Told way by way; every one is planned in full, which takes from a tenth of a second to some seconds.
    """
    system = pattern.study.measures.system
    rows = []
    for price in pattern.price_assemblies(progress):
        row: dict[str, object] = {"Together": TOGETHER[price.way], "Chosen": "yes" if price.chosen else ""}
        figures: dict[str, object] = {
            "Pieces": price.pieces,
            "Written steps": price.written,
            "Seams": price.seams,
            "Partial": price.partial,
            "Set in": price.set_in,
            "Cloth": write_buying(price.cloth, system),
            "Minutes": round(price.minutes),
        }
        if price.refused:
            figures = dict.fromkeys(figures, "–")
        rows.append(row | figures | {"Note": price.refused})
    return pd.DataFrame(rows)
