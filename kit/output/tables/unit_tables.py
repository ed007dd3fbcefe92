"""The table of units: each part of a top that is made on its own, once, the innermost first."""

import pandas as pd

from kit.geometry.joined_outline import measure_least_box, trace_together
from kit.lengths import write_length
from kit.model.pattern import Sketch
from kit.model.units import Unit


def units(pattern: Sketch) -> pd.DataFrame:
    """Return one row per unit: how many to make, how many of them mirrored, its finished size, and what it holds.

    The size is that of the smallest box along one of its edges.

    Parameters
    ----------
    pattern
        A pattern or a sketch.
    """
    system = pattern.study.measures.system
    patches = pattern.patchwork.by_id
    rows = []
    for unit in pattern.patchwork.units.list_all():
        outline = trace_together([patches[name].outline for name in unit.patches[0]])
        size = " × ".join(write_length(side, system) for side in measure_least_box(outline))
        rows.append(
            {
                "Unit": unit.name,
                "Make": unit.copies,
                "Mirrored": unit.mirrored,
                "Finished": size,
                "Patches": unit.size,
                "Made of": ", ".join(_list_parts(unit)) or "–",
            }
        )
    return pd.DataFrame(rows)


def _list_parts(unit: Unit) -> list[str]:
    """Return the units inside one copy with their number, and the patches beside them."""
    copy = set(unit.patches[0])
    found, held = [], 0
    for child in unit.children:
        number = sum(inner[0] in copy for inner in child.patches)
        held += number * child.size
        found.append(f"{number} × {child.name}")
    rest = unit.size - held
    return [*found, f"{rest} patches" if rest > 1 else "1 patch"] if rest and unit.size > 1 else found
