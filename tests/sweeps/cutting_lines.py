"""Cloth cut by the printed lines alone, of every study in both systems and of random designs; damaged lines too.

    python tests/sweeps/cutting_lines.py studies                 # as printed, in both systems
    python tests/sweeps/cutting_lines.py random 0 200 [quick]    # designs from seeds, as printed unless quick
    python tests/sweeps/cutting_lines.py pages [study ...]       # read out of the file: papers, systems, print sizes

Each line is damaged in turn: a count more, a strip narrower, two piles merged. A damage that the reader lets through is
printed as `missed`, a line that cannot be done as `fault`; the last line counts them.
"""

import sys
from collections import Counter
from itertools import product
from pathlib import Path
from time import process_time

from damaged_lines import damage_lines
from printed_cutting_pages import read_cutting
from printed_elements import list_elements
from random_studies import make_keys

import kit
from kit.checks.cutting_words_check import cut_by_words
from kit.errors import KitError
from kit.output.document.document import EDITIONS, PAPERS, set_document
from kit.output.words.printed_words import print_cutting
from kit.study import editions, open_study, study_from_keys

SYSTEMS = ("inch", "metric")


class Tally:
    """What was read: counts by what came of it."""

    def __init__(self):
        self.counts = Counter()

    def read(self, name, printed, system):
        """Cut by the lines as they are, then with each of them damaged."""
        found = cut_by_words(printed)
        self.counts["designs"] += 1
        self.counts["lines"] += found.lines
        self.counts["strips"] += found.strips
        self.counts["pieces"] += found.pieces
        self.counts["strips by a drawing"] += found.drawn
        self.tell("fault", name, found.faults)
        if found.faults:
            return
        for what, damaged in damage_lines(printed, system):
            kind = what.split(": ")[1]
            self.counts[f"damaged, {kind}"] += 1
            said = cut_by_words(damaged).faults
            if not said:
                self.tell("missed", name, [what])
            elif not _names(said[0], damaged):
                self.tell("without a name", name, [f"{what}: {said[0]}"])

    def tell(self, what, name, said):
        """Print what went wrong, and count it."""
        for each in said:
            self.counts[what] += 1
            print(f"{what}: {name}: {each}", flush=True)


def _names(said, printed):
    """Return True if a refusal names the fabric whose line it refuses, or the piece."""
    fabrics = [cloth.fabric for cloth in printed.cloths]
    return said.startswith("Piece ") or any(fabric in said for fabric in fabrics)


def read_studies(tally, names=()):
    """Read every size of every study in both systems."""
    for path in sorted(Path("data/studies").glob("*.toml")):
        if names and path.stem not in names:
            continue
        study = open_study(path)
        for one in editions(study) if study.editions else [study]:
            begun = process_time()
            pattern = kit.make_pattern(one)
            for system in SYSTEMS:
                try:
                    drafted = kit.redraft(pattern, system)
                except KitError as error:
                    print(f"{path.stem}, {system}: refused: {error}", flush=True)
                    continue
                tally.read(f"{path.stem}, {system}", print_cutting(drafted), system)
            print(f"{path.stem}: {process_time() - begun:.1f} s", flush=True)


def read_random(tally, first, number, effort):
    """Read so many random designs from a seed on; those that cannot be built are passed over."""
    seed, made = first, 0
    while made < number:
        try:
            sketch = kit.make_sketch(study_from_keys(make_keys(seed)), effort)
        except KitError:
            seed += 1
            continue
        tally.read(f"seed {seed}", print_cutting(sketch), sketch.study.measures.system)
        seed, made = seed + 1, made + 1
    print(f"seeds {first} to {seed - 1}")


def read_pages(tally, names=()):
    """Read every study's document, one size and all, on both papers, in both systems and print sizes."""
    for path in sorted(Path("data/studies").glob("*.toml")):
        if names and path.stem not in names:
            continue
        study = open_study(path)
        sizes = {"": [study]} | ({", all sizes": list(editions(study))} if study.editions else {})
        for (name, held), system in product(sizes.items(), SYSTEMS):
            try:
                patterns = [kit.redraft(kit.make_pattern(one), system) for one in held]
            except KitError as error:
                print(f"{path.stem}{name}, {system}: refused: {error}", flush=True)
                continue
            for paper, edition in product(PAPERS, EDITIONS):
                elements = list_elements(set_document(patterns, paper, system, edition=edition))
                for printed in read_cutting(patterns, elements):
                    tally.read(f"{path.stem}{name}, {system}, {paper}, {edition}", printed, system)


def main(what, *rest):
    """Read what is asked for, and print the counts; return 1 if a line cannot be done or a damage was missed."""
    tally = Tally()
    if what == "random":
        first, number, *effort = rest
        read_random(tally, int(first), int(number), *(effort or ["steady"]))
    else:
        {"studies": read_studies, "pages": read_pages}[what](tally, rest)
    print(dict(tally.counts))
    return int(bool(tally.counts["fault"] or tally.counts["missed"] or tally.counts["without a name"]))


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
