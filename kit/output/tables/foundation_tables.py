"""The tables of paper foundations: the rectangles to lay, and the cloth that they take."""

import pandas as pd

from kit.lengths import System, write_nearest
from kit.model.cutting import CuttingPlan
from kit.model.foundations import FoundationPlan
from kit.output.words.foundation_words import list_cloth_rows, say_foundation

PAPER_KEYS = ("role", "size", "where", "grain", "one", "all")


def papers(plan: FoundationPlan, system: System = "inch") -> pd.DataFrame:
    """Return one row per size of rectangle: its cloth, size, the pieces that it is for, and how many.

    Parameters
    ----------
    plan
        From `foundation_plan`.
    system
        Of the measures.
    """
    columns = [say_foundation(key, copies=plan.copies) for key in PAPER_KEYS]
    return pd.DataFrame(list_cloth_rows(plan, system), columns=columns)


def paper_cloth(plan: FoundationPlan, cutting: CuttingPlan, system: System = "inch") -> pd.DataFrame:
    """Return one row per role: the cloth that its rectangles take, and how much of them is trimmed away.

    Parameters
    ----------
    plan
        From `foundation_plan`.
    cutting
        The cutting plan of `list_foundation_cuts`.
    system
        Of the measures.
    """
    rows = []
    for slot, letter in plan.roles.items():
        laid = [piece for section in plan.sections for piece in section.pieces if piece.slot == slot]
        rows.append(
            {
                "Cloth": f"{letter} {slot}",
                "Rectangles": len(laid) * plan.copies,
                "Length": write_nearest(cutting.cloth[slot], system),
                "Trimmed away": f"{100 * plan.measure_waste(slot):.0f} %",
            }
        )
    return pd.DataFrame(rows)
