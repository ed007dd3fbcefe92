"""The reader of the printed sewing over composed designs, and every word and number of studies changed in turn.

PYTHONPATH=.:tests/support python tests/sweeps/sewn_words.py composed 0 100
PYTHONPATH=.:tests/support python tests/sweeps/sewn_words.py changed harbour-light slipway
"""

import sys

from changed_words import find_missed, is_meaningless, make_composed

import kit
from kit.output.document.sewing_texts import print_sewing


def sew_composed(first: int, last: int) -> int:
    """Sew a range of composed designs from their words; return how many did not come out, each told."""
    faults = 0
    for seed in range(first, last):
        sewn = kit.make_pattern(make_composed(seed), "quick").words_sewn
        if sewn.faults:
            faults += 1
            sys.stdout.write(f"{seed}: {sewn.faults[0]}\n")
    sys.stdout.write(f"{last - first} composed designs, {faults} that do not come out of their words\n")
    return faults


def change_words(*names: str) -> int:
    """Change each word and number of studies in turn; return how many changes were not noticed, each told."""
    left = 0
    for name in names:
        pattern = kit.make_pattern(kit.open_study(f"data/studies/{name}.toml"))
        missed, tried = find_missed(pattern, print_sewing(pattern, pattern.sewing), every=1)
        told = [one for one in missed if not is_meaningless(*one)]
        left += len(told)
        sys.stdout.write(f"{name}: {tried} changes, {len(told)} not noticed\n")
        for one in told:
            sys.stdout.write(f"  {one}\n")
    return left


if __name__ == "__main__":
    what, *words = sys.argv[1:]
    sys.exit(bool(sew_composed(int(words[0]), int(words[1])) if what == "composed" else change_words(*words)))
