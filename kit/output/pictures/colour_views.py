"""Views of the top for judging and laying out: weak neighbours marked, numbers for the wall, stacks for sewing."""

from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import replace
from math import hypot
from statistics import fmean

import pandas as pd

from kit.errors import KitError
from kit.model.colour import measure_contrast, measure_difference
from kit.model.palette import TOO_NEAR, describe_palette, propose_aside
from kit.model.patchwork import Patchwork
from kit.model.pattern import Sketch
from kit.output.pictures.drawing import VIEWS, Drawing, Line, draw_top, name_fabrics
from kit.output.words.notice_words import say_notices
from kit.output.words.strings import TEXTS

WEAK = "#e0007a"
"""Colour of the seams of weak contrast."""
LARGE_VIEWS = ("weak", "map")


def draw_view(sketch: Sketch, view: str = "colour") -> Drawing:
    """Draw the top in any view, "weak" (neighbours of weak contrast marked) and "map" (numbers for the wall) included.

    Raises
    ------
    KitError
        An unknown view.
    """
    if view == "weak":
        return draw_weak_neighbours(sketch)
    if view == "map":
        return draw_placement_map(sketch)
    if view not in VIEWS:
        raise KitError(f"There is no view `{view}`", needed=", ".join((*VIEWS, *LARGE_VIEWS)), do="choose one of these")
    return draw_top(sketch, view)  # type: ignore[arg-type]  # checked in the line above


def draw_weak_neighbours(sketch: Sketch, threshold: float = TOO_NEAR) -> Drawing:
    """Draw the top in colour, with a line along each seam between fabrics that differ too little.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    threshold
        Neighbours nearer than this CIEDE2000 are marked; patches of one print too, but not those of a background.
    """
    drawing = draw_top(sketch)
    mesh, colours, plain = sketch.patchwork.mesh, _list_colours(sketch), _find_plain(sketch)
    points = [(float(x), float(y)) for x, y in mesh.nodes.tolist()]
    lines = []
    for side, twin in enumerate(mesh.twin.tolist()):
        a, b = int(mesh.face[side]), int(mesh.face[twin])
        if twin > side and not plain(a, b) and measure_difference(colours[a], colours[b]) < threshold:
            lines.append(Line((points[mesh.start[side]], points[mesh.end[side]]), 4.0, (), WEAK))
    title = f"{drawing.title}; {len(lines)} seam pieces between fabrics that differ by less than {threshold:g}, marked"
    return replace(drawing, title=title, lines=tuple(lines))


def draw_placement_map(sketch: Sketch) -> Drawing:
    """Draw the top with each patch numbered row.column for the wall, the rows counted from the top."""
    drawing, numbers = draw_top(sketch, "fabric"), number_patches(sketch.patchwork)
    letters = name_fabrics(sketch)
    words = {
        patch.id: f"{numbers[patch.id][0]}.{numbers[patch.id][1]} {letters[sketch.colouring.assignment[patch.id]]}"
        for patch in sketch.patchwork.patches
    }
    polygons = tuple(replace(polygon, word=words[polygon.label]) for polygon in drawing.polygons)
    return replace(drawing, title=f"{drawing.title}; numbered row.column, with the fabric's letter", polygons=polygons)


def number_patches(patchwork: Patchwork) -> dict[str, tuple[int, int]]:
    """Return (row, column) of each patch: rows from the top down, columns from the left, both from 1.

    A row holds the patches with their middles within half a mean patch of its first.

    Examples
    --------
    >>> from kit.model.patchwork import patchwork_from_outlines
    >>> squares = [[(2 * i, 0), (2 * i + 2, 0), (2 * i + 2, 2), (2 * i, 2)] for i in range(3)]
    >>> number_patches(patchwork_from_outlines(squares))["patch-0003"]
    (1, 3)
    """
    middles = [
        (fmean(x for x, _ in patch.outline), fmean(y for _, y in patch.outline), patch.id)
        for patch in patchwork.patches
    ]
    half = (patchwork.area / len(middles)) ** 0.5 / 2
    rows: list[list[tuple[float, float, str]]] = []
    for middle in sorted(middles, key=lambda m: (-m[1], m[0], m[2])):
        if not rows or rows[-1][0][1] - middle[1] > half:
            rows.append([])
        rows[-1].append(middle)
    return {
        patch: (r, c) for r, row in enumerate(rows, start=1) for c, (_, _, patch) in enumerate(sorted(row), start=1)
    }


def list_placement(sketch: Sketch) -> pd.DataFrame:
    """Return one row per patch for the wall: row, column, patch, slot, fabric with its letter."""
    numbers, letters = number_patches(sketch.patchwork), name_fabrics(sketch)
    rows = [
        {
            "Row": numbers[patch.id][0],
            "Column": numbers[patch.id][1],
            "Patch": patch.id,
            "Slot": patch.slot,
            "Letter": letters[sketch.colouring.assignment[patch.id]],
            "Fabric": sketch.colouring.assignment[patch.id],
        }
        for patch in sorted(sketch.patchwork.patches, key=lambda patch: numbers[patch.id])
    ]
    return pd.DataFrame(rows)


