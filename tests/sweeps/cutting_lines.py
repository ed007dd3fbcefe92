"""Cloth cut by the printed lines alone, of every study in both systems and of random designs; damaged lines too.

    python tests/sweeps/cutting_lines.py studies [study ...]     # as printed, in both systems
    python tests/sweeps/cutting_lines.py random 0 200 [quick]    # designs from seeds, as printed unless quick
    python tests/sweeps/cutting_lines.py pages [study ...]       # read out of the file: papers, systems, print sizes

Each line is damaged in turn: a count more, a strip narrower, two piles merged. A damage that the reader lets through is
printed as `missed`, a line that cannot be done as `fault`; the last line counts them. Two studies are read at a time.
"""

import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
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
SEEDS_AT_A_TIME = 10


class Tally:
    """What was read: counts by what came of it."""

    def __init__(self):
        self.counts, self.known = Counter(), []

    def read(self, name, printed, system):
        """Cut by the lines as they are, then with each of them damaged; the same words are damaged once only."""
        found = cut_by_words(printed)
        self.counts["designs"] += 1
        self.counts["lines"] += found.lines
        self.counts["strips"] += found.strips
        self.counts["pieces"] += found.pieces
        self.counts["strips by a drawing"] += found.drawn
        self.tell("fault", name, found.faults)
        if found.faults:
            return
        if printed in self.known:
            self.counts["designs in words damaged before"] += 1
            return
        self.known.append(printed)
        for cloth in printed.cloths:
            self.damage(name, take_out(printed, cloth), system)

    def damage(self, name, printed, system):
        """Damage every line of one cloth in turn."""
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


def take_out(printed, cloth):
    """Return one cloth of what is printed with the pieces that come of it: the others stay as they are."""
    alone = replace(printed, cloths=(cloth,))
    pile = cut_by_words(alone).pile
    return replace(alone, pieces=tuple(replace(piece, count=pile.get(piece.id, 0)) for piece in printed.pieces))


def _names(said, printed):
    """Return True if a refusal names the fabric whose line it refuses, or the piece."""
    fabrics = [cloth.fabric for cloth in printed.cloths]
    return said.startswith("Piece ") or any(fabric in said for fabric in fabrics)


def read_study(name):
    """Read every size of a study in both systems."""
    tally, begun = Tally(), process_time()
    for size, patterns, system in draft_study(name, together=False):
        for pattern in patterns:
            tally.read(f"{name}{size}, {system}", print_cutting(pattern), system)
    print(f"{name}: {process_time() - begun:.1f} s", flush=True)
    return tally.counts


def read_pages(name):
    """Read the documents of a study, one size and all, on both papers, in both systems and print sizes."""
    tally, begun = Tally(), process_time()
    for sizes, patterns, system in draft_study(name, together=True):
        for paper, edition in product(PAPERS, EDITIONS):
            elements = list_elements(set_document(patterns, paper, system, edition=edition), pictures=False)
            for printed in read_cutting(patterns, elements):
                tally.read(f"{name}{sizes}, {system}, {paper}, {edition}", printed, system)
    print(f"{name}: {process_time() - begun:.1f} s", flush=True)
    return tally.counts


def draft_study(name, *, together):
    """Yield a study's patterns in both systems: each size of it, or the study and its sizes as one file has them."""
    study = open_study(Path("data/studies") / f"{name}.toml")
    sizes = editions(study)
    files = {f", edition {one.edition}": [one] for one in sizes}
    if together:
        files = {"": [study]} | ({", all sizes": sizes} if study.editions else {})
    for held, members in files.items():
        patterns = [kit.make_pattern(one) for one in members]
        for system in SYSTEMS:
            try:
                drafted = [kit.redraft(pattern, system) for pattern in patterns]
            except KitError as error:
                print(f"{name}{held}, {system}: refused: {error}", flush=True)
                continue
            yield held, drafted, system


def read_seeds(seeds, effort):
    """Read the random designs of some seeds; those that cannot be built are passed over."""
    tally = Tally()
    for seed in seeds:
        try:
            sketch = kit.make_sketch(study_from_keys(make_keys(seed)), effort)
        except KitError:
            continue
        tally.read(f"seed {seed}", print_cutting(sketch), sketch.study.measures.system)
    return tally.counts


def read_random(pool, first, number, effort="steady"):
    """Return the counts of so many random designs from a seed on."""
    counts, seed = Counter(), int(first)
    while counts["designs"] < int(number):
        blocks = [range(seed + k * SEEDS_AT_A_TIME, seed + (k + 1) * SEEDS_AT_A_TIME) for k in range(4)]
        counts += sum(pool.map(read_seeds, blocks, [effort] * 4), Counter())
        seed = blocks[-1].stop
        print(f"to seed {seed - 1}: {counts['designs']} designs", flush=True)
    return counts


def main(what, *rest):
    """Read what is asked for, and print the counts; return 1 if a line cannot be done or a damage was missed."""
    with ProcessPoolExecutor(2) as pool:
        if what == "random":
            counts = read_random(pool, *rest)
        else:
            names = rest or sorted(path.stem for path in Path("data/studies").glob("*.toml"))
            counts = sum(pool.map({"studies": read_study, "pages": read_pages}[what], names), Counter())
    print(dict(counts))
    return int(bool(counts["fault"] or counts["missed"] or counts["without a name"]))


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
