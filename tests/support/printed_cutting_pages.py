"""The cutting read back out of a printed pattern: pieces and lines of every size, from the tagged file."""

import re
from dataclasses import replace

from printed_elements import flatten

from kit.model.printed import PrintedLine
from kit.output.document.edition_parts import name_editions
from kit.output.words.printed_words import print_cutting

HEADS = r"From the (?:end|rest), |Open the fold\."
TOLD = re.compile(r"Piece (?P<id>\S+), (?P<name>.+?)(?:, (?P<hand>left|right) hand)?: (?P<cells>.+)\.")
"""A row of the list of pieces in large print."""


def read_depths(texts):
    """Return the lines of one group of strips, each as deep as its words say."""
    lines, under = [], 0
    for text in texts:
        if not lines:
            depth = 0
        elif text.startswith("Open the fold"):
            depth, under = 1, 1
        elif re.match(rf"{HEADS}|\(\d+\) strips? ", text):
            depth = under = 1
        else:
            depth = 1 + under
        lines.append(PrintedLine(text, depth))
    return lines


def read_cutting(patterns, elements):
    """Return everything printed about the cutting of each size, its words as they stand in a file.

    Drawings that lines name, and what is printed of the cloth itself, are what was given to the typesetter.

    Parameters
    ----------
    patterns
        The sizes of the file, in its order.
    elements
        From `list_elements`.
    """
    given = [print_cutting(pattern) for pattern in patterns]
    labels = name_editions(patterns) if len(patterns) > 1 else [""]
    pieces = _read_pieces(elements, labels)
    cloths = _read_cloths(elements, labels)
    return [
        _put_in(one, pieces[k], cloths[k], pattern)
        for k, (one, pattern) in enumerate(zip(given, patterns, strict=True))
    ]


def _put_in(given, pieces, cloths, pattern):
    short = {name: count for plan in pattern.cutting.cloths for name, count in plan.short.items()}
    listed = []
    for piece in given.pieces:
        hand, count, cut = pieces.pop((piece.id, piece.hand))
        listed.append(replace(piece, hand=hand, count=count - short.get(piece.id, 0), cut=cut))
    assert not pieces, f"pieces that no list has: {sorted(pieces)}"
    read = []
    for heading, lines in cloths:
        named = [
            cloth for cloth in given.cloths if re.search(rf"(?:^Fabrics?|,) \w+:? {re.escape(cloth.fabric)}(?: \(|,)",
                                                         f"{heading},")
        ]  # fmt: skip
        assert named, heading
        read += [replace(cloth, lines=tuple(lines)) for cloth in named]
    assert {cloth.fabric for cloth in read} == {cloth.fabric for cloth in given.cloths}
    return replace(given, pieces=tuple(listed), cloths=tuple(read))


def _read_pieces(elements, labels):
    """Return for each size: piece and its hand -> hand, count and cut size, as printed."""
    found = [{} for _ in labels]
    heads = "|".join(map(re.escape, map(flatten, labels))) if len(labels) > 1 else "Count|Finished|Cut"
    for kind, text in _cut_out(elements, "The pieces"):
        if kind == "TR" and text[0].lower() != "piece":
            name, _, _, hand, *cells = map(flatten, text)
        elif kind == "LBody" and (said := TOLD.fullmatch(flatten(text))):
            name, hand = said["id"], said["hand"] or "–"
            cells = re.split(rf"(?:^|\. )(?:{heads}): ", said["cells"])[1:]
        else:
            continue
        hand = hand.replace("–", "")
        if len(labels) == 1:
            count, _, cut = cells
            found[0][name, hand] = (hand, int(count), cut)
            continue
        for size, cell in zip(found, cells, strict=True):
            if cell != "–":
                count, cut = re.fullmatch(r"\((\d+)\) (.+)", cell).groups()
                size[name, hand] = (hand, int(count), cut)
    return found


def _read_cloths(elements, labels):
    """Return for each size the heading of each fabric with its lines."""
    found, size, lines = [[] for _ in labels], 0, None
    several = len(labels) > 1
    for kind, given in _cut_out(elements, "Cutting"):
        text = flatten(given) if isinstance(given, str) else given
        if several and kind == "H2" and text.startswith("Cutting: "):
            size, lines = [flatten(label) for label in labels].index(text.removeprefix("Cutting: ")), None
        elif kind in ("H2", "H3"):
            lines = [] if re.match(r"Fabrics? ", text) else None
            if lines is not None:
                found[size].append((text, lines))
        elif lines is not None and kind in ("Span", "P") and text:
            lines.append(text)
    return [[(heading, _group(texts)) for heading, texts in one] for one in found]


def _group(texts):
    """Return the lines of a fabric with their depths, group by group of strips."""
    groups = []
    for text in texts:
        if not groups or re.match(r"(?:Cut|Take|Sew the) \(\d+\)|For each piece", text):
            groups.append([])
        groups[-1].append(text)
    return [line for group in groups for line in read_depths(group)]


def _cut_out(elements, heading):
    """Yield the elements of one part of the document."""
    inside = False
    for kind, text in elements:
        if kind == "H1":
            inside = flatten(text) == heading
        elif inside:
            yield kind, text
