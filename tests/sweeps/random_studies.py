"""Random studies from a seed: every family in every setting, with borders and cloth, possible or not.

Run as a program it proves a range of seeds and prints what it found:

    python tests/sweeps/random_studies.py 0 2000            # cloth planned quickly
    python tests/sweeps/random_studies.py 0 200 steady      # as for a pattern that is printed
"""

import sys
import traceback
from collections import Counter
from time import perf_counter
from typing import Any

from random_designs import FAMILIES, SETTINGS, Dice, draw_border, draw_settings, seed_dice

import kit
from kit.errors import CheckError, KitError, NoPlanError
from kit.study import study_from_keys

ALLOWANCES = ("1/4 in", "1/4 in", "1/4 in", "3/8 in", "0.75 cm", "6 mm")
INCHES = {"1/4 in": 0.25, "3/8 in": 0.375, "0.75 cm": 0.75 / 2.54, "6 mm": 0.6 / 2.54}


def make_keys(seed: int) -> dict[str, Any]:
    """Return the keys of the study that a seed gives: family and setting go round, the rest is drawn."""
    dice = seed_dice(seed)
    families = sorted(FAMILIES)
    family, setting = families[seed % len(families)], SETTINGS[seed // len(families) % len(SETTINGS)]
    allowance = dice.choice(ALLOWANCES)
    a = INCHES[allowance]
    few = 2 if setting.startswith("quarters") or family in ("braid", "turned frame", "bargello") else 3
    design = {"family": family, "columns": dice.randint(1, few), "rows": dice.randint(1, few)}
    design |= FAMILIES[family](dice, a) | draw_settings(dice, a)[setting]
    design["border"] = [draw_border(dice, a) for _ in range(dice.choice((0, 0, 1, 1, 2)))]
    keys = {
        "title": f"Random {seed}", "seed": seed, "design": design,
        "measures": {"seam_allowance": allowance, "system": "metric" if "m" in allowance else "inch"},
    }  # fmt: skip
    if dice.random() < 0.1:
        keys["sewing"] = {"partial_seams": "split"}
    if dice.random() < 0.2:
        keys["colouring"] = {"touching": "corners"}
    return keys | {"fabric": _buy(dice, design, a)}


def _buy(dice: Dice, design: dict[str, Any], a: float) -> list[dict[str, Any]]:
    """Return cloth for every slot of a design; one that cannot be built has none."""
    try:
        slots = kit.designs.FAMILIES[design["family"]].model_validate(design).patchwork(a).slots
    except KitError:
        slots = ()
    cloth = []
    for slot in slots:
        for n in range(dice.randint(1, 3)):
            one: dict[str, Any] = {"slot": slot, "name": f"{slot} {n + 1}", "colour": f"#{dice.randrange(16**6):06x}"}
            if dice.random() < 0.15:
                one |= {"form": dice.choice(("strips", "fat quarter", "squares"))}
                one |= {"width": dice.choice(("2 1/2 in", "10 in"))} if one["form"] != "fat quarter" else {}
            elif dice.random() < 0.15:
                one["one_way"] = True
            cloth.append(one)
    return cloth


def prove(seed: int, effort: str = "quick") -> tuple[str, str]:
    """Make every plan of a seed's study; return "proved", "refused", "no plan" or "fault", and what was said.

    A check that refuses a plan of the kit's own making is a fault; a design that cannot be is refused in three parts.
    """
    try:
        pattern = kit.make_pattern(study_from_keys(make_keys(seed)), effort)
    except CheckError as error:
        return "fault", f"{type(error).__name__}: {error}"
    except NoPlanError as error:
        return "no plan", str(error)
    except KitError as error:
        whole = error.found and error.needed and error.do
        return ("refused" if whole else "fault"), str(error)
    except Exception as error:  # noqa: BLE001  whatever else is raised is what is looked for
        return "fault", f"{type(error).__name__}: {error} at {traceback.extract_tb(error.__traceback__)[-1]}"
    if not pattern.rehearsal.agrees:
        return "fault", pattern.rehearsal.differences[0]
    return "proved", f"{len(pattern.patchwork.patches)} patches"


def main(first: int, last: int, effort: str = "quick") -> None:
    """Prove a range of seeds and print the counts, every fault, and what took long."""
    counts: Counter[str] = Counter()
    for seed in range(first, last):
        begun = perf_counter()
        found, said = prove(seed, effort)
        counts[found] += 1
        took = perf_counter() - begun
        if found in ("fault", "no plan") or took > 20:
            sys.stdout.write(f"{seed}: {found} after {took:.1f} s: {said}\n")
        if seed % 100 == 99:
            sys.stdout.write(f"... {seed + 1}: {dict(counts)}\n")
            sys.stdout.flush()
    sys.stdout.write(f"{dict(counts)}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), *sys.argv[3:4])
