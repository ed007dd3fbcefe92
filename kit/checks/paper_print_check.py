"""The check of printed papers: what stands on the page, turned over, is laid on the block, paper by paper.

It takes what the page shows and nothing that a planner computed besides: the outline of every numbered piece, and the
line to trim to. A paper may lie turned on its page. It does not matter whether the outlines come from the pages before
they are set or were read back out of the PDF.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, sin

import shapely
import shapely.affinity

from kit.errors import CheckError
from kit.geometry.outlines import Outline
from kit.model.foundations import FoundationPlan, PaperSection

SAME = 0.1 / 25.4
"""Inches: a tenth of a millimetre."""
BLUNTED = 2.0
"""Sharper corners of allowances are cut off at this many allowances (common practice, no source)."""


@dataclass(frozen=True)
class PrintedPaper:
    """A paper as it stands on its page, inches, y upwards.

    Attributes
    ----------
    section
        The name under it.
    cells
        Number -> outline of the piece.
    trim
        The dotted line.
    """

    section: str
    cells: Mapping[int, Outline]
    trim: Outline


def check_printed_papers(
    plan: FoundationPlan, papers: Sequence[PrintedPaper], scale: float = 1.0, *, mirrored: bool = True
) -> None:
    """Turn printed papers over and lay them on the block.

    Parameters
    ----------
    plan
        The plan of the papers.
    papers
        As printed.
    scale
        The block's size, 1 as designed; the allowance stays.
    mirrored
        They are to be sewn on the printed side; False for papers that are traced through, and those of mirror images.

    Raises
    ------
    CheckError
        A paper that is not printed; one that is printed unmirrored, or mirrored where it should not be; numbers that
        are swapped; a piece drawn otherwise than in the block; a dotted line that is not an allowance away. Names the
        paper.

    Notes
    -----
    Some milliseconds for each paper.
    """
    printed = {paper.section: paper for paper in papers}
    for section in plan.sections:
        paper = printed.get(section.name)
        if paper is None:
            raise CheckError(f"Paper {section.name} is not printed", needed="every paper of the block")
        _check_paper(plan, section, paper, scale, mirrored=mirrored)


def _check_paper(
    plan: FoundationPlan, section: PaperSection, paper: PrintedPaper, scale: float, *, mirrored: bool
) -> None:
    outlines = dict(plan.target)
    block = {
        piece.number: shapely.affinity.scale(shapely.Polygon(outlines[piece.patch]), scale, scale, origin=(0, 0))
        for piece in section.pieces
    }
    if sorted(paper.cells) != sorted(block):
        raise CheckError(f"Paper {section.name} bears the numbers {sorted(paper.cells)}", needed=f"{sorted(block)}")
    ways = [_lay(paper, block, turned_over=over) for over in (mirrored, not mirrored)]
    right, wrong = (list(way) for way in ways)
    if any(_find_off(cells, block) is None for cells, _ in right):
        trims = [trim for cells, trim in right if _find_off(cells, block) is None]
        if not any(_is_allowance(trim, block, plan.allowance) for trim in trims):
            raise CheckError(
                f"Paper {section.name}: its dotted line is not {plan.allowance:g} in outside the solid one",
                needed="the allowance all round, whatever the size",
            )
        return
    if any(_find_off(cells, block) is None for cells, _ in wrong):
        told = "unmirrored: sewn on the printed side it gives the mirror image" if mirrored else "mirrored"
        raise CheckError(
            f"Paper {section.name} is printed {told}",
            needed="a paper as seen from the back" if mirrored else "a paper as seen from the front",
            do="print it the other way round",
        )
    found, needed = _tell(section.name, [cells for cells, _ in right], block)
    raise CheckError(found, needed=needed)


def _lay(
    paper: PrintedPaper, block: Mapping[int, shapely.Polygon], *, turned_over: bool
) -> Iterator[tuple[dict[int, shapely.Polygon], shapely.Polygon]]:
    """Yield a paper laid on its place in the block, at every turn at which their outlines are the same."""
    flip = -1 if turned_over else 1
    cells = {n: shapely.Polygon([(flip * x, y) for x, y in outline]) for n, outline in paper.cells.items()}
    trim = shapely.Polygon([(flip * x, y) for x, y in paper.trim])
    whole, goal = _join(cells), _join(block)
    first = _list_ways(goal)[0]
    for angle in dict.fromkeys(round(first - way, 6) for way in _list_ways(whole)):
        c, s = cos(angle), sin(angle)
        turned = shapely.affinity.affine_transform(whole, [c, -s, s, c, 0, 0])
        dx, dy = goal.centroid.x - turned.centroid.x, goal.centroid.y - turned.centroid.y
        move = [c, -s, s, c, dx, dy]
        if _measure_off(shapely.affinity.translate(turned, dx, dy), goal) < 3 * SAME:
            laid = {n: shapely.affinity.affine_transform(cell, move) for n, cell in cells.items()}
            yield laid, shapely.affinity.affine_transform(trim, move)


def _join(cells: Mapping[int, shapely.Polygon]) -> shapely.Polygon:
    joined = shapely.union_all([cell.buffer(SAME / 4, join_style="mitre") for cell in cells.values()])
    return shapely.Polygon(joined.exterior if isinstance(joined, shapely.Polygon) else joined.convex_hull.exterior)


def _list_ways(shape: shapely.Polygon) -> list[float]:
    """Return the directions of the edges, radians, the longest first."""
    corners = list(shapely.simplify(shapely.orient_polygons(shape), SAME).exterior.coords)
    edges = [(bx - ax, by - ay) for (ax, ay), (bx, by) in pairwise(corners)]
    return [atan2(y, x) for x, y in sorted(edges, key=lambda edge: -(edge[0] ** 2 + edge[1] ** 2))]


def _find_off(cells: Mapping[int, shapely.Polygon], block: Mapping[int, shapely.Polygon]) -> int | None:
    """Return the first number whose piece lies otherwise than in the block; None if all lie right."""
    return next((n for n in sorted(block) if _measure_off(cells[n], block[n]) >= 3 * SAME), None)


def _measure_off(one: shapely.Polygon, other: shapely.Polygon) -> float:
    """Return how far an outline lies from another at most, inches: at its corners, or along its edges."""
    found = 0.0
    for here, there in ((one, other), (other, one)):
        points = shapely.get_coordinates(shapely.segmentize(here.boundary, max(here.length / 24, SAME)))
        found = max(found, float(shapely.distance(shapely.points(points), there.boundary).max()))
    return found


def _is_allowance(trim: shapely.Polygon, block: Mapping[int, shapely.Polygon], allowance: float) -> bool:
    grown = shapely.simplify(_join(block), SAME).buffer(allowance, join_style="mitre", mitre_limit=BLUNTED)
    return _measure_off(trim, shapely.Polygon(grown.exterior)) < 4 * SAME


def _tell(
    name: str, laid: Sequence[Mapping[int, shapely.Polygon]], block: Mapping[int, shapely.Polygon]
) -> tuple[str, str]:
    """Return what is wrong on a paper, and what is needed."""
    if not laid:
        return f"Paper {name} is drawn otherwise than its part of the block", "its outline, at the size that was wished"
    cells = laid[0]
    off = _find_off(cells, block)
    others = {n: cell for n, cell in block.items() if n != off}
    swapped = [n for n, cell in others.items() if off is not None and _measure_off(cells[off], cell) < 3 * SAME]
    if swapped:
        return f"Paper {name}: the numbers {off} and {swapped[0]} are swapped", "the numbers in the order of sewing"
    return f"Paper {name}, piece {off} is drawn with other edges than in the block", "its straight edges"
