"""The ways to buy the cloth of each slot, one row per slot."""

from collections.abc import Sequence

import pandas as pd

from kit.lengths import System
from kit.model.buying import SlotBuying
from kit.output.words.buying_words import BUYING, say_ways
from kit.output.words.stash_words import say_stash


def buying(slots: Sequence[SlotBuying], system: System = "inch") -> pd.DataFrame:
    """Return one row per slot: its pieces, its prints, those that look like the background, and the ways to buy it.

    Parameters
    ----------
    slots
        From `kit.compare_buying`.
    system
        In which lengths are written.
    """
    rows = [
        {
            BUYING["head_slot"]: one.slot,
            BUYING["head_pieces"]: one.pieces,
            BUYING["head_prints"]: one.prints,
            BUYING["head_alike"]: ", ".join(one.alike) or say_stash("none"),
            BUYING["head_ways"]: say_ways(one, system),
        }
        for one in slots
    ]
    return pd.DataFrame(rows)
