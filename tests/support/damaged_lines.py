"""Printed lines of cutting damaged one at a time: a count more, a strip narrower, two piles merged.

The words are changed as a misprint would change them, whoever wrote them; nothing of plans or planners is known here.
"""

import re
from dataclasses import replace
from itertools import takewhile

from kit.checks.cutting_grammar import LENGTH, flatten
from kit.lengths import read_length, write_length

COUNT = re.compile(r"\((\d+)\)")
SQUARES = re.compile(r": (\d+) triangles ")
STRIP = re.compile(r"(?:\(\d+\) (?:strips?|lengths?) )|(?:Cut \(\d+\) layers )")
NARROWER = {"inch": 0.125, "metric": 0.25 / 2.54}
"""Inches: a mark of the ruler in each system."""


def damage_lines(printed, system):
    """Yield the name of each damage with everything printed about cutting, one line of it damaged."""
    for number, cloth in enumerate(printed.cloths):
        for name, lines in _damage_cloth(cloth, system):
            cloths = [*printed.cloths]
            cloths[number] = replace(cloth, lines=tuple(lines))
            yield f"{cloth.fabric}: {name}", replace(printed, cloths=tuple(cloths))


def _damage_cloth(cloth, system):
    lines = [replace(line, text=flatten(line.text)) for line in cloth.lines]
    for at, line in enumerate(lines):
        below = list(takewhile(lambda one, depth=line.depth: one.depth > depth, lines[at + 1 :]))
        for what, text in (("a count more", _count_more(line.text)), ("narrower", _make_narrower(line.text, system))):
            if text is not None and not (what == "narrower" and _is_turned_over(text, below)):
                yield f"{what}: {line.text}", [*lines[:at], replace(line, text=text), *lines[at + 1 :]]
        for other in range(at + 1, len(lines)):
            merged = _merge(line.text, lines[other].text)
            if merged is not None and line.depth == lines[other].depth:
                rest = [*lines[at + 1 : other], *lines[other + 1 :]]
                yield f"two piles merged: {line.text}", [*lines[:at], replace(line, text=merged), *rest]


def _count_more(text):
    """Return a line whose first count is one more, None if it has none."""
    if not COUNT.search(text):
        return None
    return COUNT.sub(lambda found: f"({int(found[1]) + 1})", text, count=1)


def _make_narrower(text, system):
    """Return a line whose strip is a mark of the ruler narrower, None if it names no strip."""
    head = STRIP.search(text)
    found = LENGTH.search(text, head.end()) if head else None
    if found is None or found.start() != head.end():
        return None
    inches = read_length(found[0], longest=1e5) - NARROWER[system]
    return (
        flatten(f"{text[: found.start()]}{write_length(inches, system)}{text[found.end() :]}") if inches > 0 else None
    )


def _is_turned_over(text, below):
    """Return True if a strip is now as wide as another side of all that is cut off it: then it is still right.

    Its end may be cut along into strips that are lower still; they are as they were.
    """
    width = LENGTH.search(text)[0]
    first = [line for line in below if line.depth == min(one.depth for one in below)]
    ends = [line for line in first if line.text.startswith("From the end")]
    cut_off = [line for line in first if line not in ends]
    low = sum(int(COUNT.search(line.text)[1]) * read_length(LENGTH.search(line.text)[0]) for line in ends)
    return (
        bool(cut_off) and low <= read_length(width) and all(width in LENGTH.findall(line.text)[:2] for line in cut_off)
    )


def _merge(one, other):
    """Return a line that gives the pieces of both, None unless they are two piles of the same triangles."""
    pairs = (("rising from lower left to upper right", "falling from upper left to lower right"),)
    for first, second in pairs:
        for here, there in ((first, second), (second, first)):
            if here in one and there in other and one.rsplit(" ", 1)[1] == other.rsplit(" ", 1)[1]:
                counts = [int(COUNT.search(text)[1]) for text in (one, other)]
                gives = [int(SQUARES.search(text)[1]) for text in (one, other)]
                merged = COUNT.sub(f"({sum(counts)})", one, count=1)
                return SQUARES.sub(f": {sum(gives)} triangles ", merged)
    return None
