"""Every document sewn and cut from the words in its file: studies, papers, systems, print sizes, several sizes.

Run it by itself, for it takes half an hour: `PYTHONPATH=.:tests/support nice python tests/sweeps/read_documents.py
[study ...]`. It prints a line for each document, and what does not agree; the suite does a part of it.
"""

import sys
import time
from itertools import product
from pathlib import Path

from printed_cutting_pages import read_cutting
from printed_elements import list_elements
from printed_sewing_pages import read_sewing

import kit
from kit.checks.cutting_words_check import cut_by_words
from kit.checks.sewing_words_check import sew_by_words
from kit.errors import KitError
from kit.output.document.document import EDITIONS, PAPERS, set_document
from kit.study import editions, open_study

SYSTEMS = ("inch", "metric")


def find_unreadable(patterns, paper="Letter", edition="standard"):
    """Return in sentences what does not come out when a document is sewn and cut from the words in its file.

    Parameters
    ----------
    patterns
        One pattern, or the sizes of one design, all drafted in one system.
    paper, edition
        As for `set_document`.
    """
    system = patterns[0].study.measures.system
    elements = list_elements(set_document(patterns, paper, system, edition=edition))
    faults = []
    for pattern, sewing in zip(patterns, read_sewing(patterns, elements), strict=True):
        sewn = sew_by_words(sewing, pattern.cut_list, pattern.sewing)
        faults += sewn.faults
        if not sewn.faults and sewn.pieces != len(pattern.patchwork.patches):
            faults.append(f"{sewn.pieces} pieces are sewn, the design has {len(pattern.patchwork.patches)}")
    for cutting in read_cutting(patterns, elements):
        cut = cut_by_words(cutting)
        faults += cut.faults
        if not cut.faults and cut.pieces != sum(piece.count for piece in cutting.pieces):
            faults.append(f"{cut.pieces} pieces are cut, {sum(piece.count for piece in cutting.pieces)} are listed")
    return faults


def list_documents(path):
    """Yield the name of each document of a study with its patterns, in both systems; one that is refused with why."""
    study = open_study(path)
    made = {"": [kit.make_pattern(study)]}
    if study.editions:
        made[", all sizes"] = [kit.make_pattern(one) for one in editions(study)]
    for (name, patterns), system in product(made.items(), SYSTEMS):
        try:
            yield f"{path.stem}{name}, {system}", [kit.redraft(one, system) for one in patterns]
        except KitError as error:
            yield f"{path.stem}{name}, {system}", str(error)


def main(names):
    """Print a line for each document, and its faults; return how many documents have any."""
    wrong = 0
    for path in sorted(Path("data/studies").glob("*.toml")):
        if names and path.stem not in names:
            continue
        for name, patterns in list_documents(path):
            if isinstance(patterns, str):
                print(f"{name}: refused: {patterns}", flush=True)
                continue
            for paper, edition in product(PAPERS, EDITIONS):
                begun = time.process_time()
                try:
                    faults = find_unreadable(patterns, paper, edition)
                except (AssertionError, KitError, LookupError, ValueError) as error:
                    faults = [f"{type(error).__name__}: {error}"]
                wrong += bool(faults)
                took = time.process_time() - begun
                print(f"{name}, {paper}, {edition}: {len(faults)} faults, {took:.1f} s", flush=True)
                for fault in faults[:3]:
                    print(f"    {fault}", flush=True)
    return wrong


if __name__ == "__main__":
    sys.exit(1 if main(sys.argv[1:]) else 0)
