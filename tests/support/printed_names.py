"""The names that a printed pattern gives to things, taken out of the tagged file: fabrics, pieces, units, steps."""

import re
from dataclasses import dataclass

from printed_elements import flatten, list_elements

LETTER = re.compile(r"[A-Z]{1,2}[a-z]{0,2}")
PIECE = re.compile(r"[A-Z]{1,2}\d+")
MADE = re.compile(r"Z?U\d+")
SHAPE = re.compile(r"Z?U[a-z]{1,2}")
TOKEN = re.compile(r"(?<![\w.])(?:[A-Z]{1,2}\d+|Z?U[a-z]{1,2})(?!\w)")
WORDS = ("Us", "Up")
"""English words that look like a shape."""


@dataclass
class PrintedNames:
    """What one pattern calls things.

    `fabrics` and `bought` are (letter, name) of the key and of what is needed; `pieces` (name, role); `units` the
    headings of units, `made` those of units made several at a time; `steps` the numbers of the headings of steps;
    `added` the parts that the tables of steps take up; `tokens` every letter with a number in the whole text;
    `headings` those of all parts of the sewing, made more than once or not.
    """

    fabrics: list
    bought: list
    pieces: list
    units: list
    made: list
    steps: list
    added: list
    tokens: set
    headings: list


def read_names(data):
    """Return the names in a pattern of one size."""
    found, part, head = PrintedNames([], [], [], [], [], [], [], set(), []), "", ()
    for kind, held in list_elements(data):
        cells = [flatten(cell) for cell in held] if kind == "TR" else []
        text = " ".join(cells) if cells else flatten(held)
        if part not in {"Proof sheet", "About this pattern"}:
            found.tokens |= {token for token in TOKEN.findall(text) if token not in WORDS}
        if kind == "H1":
            part = text
        elif kind == "TR":
            head = cells if is_head(cells) else head
            if not is_head(cells):
                take_row(found, part, head, cells)
        elif kind == "H2" and part == "Cutting":
            found.made += [name for name in re.findall(r"^(Z?U\d+)(?: to (Z?U\d+))?: ", text) for name in name if name]
        elif kind == "H2" and part in ("Sewing", "The top"):
            found.units += re.findall(r"^(.+): make \d+$", text)
            found.headings.append(re.sub(r": make \d+$", "", text))
        elif kind == "H3":
            numbers = re.match(r"Steps? (\d+)(?: to (\d+))?", text)
            if numbers:
                first, last = int(numbers[1]), int(numbers[2] or numbers[1])
                found.steps += list(range(first, last + 1))
    return found


def is_head(cells):
    return cells[:1] in (["Letter"], ["Piece"], ["step"], ["Chain"], ["What is proved"]) or cells[1:2] == ["Fabric"]


def take_row(found, part, head, cells):
    if part == "Fabric key" and LETTER.fullmatch(cells[0]):
        found.fabrics.append((cells[0], cells[2]))
    elif part == "What you need" and cells[0] != "–":
        found.bought.append((cells[0], cells[1]))
    elif part == "The pieces":
        found.pieces.append((cells[0], cells[2]))
    elif head[:1] == ["step"] and len(cells) > 1:
        found.added.append(cells[1])
