"""What a stash makes, one row per size of each design."""

from collections.abc import Sequence

import pandas as pd

from kit.lengths import System
from kit.model.stash import StashFit
from kit.output.words.stash_words import say_buys, say_stash, say_top_size


def stash_fits(fits: Sequence[StashFit], system: System = "inch") -> pd.DataFrame:
    """Return one row per size of each design: its pieces, those that are short, its cloths, and what to buy.

    Parameters
    ----------
    fits
        From `kit.match_stash`.
    system
        In which lengths are written.
    """
    none = say_stash("none")
    rows = [
        {
            say_stash("head_design"): fit.title,
            say_stash("head_edition"): fit.edition,
            say_stash("head_finished"): none if fit.reason else say_top_size(fit.finished, system),
            say_stash("head_pieces"): fit.needed,
            say_stash("head_short"): fit.missing,
            say_stash("head_cloths"): "; ".join(f"{slot}: {', '.join(names) or none}" for slot, names in fit.cloths),
            say_stash("head_buy"): say_buys(fit, system) or none,
            say_stash("head_aside"): ", ".join(fit.set_aside) or none,
            say_stash("head_note"): fit.reason or none,
        }
        for fit in fits
    ]
    return pd.DataFrame(rows)
