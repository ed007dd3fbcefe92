"""Every word and number of printed sewing changed in turn, and composed designs for its reader."""

import re
from dataclasses import replace

from random_designs import seed_dice
from random_units import draw_units

import kit
from kit.checks.sewing_words_check import sew_by_words
from kit.study import study_from_keys

SWAPPED = {
    "left": "right", "right": "left", "top": "bottom", "bottom": "top", "upper": "lower", "lower": "upper",
    "toward": "away from", "begun": "done",
}  # fmt: skip
FRACTIONS = "½¼¾⅛⅜⅝⅞"
TOKEN = re.compile(rf"[^\W\d_]+|\d+|[{FRACTIONS}]")


def make_composed(seed):
    """Return a study of units from a seed, with a cloth for each slot."""
    keys = draw_units(seed_dice(seed))
    design = {**keys["design"], "unit": keys["unit"]}
    slots = kit.designs.FAMILIES["units"].model_validate(design).patchwork(0.25).slots
    cloth = [{"slot": slot, "name": slot, "colour": "#336699"} for slot in slots]
    measures = {"system": "metric" if seed % 2 else "inch"}
    return study_from_keys({"title": f"Composed {seed}", "measures": measures, "fabric": cloth, **keys})


def list_texts(printed):
    """Yield every text of every card and the place where it stands."""
    for u, unit in enumerate(printed.units):
        for key in ("heading", "parts", "size", "sets"):
            yield (u, key), getattr(unit, key)
        for c, card in enumerate(unit.cards):
            for key in ("number", "make", "text", "result"):
                yield (u, c, key), getattr(card, key)
            for r, row in enumerate(card.rows):
                yield from (((u, c, "rows", r, x), cell) for x, cell in enumerate(row))


def put(printed, at, text):
    """Return everything printed with one text changed."""
    unit = printed.units[at[0]]
    if len(at) == 2:
        unit = replace(unit, **{at[1]: text})
    else:
        card = unit.cards[at[1]]
        if len(at) == 3:
            card = replace(card, **{at[2]: text})
        else:
            rows = [list(row) for row in card.rows]
            rows[at[3]][at[4]] = text
            card = replace(card, rows=tuple(map(tuple, rows)))
        unit = replace(unit, cards=(*unit.cards[: at[1]], card, *unit.cards[at[1] + 1 :]))
    return replace(printed, units=(*printed.units[: at[0]], unit, *printed.units[at[0] + 1 :]))


def list_changes(text):
    """Yield a text with each of its words and numbers changed in turn, two letters swapped, and its dots left out."""
    for match in TOKEN.finditer(text):
        word = match[0]
        if word.isdigit():
            new = f"{int(word) + 1}"
        elif word in FRACTIONS:
            new = "¾" if word == "¼" else "¼"
        else:
            new = SWAPPED.get(word, "anchor")
        yield text[: match.start()] + new + text[match.end() :]
    for match in re.finditer(r"\b([a-z]{1,2}) to ([a-z]{1,2})\b", text):
        yield text[: match.start()] + f"{match[2]} to {match[1]}" + text[match.end() :]
    for match in re.finditer("away from", text):
        yield text[: match.start()] + "toward" + text[match.end() :]
    if re.fullmatch(r"[a-z]{1,2}(?: and [a-z]{1,2})?", text):
        yield ""
    if "Begin and stop exactly" in text:
        yield re.sub(r" Begin and stop exactly.*?there\.", "", text)


def find_missed(pattern, printed, every, start=0):
    """Return the changes of a study's words that the reader does not notice, and how many were tried."""
    changes = [(at, text, new) for at, text in list_texts(printed) for new in list_changes(text)]
    tried = changes[start::every]
    return [
        (at, text, new)
        for at, text, new in tried
        if not sew_by_words(put(printed, at, new), pattern.cut_list, pattern.sewing).faults
    ], len(tried)


def is_meaningless(at, text, new):
    """Return True for a change that leaves the same instruction.

    The first letter of a heading may be small, and which of two batches a unit comes from is proved with the batches.
    """
    del at
    return text.lower() == new.lower() or (
        "come ready from" in text and re.sub(r"U\d+", "", text) == re.sub(r"U\d+", "", new)
    )
