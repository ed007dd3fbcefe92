"""Forms made from the kit's own patterns with one number wrong by a plausible slip, or made safely larger."""

import copy
import re
from functools import cache
from pathlib import Path
from random import Random

import kit
from kit.auditing.form_cloth import find_cloth
from kit.auditing.form_writing import list_form
from kit.lengths import buying_length, read_length, write_buying, write_plain
from kit.planning.finishing.off_the_bolt import count_strips

STUDIES = sorted(Path("data/studies").glob("*.toml"))


@cache
def list_own_forms():
    """Return the form of every demonstration study."""
    return tuple(list_form(kit.make_pattern(kit.open_study(path))) for path in STUDIES)


def _say(inches):
    return write_plain(inches).replace("-", " ")


def _buy(inches):
    return write_buying(inches).replace("\N{NO-BREAK SPACE}", " ")


def _lengths(text):
    unit = "in"
    return [read_length(part if re.search("[a-z]", part) else f"{part} {unit}") for part in re.split(r"\s+x\s+", text)]


def list_slips(form):
    """Return every slip that a form allows: (name, size number, kind, entry number, key, wrong text)."""
    found = []
    for number, size in enumerate(form["size"]):
        if size["system"] != "inch":
            continue
        usable, a = read_length(size["usable_width"]), read_length(size["seam_allowance"])
        held = {part.strip().split(" ", 1)[1] for unit in size["unit"] for part in unit["parts"].split(",")}
        for k, piece in enumerate(size["piece"]):
            if "finished" in piece and piece["shape"] in ("half-square triangle", "quarter-square triangle"):
                (finished,) = _lengths(piece["finished"])
                found.append(("7/8 forgotten", number, "piece", k, "cut", _say(finished + 2 * a)))
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
                ("one border allowance", number, "border", k, key, _say(read_length(border[key]) - a))
                for key in ("sides", "ends", "cut")
            ]
        for k, cloth in enumerate(size.get("cloth", ())):
            found += _list_cloth_slips(size, number, k, cloth)
        backing = size["backing"]
        if "buy" in backing and read_length(backing["width"]) < 60:
            found.append(("42 for 40", number, "backing", 0, "buy", ("width", 2.0)))
        binding = size["binding"]
        if "strips" in binding:
            around = 2 * sum(_lengths(size["finished"]))
            wider = count_strips(around + 10, usable + 2, read_length(binding["cut"]))
            if wider < count_strips(around + 10, usable, read_length(binding["cut"])):
                found.append(("42 for 40", number, "binding", 0, "strips", wider))
            found.append(("per side for total", number, "binding", 0, "strips", max(1, binding["strips"] // 4)))
    return found


def _list_cloth_slips(size, number, k, cloth):
    """Return amounts by area, and for cloth two inches wider, where they are too little by every plan that there is."""
    if cloth["form"] != "yardage" or "repeat" in cloth:
        return []
    shares = []
    for piece in size["piece"]:
        mine = [part.strip().split(" ", 1) for part in piece.get("fabrics", "").split(",") if part.strip()]
        count = sum(int(many) for many, name in mine if name == cloth["fabric"])
        if count and piece["shape"] not in ("square", "rectangle"):
            return []
        if count:
            cut = _lengths(piece["cut"])
            outline = ((0.0, 0.0), (cut[-1] - 0.5, 0.0), (cut[-1] - 0.5, cut[0] - 0.5), (0.0, cut[0] - 0.5))
            shares.append((piece["name"], piece["shape"], outline, tuple(cut), count))
    if not shares:
        return []
    width, kind = read_length(cloth["width"]), ("yardage", None, "one_way" in cloth, 0.25, 0.125)
    _, least = find_cloth(tuple(shares), width, kind, "steady")
    area = sum(cut[0] * cut[-1] * count for _, _, _, cut, count in shares) / width
    found = []
    if buying_length(area) < least - 1e-6:
        found.append(("area for strips", number, "cloth", k, "buy", _buy(area)))
    wider, _ = find_cloth(tuple(shares), width + 2, kind, "quick")
    if buying_length(wider) < least - 1e-6:
        found.append(("42 for 40", number, "cloth", k, "buy", _buy(wider)))
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
        wrong = _buy(wider)
        if read_length(wrong) >= least - 3:
            return None
    entry[key] = wrong
    return made


def enlarge(form, seed):
    """Return a copy of a form with safe oversize here and there: nothing in it is wrong."""
    dice, made = Random(seed), copy.deepcopy(form)
    for size in made["size"]:
        if size["system"] != "inch":
            continue
        larger = False
        for piece in size["piece"]:
            if (
                "finished" in piece
                and piece["shape"] in ("half-square triangle", "quarter-square triangle")
                and dice.random() < 0.4
            ):
                piece["cut"] = _say(_lengths(piece["cut"])[0] + dice.choice([0.125, 0.25, 0.5]))
                larger = True
        for border in size.get("border", ()):
            for key in ("sides", "ends"):
                if dice.random() < 0.5:
                    border[key] = _say(read_length(border[key]) + dice.choice([0.5, 1, 2, 3]))
        for cloth in size.get("cloth", ()):
            if cloth["form"] == "yardage" and (larger or dice.random() < 0.4):
                more = 0.5 * read_length(cloth["buy"]) if larger else 0.0
                cloth["buy"] = _buy(read_length(cloth["buy"]) + more + dice.choice([4.5, 9, 18]))
        if "buy" in size["backing"] and dice.random() < 0.5:
            size["backing"]["buy"] = _buy(read_length(size["backing"]["buy"]) + dice.choice([4.5, 9, 18]))
        if dice.random() < 0.5:
            size["batting"]["size"] = " x ".join(
                _say(side + dice.choice([0, 2, 4])) for side in _lengths(size["batting"]["size"])
            )
        if "strips" in size["binding"] and dice.random() < 0.5:
            size["binding"]["strips"] += 1
            size["binding"]["buy"] = _buy(read_length(size["binding"]["buy"]) + 4.5)
    return made
