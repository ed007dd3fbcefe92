"""The sewing read back out of a printed pattern: the words of every card, in the reading order of the tagged file."""

import re
from dataclasses import replace

from printed_elements import flatten

from kit.output.document.edition_parts import name_editions
from kit.output.document.sewing_texts import print_sewing

HEADS = ("along", "dot at", "press")
ABOUT = re.compile(r"(?P<parts>.+?) (?P<size>Check: .+? unfinished\.)(?: (?P<sets>.*?))?(?: Pictures: .+)?")
"""What stands under the heading of a unit; pictures that an earlier size has are named last."""
NEAR = 1e-6


def read_units(elements):
    """Return the units of a file with their cards.

    A unit: part of the document, heading, what stands under it. A card: number, "make 4", text, rows, result, how many
    pictures, and the words in them.
    """
    units, part, card = [], "", None
    for kind, text in elements:
        if kind == "H1":
            part, card = flatten(text), None
        elif kind == "H2":
            units.append({"part": part, "heading": text, "about": "", "cards": []})
            card = None
        elif kind == "H3" and text.startswith("Step"):
            card = {"number": text, "make": "", "texts": [], "rows": [], "drawn": 0, "seen": ""}
            units[-1]["cards"].append(card)
        elif card is None:
            if units and kind in ("Span", "P") and text and not units[-1]["about"]:
                units[-1]["about"] = text
        else:
            _add_element(card, kind, text)
    return units


def _add_element(card, kind, text):
    """Add an element to a card; a list that goes on in another column, or on another page, has its heads again."""
    if kind == "TR":
        if not card["rows"] or tuple(text) != card["rows"][0]:
            card["rows"].append(tuple(text))
    elif kind == "Figure":
        card["drawn"] += 1
        card["seen"] += text
    elif text and kind in ("Span", "P"):
        if not card["make"]:
            card["make"] = text.removeprefix(": ").removesuffix(" (detail)")
        else:
            card["texts"].append(text)


def _read_told(texts):
    """Return the rows of a list in large print: a number, then the part and what follows under which head."""
    found = []
    for number, told in zip(texts[::2], texts[1::2], strict=True):
        part, *cells = told.strip().removesuffix(".").split("; ")
        row = {"step": number, "added part": part}
        for cell in cells:
            head = next(head for head in HEADS if cell.startswith(f"{head} "))
            row[head] = cell.removeprefix(f"{head} ")
        found.append(row)
    heads = ["step", "added part", *(head for head in HEADS if any(head in row for row in found))]
    return [tuple(heads), *(tuple(row.get(head, "") for head in heads) for row in found)]


def read_sewing(patterns, elements):
    """Return everything printed about the sewing of each size, the words as they stand in a file.

    The rest, such as what pictures show and the seams of units that come ready, is what was given to the typesetter.

    Parameters
    ----------
    patterns
        The sizes of the file, in its order.
    elements
        From `list_elements`.
    """
    labels = [flatten(label) for label in name_editions(patterns)] if len(patterns) > 1 else [""]
    found = [unit for unit in read_units(elements) if unit["part"].startswith(("Sewing", "The top"))]
    read = []
    for pattern, label in zip(patterns, labels, strict=True):
        mine = [unit for unit in found if unit["part"].endswith(label)]
        assert mine, f"nothing is sewn under the name {label}"
        read.append(_read_size(print_sewing(pattern, pattern.sewing), mine, read))
    assert len(found) == sum(len([unit for unit in found if unit["part"].endswith(label)]) for label in labels)
    return read


def _read_size(printed, found, before):
    """Return what is printed of one size; where a card has no picture, that of the first size must serve."""
    cards = iter(card for unit in found for card in unit["cards"])
    heads = {flatten(unit["heading"]): unit for unit in found}
    units = []
    for unit in printed.units:
        given = "Join the parts" if unit is printed.units[-1] else flatten(unit.heading)
        paper, about = heads.get(given), {}
        if paper is not None:
            said = ABOUT.fullmatch(paper["about"].strip())
            assert said, paper["about"]
            about = {key: (said[key] or "").strip() for key in ("parts", "size", "sets")}
            if unit is not printed.units[-1]:
                about["heading"] = paper["heading"]
        else:  # segments of strip sets share one heading, and nothing is left to sew in them
            assert not unit.cards[0].number, unit.heading
        if unit.cards[0].number:
            models = [one for size in before[:1] for one in size.units]
            about["cards"] = tuple(_take(card, next(cards), models) for card in unit.cards)
        units.append(replace(unit, **about))
    left = list(cards)
    assert not left, left[:1]
    return replace(printed, units=tuple(units))


def _take(card, found, models):
    if found["drawn"]:
        assert set(card.picture.letters) <= set(found["seen"]) or max(map(len, card.picture.letters), default=0) > 1
    else:
        pictures = [model.picture for unit in models for model in unit.cards]
        assert any(is_seen_in(card.picture, picture) for picture in pictures), f"{found['number']} has no picture"
    texts = found["texts"]
    rows, result = tuple(found["rows"]), ""
    if card.rows and not rows:
        rows = tuple(_read_told(texts[1 : texts.index(next(text for text in texts if text.startswith("Result: ")))]))
    if card.rows:
        result = next(text for text in texts if text.startswith("Result: "))
    text = texts[0] if card.rows else re.match(r".*?Result: .+?(?:begun|unfinished)\.", texts[0])[0]
    return replace(card, number=found["number"], make=found["make"], text=text, rows=rows, result=result)


def is_seen_in(picture, other):
    """Return True if another size's picture shows the same: its parts, and each letter and dot at the same corner."""
    return _list_marks(picture) == _list_marks(other)


def _list_marks(picture):
    """Return the letters and dots of a picture, each by the corners at which it stands, and how its parts turn."""
    loops = [loop for parts in (*picture.lying.values(), *picture.added.values()) for loop in parts]

    def find(spot):
        return tuple(
            (k, i)
            for k, loop in enumerate(loops)
            for i, corner in enumerate(loop)
            if max(abs(a - b) for a, b in zip(corner, spot, strict=True)) < NEAR
        )

    letters = {letter: find(spot) for letter, spot in picture.letters.items()}
    return [len(loop) for loop in loops], letters, sorted(find(dot) for dot in picture.dots)
