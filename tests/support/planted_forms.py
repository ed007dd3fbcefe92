"""Forms made from the kit's own patterns, in inches and in centimetres, with one number wrong by a plausible slip.

Or made safely larger.
"""

import copy
import re
from functools import cache
from pathlib import Path
from random import Random

import kit
from kit.auditing.form_cloth import find_cloth
from kit.auditing.form_writing import list_form
from kit.lengths import CM, buying_length, read_length, write_buying, write_exact, write_plain
from kit.model.finishing import find_usual
from kit.planning.finishing.off_the_bolt import count_strips
from kit.publish import redraft
from kit.study.editions import editions

STUDIES = sorted(Path("data/studies").glob("*.toml"))

NOT_METRIC = ("Boat Shed",)
"""Its spacers would be narrower than two allowances of 0.75 cm."""


WIDER = {"inch": 2.0, "metric": 5 * CM}
"""What is added to the usable width where a wider cloth is taken for granted: 42 for 40 in, 107 for 102 cm."""
MORE = {"inch": (0.125, 0.25, 0.5), "metric": (0.1 * CM, 0.5 * CM, CM)}
"""Safe oversize of a cut, inches."""
LONGER = {"inch": (0.5, 1, 2, 3), "metric": (CM, 2.5 * CM, 5 * CM)}
CLOTH = {"inch": (4.5, 9, 18), "metric": (10 * CM, 20 * CM, 50 * CM)}


@cache
def list_own_forms(system="inch", sizes=None):
    """Return the forms of the demonstration studies, so many sizes of each, all if None: in inches, or metric."""
    forms = []
    for path in STUDIES:
        for study in editions(kit.open_study(path))[:sizes]:
            if study.measures.system == system:
                forms.append(list_form(kit.make_pattern(study)))
            elif system == "metric":
                forms += _redraft_form(study)
    return tuple(forms)


def _redraft_form(study):
    """Return the form of a study in metric; of one that cannot be built with metric allowances, and says so, none."""
    try:
        return [list_form(redraft(kit.make_pattern(study), "metric"))]
    except kit.KitError:
        assert study.title in NOT_METRIC, study.title
        return []


def _say(inches, system):
    return write_exact(round(inches, 6), system) if system == "metric" else write_plain(inches).replace("-", " ")


def _buy(inches, system):
    return write_buying(inches, system).replace("\N{NO-BREAK SPACE}", " ")


def _lengths(text):
    unit = re.search(r"([a-z]+)\s*$", text)[1]
    return [read_length(part if re.search("[a-z]", part) else f"{part} {unit}") for part in re.split(r"\s+x\s+", text)]