def list_stacks(sketch: Sketch) -> pd.DataFrame:
    """Return one row per stack for the machine: the patches of a part of the top, or of a row if it has no parts.

    The letters follow the order of the patches in the stack, the first on top.
    """
    numbers, letters = number_patches(sketch.patchwork), name_fabrics(sketch)
    stacks: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for patch in sorted(sketch.patchwork.patches, key=lambda p: (p.group, p.id)):
        row, column = numbers[patch.id]
        name = " ".join(map(str, patch.group)) if patch.group else f"row {row}"
        stacks[name].append((0 if patch.group else column, patch.id))
    rows = []
    for name, found in stacks.items():
        ids = [patch for _, patch in sorted(found)]
        fabrics = [sketch.colouring.assignment[patch] for patch in ids]
        rows.append(
            {
                "Stack": name,
                "Patches": len(ids),
                "First": ids[0],
                "Last": ids[-1],
                "Letters, from the top of the stack": " ".join(letters[fabric] for fabric in fabrics),
            }
        )
    return pd.DataFrame(rows)


def list_palette(sketch: Sketch) -> pd.DataFrame:
    """Return one row per fabric: letter, lightness, value word, busy or calm, uses, and the most similar fabric."""
    letters, uses = name_fabrics(sketch), sketch.colouring.uses
    rows = [
        {
            "Letter": letters[swatch.fabric],
            "Fabric": swatch.fabric,
            "Slot": fabric.slot,
            "Lightness": round(swatch.lightness, 1),
            "Value": swatch.value,
            "Print": "–" if swatch.busy is None else "busy" if swatch.busy else "calm",
            "Patches": uses.get(swatch.fabric, 0),
            "Looks most like": swatch.nearest,
            "Difference": round(swatch.difference, 1),
        }
        for swatch, fabric in zip(describe_palette(sketch.study.fabrics), sketch.study.fabrics, strict=True)
    ]
    return pd.DataFrame(rows)


def list_aside(sketch: Sketch, threshold: float = TOO_NEAR) -> pd.DataFrame:
    """Return the prints nearer to a background than the threshold: the maker decides."""
    found = propose_aside(sketch.patchwork, sketch.study.fabrics, threshold)
    columns = ["Fabric", "Background", "Difference", "Threshold"]
    rows = [(each.fabric, each.background, round(each.difference, 1), each.threshold) for each in found]
    return pd.DataFrame(rows, columns=columns)


def list_weak_pairs(sketch: Sketch, threshold: float = TOO_NEAR) -> pd.DataFrame:
    """Return the pairs of fabrics that meet and differ too little: seams, inches, difference and contrast."""
    mesh, colours = sketch.patchwork.mesh, {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    names = [sketch.colouring.assignment[patch.id] for patch in sketch.patchwork.patches]
    seams: Counter[tuple[str, str]] = Counter()
    inches: dict[tuple[str, str], float] = defaultdict(float)
    plain = _find_plain(sketch)
    for side, twin in enumerate(mesh.twin.tolist()):
        if twin > side and not plain(int(mesh.face[side]), int(mesh.face[twin])):
            one, other = sorted((names[int(mesh.face[side])], names[int(mesh.face[twin])]))
            seams[one, other] += 1
            (ax, ay), (bx, by) = mesh.nodes[mesh.start[side]].tolist(), mesh.nodes[mesh.end[side]].tolist()
            inches[one, other] += hypot(bx - ax, by - ay)
    rows = []
    for (one, other), count in seams.items():
        difference = measure_difference(colours[one], colours[other])
        if difference < threshold:
            contrast = round(measure_contrast(colours[one], colours[other]), 2)
            rows.append((one, other, count, round(inches[one, other], 1), round(difference, 1), contrast))
    columns = ["Fabric", "Neighbour", "Seam pieces", "Inches", "Difference", "Contrast"]
    return pd.DataFrame(sorted(rows, key=lambda row: (row[4], row[0], row[1])), columns=columns)


def list_wishes(sketch: Sketch) -> pd.DataFrame:
    """Return one row per wish: the number of failures, the number in all, and its figure."""
    rows = [(w.name, w.count, w.total, round(w.figure, 2), TEXTS["wish"][w.name]) for w in sketch.colouring.wishes]
    return pd.DataFrame(rows, columns=["Wish", "Short of it", "Of", "Figure", "Unit"])


def list_verdict(sketch: Sketch) -> pd.DataFrame:
    """Return the wishes for the placement and the result: violations, the proven least, use, reasons, remedies."""
    colouring = sketch.colouring
    count = Counter(fabric.slot for fabric in sketch.study.fabrics)
    rows: list[tuple[str, object]] = [
        ("pairs of one fabric that the rules forbid", colouring.violations),
        ("proven least of them", colouring.bound),
        ("gap", colouring.gap),
    ]
    for slot in (slot for slot in sketch.patchwork.slots if count[slot] > 1):
        uses = [colouring.uses[f.name] for f in sketch.study.fabrics if f.slot == slot and f.name in colouring.uses]
        rows.append((f"most and least used fabric of `{slot}`", f"{max(uses)} and {min(uses)}"))
    rows += [("why", reason) for reason in say_notices(colouring.reasons)]
    rows += [("what would help", help_) for help_ in say_notices(colouring.helps)]
    return pd.DataFrame(rows, columns=["Asked", "Found"])


def _list_colours(sketch: Sketch) -> list[str]:
    colours = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    return [colours[sketch.colouring.assignment[patch.id]] for patch in sketch.patchwork.patches]


def _find_plain(sketch: Sketch) -> Callable[[int, int], bool]:
    """Return the test for two patches of one background, meant to look continuous."""
    count = Counter(fabric.slot for fabric in sketch.study.fabrics)
    slots = [patch.slot for patch in sketch.patchwork.patches]
    return lambda a, b: slots[a] == slots[b] and count[slots[a]] == 1
