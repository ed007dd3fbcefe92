"""The table of what making as a maker would saves: every study made one by one, then as the kit chooses.

PYTHONPATH=.:tests/support python tests/sweeps/making_table.py [study ...]
"""

import sys
from dataclasses import replace
from pathlib import Path

from kit.model.making import MakingWishes
from kit.output.document.parts import list_parts
from kit.output.proof.proof import prove
from kit.output.words.batch_words import list_making_shared
from kit.pipeline import make_pattern
from kit.study import open_study


def count(pattern):
    """Return written steps, pieces cut singly, seams with their copies, minutes of cutting and piecing, and cloth.

    A written step is a numbered card of the printed pattern, or the instructions for a kind of unit made together.
    """
    units = list_parts(pattern, prove(pattern)).data["sewing"][0]["units"]
    written = sum(1 for unit in units for card in unit["steps"] if card["number"]) + len(list_making_shared(pattern))
    single = sum(piece.count for piece in pattern.making.pieces if piece.patches)
    time = {line.work: line.minutes for line in pattern.finishing.time}
    return written, single, pattern.finishing.top.seams, time["cutting"] + time["piecing"], measure_cloth(pattern)


def measure_cloth(pattern):
    """Return the square yards of the strips that are cut."""
    strips = (strip for plan in pattern.cutting.cloths for strip in plan.strips)
    return sum(strip.height * strip.length for strip in strips) / 36**2


if __name__ == "__main__":
    for path in sorted(Path("data/studies").glob("*.toml")):
        if len(sys.argv) > 1 and path.stem not in sys.argv[1:]:
            continue
        study = open_study(path)
        before = count(make_pattern(replace(study, cutting=MakingWishes(make="one by one"))))
        after = count(make_pattern(replace(study, cutting=MakingWishes())))
        cells = [f"{a:.0f} → {b:.0f}" if a != b else f"{a:.0f}" for a, b in zip(before[:4], after[:4], strict=True)]
        print("|", " | ".join([path.stem, *cells, f"{before[4]:.1f} → {after[4]:.1f}"]), "|", flush=True)