def list_slips(form):
    """Return every slip that a form allows: (name, size number, kind, entry number, key, wrong text)."""
    found = []
    for number, size in enumerate(form["size"]):
        system = size["system"]
        usable, a = read_length(size["usable_width"]), read_length(size["seam_allowance"])
        held = {part.strip().split(" ", 1)[1] for unit in size["unit"] for part in unit["parts"].split(",")}
        for k, piece in enumerate(size["piece"]):
            if "finished" in piece and piece["shape"] in ("half-square triangle", "quarter-square triangle"):
                (finished,) = _lengths(piece["finished"])
                found.append(("7/8 forgotten", number, "piece", k, "cut", _say(finished + 2 * a, system)))
            if piece["count"] and piece["name"] in held:
                found.append(("doubled count", number, "piece", k, "count", 2 * piece["count"]))
                if piece["count"] % 4 == 0:
                    found.append(("per side for total", number, "piece", k, "count", piece["count"] // 4))
                elif piece["count"] % 2 == 0:
                    found.append(("per side for total", number, "piece", k, "count", piece["count"] // 2))
        for k, unit in enumerate(size["unit"]):
            if unit["name"] in held and unit["count"] > 2:
                found.append(("doubled count", number, "unit", k, "count", 2 * unit["count"]))
        for k, border in enumerate(size.get("border", ())):
            found += [
                ("one border allowance", number, "border", k, key, _say(read_length(border[key]) - a, system))
                for key in ("sides", "ends", "cut")
            ]
        for k, cloth in enumerate(size.get("cloth", ())):
            found += _list_cloth_slips(size, number, k, cloth)
        backing = size["backing"]
        if "buy" in backing and read_length(backing["width"]) < 60:
            found.append(("42 for 40", number, "backing", 0, "buy", ("width", WIDER[system])))
        binding = size["binding"]
        if "strips" in binding:
            around = 2 * sum(_lengths(size["finished"])) + find_usual(system).binding_extra
            wider = count_strips(around, usable + WIDER[system], read_length(binding["cut"]))
            if wider < count_strips(around, usable, read_length(binding["cut"])):
                found.append(("42 for 40", number, "binding", 0, "strips", wider))
            found.append(("per side for total", number, "binding", 0, "strips", max(1, binding["strips"] // 4)))
    return found


def _list_cloth_slips(size, number, k, cloth):
    """Return amounts by area, and for cloth two inches wider, where they are too little by every plan that there is."""
    if cloth["form"] != "yardage" or "repeat" in cloth:
        return []
    shares, a2 = [], 2 * read_length(size["seam_allowance"])
    for piece in size["piece"]:
        mine = [part.strip().split(" ", 1) for part in piece.get("fabrics", "").split(",") if part.strip()]
        count = sum(int(many) for many, name in mine if name == cloth["fabric"])
        if count and piece["shape"] not in ("square", "rectangle"):
            return []
        if count:
            cut = _lengths(piece["cut"])
            outline = ((0.0, 0.0), (cut[-1] - a2, 0.0), (cut[-1] - a2, cut[0] - a2), (0.0, cut[0] - a2))
            shares.append((piece["name"], piece["shape"], outline, tuple(cut), count))
    if not shares:
        return []
    system, a = size["system"], read_length(size["seam_allowance"])
    kind = ("yardage", None, "one_way" in cloth, a, read_length(size["round_cuts_to"]))
    width = read_length(cloth["width"])
    _, least = find_cloth(tuple(shares), width, kind, "steady")
    area = sum(cut[0] * cut[-1] * count for _, _, _, cut, count in shares) / width
    found = []
    if buying_length(area, system) < least - 1e-6:
        found.append(("area for strips", number, "cloth", k, "buy", _buy(area, system)))
    wider, _ = find_cloth(tuple(shares), width + WIDER[system], kind, "quick")
    if buying_length(wider, system) < least - 1e-6:
        found.append(("42 for 40", number, "cloth", k, "buy", _buy(wider, system)))
    return found


def plant(form, slip):
    """Return a copy of a form with one slip, or None where the slip makes no wrong number."""
    _, number, kind, k, key, wrong = slip
    made = copy.deepcopy(form)
    held = made["size"][number][kind]
    entry = held[k] if isinstance(held, list) else held
    if isinstance(wrong, tuple):
        size = _lengths(entry["size"])
        width = read_length(entry["width"])
        # widths side by side, seams of half an inch: the least of both directions, as a maker counts it
        least, wider = (
            min(count_strips(size[i], w, 1.0) * size[1 - i] for i in (0, 1)) for w in (width, width + wrong[1])
        )
        wrong = _buy(wider, made["size"][number]["system"])
        if read_length(wrong) >= least - 3:
            return None
    entry[key] = wrong
    return made


def enlarge(form, seed):
    """Return a copy of a form with safe oversize here and there: nothing in it is wrong."""
    dice, made = Random(seed), copy.deepcopy(form)
    for size in made["size"]:
        system, larger = size["system"], False
        for piece in size["piece"]:
            if (
                "finished" in piece
                and piece["shape"] in ("half-square triangle", "quarter-square triangle")
                and dice.random() < 0.4
            ):
                piece["cut"] = _say(_lengths(piece["cut"])[0] + dice.choice(MORE[system]), system)
                larger = True
        for border in size.get("border", ()):
            for key in ("sides", "ends"):
                if dice.random() < 0.5:
                    border[key] = _say(read_length(border[key]) + dice.choice(LONGER[system]), system)
        for cloth in size.get("cloth", ()):
            if cloth["form"] == "yardage" and (larger or dice.random() < 0.4):
                more = 0.5 * read_length(cloth["buy"]) if larger else 0.0
                cloth["buy"] = _buy(read_length(cloth["buy"]) + more + dice.choice(CLOTH[system]), system)
        if "buy" in size["backing"] and dice.random() < 0.5:
            size["backing"]["buy"] = _buy(read_length(size["backing"]["buy"]) + dice.choice(CLOTH[system]), system)
        if dice.random() < 0.5:
            size["batting"]["size"] = " x ".join(
                _say(side + dice.choice([0, *LONGER[system][-2:]]), system)
                for side in _lengths(size["batting"]["size"])
            )
        if "strips" in size["binding"] and dice.random() < 0.5:
            size["binding"]["strips"] += 1
            size["binding"]["buy"] = _buy(read_length(size["binding"]["buy"]) + CLOTH[system][0], system)
    return made
