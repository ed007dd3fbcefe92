"""Whole studies from seeds: every table of the file together, or mutants of them, each in a process with limits.

    PYTHONPATH=.:tests/support python tests/sweeps/whole_sweep.py 0 1000            # combinations of ordinary keys
    PYTHONPATH=.:tests/support python tests/sweeps/whole_sweep.py 0 1000 mutants    # changed ones
    PYTHONPATH=.:tests/support python tests/sweeps/whole_sweep.py 7 8 reduce        # and its faults as smallest studies

It prints each fault as it is found and the counts at the end. A pattern that is made is also proved, read back, put
into every table and written as the printed words; the document itself is not set.
"""

import json
import sys
import tomllib
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomli_w
from in_a_child import Outcome, run_in_child
from random_designs import seed_dice
from smallest_studies import reduce_study
from whole_studies import draw_whole, mutate

import kit
from kit.output.document.parts import list_parts
from kit.output.files.twin import write_twin
from kit.study.read_file import read_edition, read_study
from kit.study.write_file import write_study

STUDIES = sorted((Path(__file__).parents[2] / "data" / "studies").glob("*.toml"))
TABLES = ("pieces", "shopping", "cutting", "steps", "supplies", "finishing", "chains")


def make_whole(keys: Mapping[str, Any]) -> tuple[str, str, str]:
    """Make everything of a study but its pages; return "made" and what was made."""
    try:
        text = tomli_w.dumps(keys)
    except Exception as error:  # noqa: BLE001  not every value can stand in a file
        return "refused", f"cannot be written as TOML: {error}", "the generator"
    study = read_study(text)
    pattern = kit.make_pattern(study, "quick")
    for edition in study.editions:
        kit.make_pattern(read_edition(study, edition.name, edition.overrides()), "quick")
    if read_study(write_study(study)) != study:
        raise AssertionError("saved and opened, the study is another")
    if not pattern.rehearsal.agrees:
        raise AssertionError(pattern.rehearsal.differences[0])
    json.dumps(write_twin(pattern))
    for name in TABLES:
        if hasattr(kit.tables, name):
            getattr(kit.tables, name)(pattern)
    list_parts(pattern, kit.prove(pattern))
    return "made", f"{len(pattern.patchwork.patches)} patches", ""


def choose_keys(seed: int, *, mutants: bool) -> dict[str, Any]:
    """Return the keys that a seed gives; every other mutant is one of a demonstration study."""
    if not mutants:
        return draw_whole(seed)
    if seed % 2:
        return mutate(draw_whole(seed), seed)
    study = seed_dice(seed).choice(STUDIES)
    return mutate(tomllib.loads(study.read_text(encoding="utf-8")), seed)


def try_seed(seed: int, *, mutants: bool = False) -> Outcome:
    """Return what becomes of the study of a seed."""
    return run_in_child(make_whole, choose_keys(seed, mutants=mutants))


def find_smallest(keys: Mapping[str, Any], found: Outcome, trials: int = 150) -> dict[str, Any]:
    """Return the smallest study with the same fault."""

    def fails(smaller: Mapping[str, Any]) -> bool:
        again = run_in_child(make_whole, smaller)
        return (again.kind, again.where) == (found.kind, found.where)

    return reduce_study(keys, fails, trials)


def main(first: int, last: int, *words: str) -> None:
    """Try a range of seeds; print every fault, what was slow or large, and the counts."""
    mutants, reduce = "mutants" in words, "reduce" in words
    counts: Counter[str] = Counter()
    faults: Counter[tuple[str, str]] = Counter()
    slowest, largest = (0.0, -1), (0.0, -1)
    for seed in range(first, last):
        found = try_seed(seed, mutants=mutants)
        counts[found.kind] += 1
        slowest, largest = max(slowest, (found.seconds, seed)), max(largest, (found.megabytes, seed))
        if found.bad or found.seconds > 20 or found.megabytes > 1500:
            faults[found.kind, found.where] += found.bad
            took = f"after {found.seconds:.1f} s, {found.megabytes:.0f} MB"
            _tell(f"{seed}: {found.kind} {took}: {found.said:.400} [{found.where}]")
            if reduce and found.bad and faults[found.kind, found.where] == 1:
                _tell(
                    json.dumps(
                        find_smallest(choose_keys(seed, mutants=mutants), found), ensure_ascii=False, default=str
                    )
                )
        elif found.kind == "no plan":
            _tell(f"{seed}: no plan: {found.said:.300}")
        if seed % 100 == 99:
            _tell(f"... {seed + 1}: {dict(counts)}")
    _tell(
        f"{dict(counts)}; slowest {slowest[0]:.1f} s (seed {slowest[1]}), most {largest[0]:.0f} MB (seed {largest[1]})"
    )
    for (kind, where), times in faults.most_common():
        _tell(f"{times} x {kind}: {where}")


def _tell(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), *sys.argv[3:])
