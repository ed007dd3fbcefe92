"""The picture of each strip set beside its words: the strips in order, the cuts across, and how far apart they are."""

from collections.abc import Sequence
from itertools import accumulate, pairwise
from math import radians, sin, tan

from kit.geometry.outlines import Outline
from kit.lengths import System, write_length
from kit.model.making import Made
from kit.model.pattern import Sketch
from kit.output.pictures.drawing import BLACK, Arrow, Drawing, Line, Note, Polygon
from kit.output.pictures.letters import make_pale
from kit.output.pictures.picture_sizes import STANDARD, Rooms
from kit.output.pictures.strip_picture import PLAIN, ROOM
from kit.output.words.loop_words import find_period
from kit.output.words.strings import say

LEAST, SHARE = 1, 0.2
"""How many segments are shown at least, and how long the shown stretch is at least, by the width of the set."""
ASIDE, BELOW = 8.0, 3.0
"""Letters of room for the measure at the right, and for the names below."""
APART = 0.45
"""Letters of room between the names of two strips."""
SQUARED = 0.5
"""Inches: the end that is squared up."""


def draw_strip_sets(sketch: Sketch, rooms: Rooms = STANDARD) -> dict[str, Drawing]:
    """Draw one strip set of each kind, by the name of what it makes: "U1".

    The strips stand upright, in the order of the words from the left, in the colours of their fabrics; of sets with
    segments of their own the foot is at the left. The cuts across are heavy, and the first segment of each width has
    its measure. Of a long set the beginning is shown.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    rooms
        The room on paper: larger letters have a picture as much higher.
    """
    colours = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    return {
        made.id: _draw_set(made, [make_pale(colours.get(name, PLAIN)) for name in made.fabrics], sketch, rooms)
        for made in sketch.making.made
        if made.unit == "strip set"
    }


def _draw_set(made: Made, fills: Sequence[str], sketch: Sketch, rooms: Rooms) -> Drawing:
    system, allowance = sketch.study.measures.system, sketch.cut_list.allowance
    wide = list(made.widths)
    wide[0] += allowance
    wide[-1] += allowance
    edges = [0.0, *accumulate(wide)]
    lean = 1 / tan(radians(made.slant)) if made.slant != 90 else 0.0
    across = list_across(made)
    pitches = [segment / sin(radians(made.slant)) for segment in across]
    cuts = [SQUARED, *accumulate(pitches, initial=SQUARED)][1:]
    shown = next((n for n, at in enumerate(cuts) if n >= LEAST and at >= SHARE * edges[-1]), len(cuts) - 1)
    whole = shown == len(cuts) - 1
    top = cuts[shown] + (SQUARED if whole else 0.5 * pitches[shown])
    strips = [_stand(left, right, top, lean) for left, right in pairwise(edges)]
    lows, highs = [strip[0][1] for strip in strips], [strip[2][1] for strip in strips]
    letter = _find_letter(edges[-1], max(highs) - min(lows), rooms)
    names = _name_strips(made)
    notes = [
        Note(((left + right) / 2, low - 1.3 * letter), name, min(letter, (right - left) / (0.62 * len(name) + APART)))
        for (left, right), low, name in zip(pairwise(edges), lows, names, strict=True)
    ]
    out = 0.3 * letter
    ends = (-out, edges[-1] + out)
    lines = [Line(tuple((x, at + x * lean) for x in ends), 3.0) for at in cuts[: shown + 1]]
    if not whole:
        lines += [Line((strip[3], strip[2]), 1.0, (0.3 * letter, 0.2 * letter)) for strip in strips]
    arrows, measures = _measure(cuts[: shown + 1], across, edges[-1], lean, letter, system)
    widest = max(len(note.text) for note in measures)
    box = (
        -letter, min(lows) - 1.8 * letter, edges[-1] + (1.6 + 0.62 * widest) * letter, max(highs) + 0.4 * letter,
    )  # fmt: skip
    polygons = tuple(
        Polygon(strip, fill, made.fabrics[i]) for i, (strip, fill) in enumerate(zip(strips, fills, strict=True))
    )
    return Drawing(
        box, _describe(made, names, system), polygons, tuple(lines), arrows=tuple(arrows), notes=(*notes, *measures),
        edge=BLACK,
    )  # fmt: skip


def list_across(made: Made) -> list[float]:
    """Return the widths of the cuts across one strip set, the first, in the order of the words: the widest first."""
    if made.segments:
        return sorted((one.width for one in (*made.segments, *made.apart) if one.number == 0), reverse=True)
    return [made.segment] * made.makes


def _stand(left: float, right: float, top: float, lean: float) -> Outline:
    """Return a strip that stands upright; each begins and ends as much higher than the one before as the cuts rise."""
    low, high = min(left * lean, right * lean), top + max(left * lean, right * lean)
    return (left, low), (right, low), (right, high), (left, high)


def _find_letter(wide: float, high: float, rooms: Rooms) -> float:
    """Return the height of words in inches of a picture that has lines of them below and at the right."""
    room = rooms.finishing[0], ROOM[1] * rooms.letter / STANDARD.letter
    return max(
        rooms.letter * wide / (room[0] - ASIDE * rooms.letter), rooms.letter * high / (room[1] - BELOW * rooms.letter)
    )


def _measure(
    cuts: Sequence[float], across: Sequence[float], right: float, lean: float, letter: float, system: System
) -> tuple[list[Arrow], list[Note]]:
    """Return an arrow and its measure at the right of the first segment of each width."""
    arrows, notes = [], []
    for n, (low, high) in enumerate(pairwise(cuts)):
        if across[n] not in across[:n]:
            x = right + 0.8 * letter
            ends = (x, low + right * lean), (x, high + right * lean)
            arrows.append(Arrow(ends, min(0.5 * letter, 0.3 * (high - low)), both=True))
            said = write_length(across[n], system)
            middle = (ends[0][1] + ends[1][1]) / 2 - 0.35 * letter
            notes.append(Note((x + (0.5 + 0.31 * len(said)) * letter, middle), said, letter))
    return arrows, notes


def _name_strips(made: Made) -> list[str]:
    """Return what the words call each strip: its cut shape, or its number where the strips are numbered."""
    if made.segments:
        period = find_period(made)
        return [f"{n % period + 1}" for n in range(len(made.fabrics))]
    return [made.blanks[use].id for use in made.uses[: len(made.fabrics)]]


def _describe(made: Made, names: Sequence[str], system: System) -> str:
    order = ", ".join(f"{name} {fabric}" for name, fabric in zip(names, made.fabrics, strict=True))
    widths = ", ".join(write_length(width, system) for width in dict.fromkeys(list_across(made)))
    return say("set_alt_foot" if made.segments else "set_alt", id=made.id, order=order, widths=widths)
