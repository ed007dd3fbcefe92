"""A patchwork drawn again line by line: what a person would draw to get the same top."""

from collections import Counter

from kit.errors import KitError
from kit.geometry.outlines import measure_area
from kit.planning.pieces.cut_list import cut_list


def find_middle(outline):
    """Return a place inside a convex patch."""
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)


def write_place(point):
    """Return a place in inches as a study holds it."""
    return ",".join(f"{value:.12f}in" for value in point)


def redraw(patchwork):
    """Return the keys of a drawing whose lines are the edges of these patches; slots and grain are given by place."""
    left, bottom, right, top = patchwork.box

    def move(point):
        return max(point[0] - left, 0.0), max(point[1] - bottom, 0.0)

    edges = set()
    for patch in patchwork.patches:
        corners = [tuple(round(value, 9) for value in move(point)) for point in patch.outline]
        edges |= {tuple(sorted((p, corners[i - 1]))) for i, p in enumerate(corners)}
    slots, grain = {}, {}
    for patch in patchwork.patches:
        place = write_place(move(find_middle(patch.outline)))
        slots.setdefault(patch.slot, []).append(place)
        grain.setdefault(f"{patch.grain % 90:g}", []).append(place)
    return {
        "family": "lines",
        "size": write_place((right - left, top - bottom)),
        "lines": [f"{write_place(p)} {write_place(q)}" for p, q in sorted(edges)],
        "slots": {slot: " ".join(places) for slot, places in slots.items()},
        "grain": {angle: " ".join(places) for angle, places in grain.items()},
    }


def count_pieces(patchwork):
    """Count the pieces of each slot, kind, hand and cut size, whatever they are called."""
    counts = Counter()
    for piece in cut_list(patchwork).pieces:
        sizes = tuple(sorted((name, round(size, 6)) for name, size in piece.cut.items()))
        rounded = tuple(sorted((name, round(size, 6)) for name, size in piece.rounded.items()))
        counts[piece.slot, piece.kind, piece.hand, sizes, rounded, piece.outside_bias > 0] += piece.count
    return counts


def attempt(make):
    """Return what is made, and None with the refusal where it is refused in words; nothing else may be raised."""
    try:
        return make(), None
    except KitError as error:
        refusal = error
    assert refusal.found
    assert refusal.needed
    return None, refusal


def is_sewn_as_it_is(patchwork):
    """Return True if no patch is sewn larger and trimmed."""
    return all(patch.sewn is None for patch in patchwork.patches) and measure_area(patchwork.patches[0].outline) > 0
