"""The same top without partial and set-in seams: some patches split, so that every seam runs straight through."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import shapely

from kit.errors import NoPlanError
from kit.geometry.outlines import Outline
from kit.model.patchwork import Patch, Patchwork
from kit.model.sewing import Alternative, SewingPlan
from kit.planning.sewing.sewing_cells import TOP, SewingCells, gather_cells
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.planning.sewing.split_lines import Fragment, Known, Splitter, list_parts_of


def split_patches(patchwork: Patchwork, plan: SewingPlan | None = None) -> Alternative | None:
    """Find the cheapest way to split patches so that no partial and no set-in seam is needed.

    Split the top along lines right through. In a part without such a line, extend one of its seams straight on
    through the patches at its ends as far as the part's edge; the crossed patches are split. Continue with both
    halves. Choose the lines that split the fewest patches.

    Parameters
    ----------
    patchwork
        The design.
    plan
        Its sewing plan; made when None.

    Returns
    -------
    Alternative or None
        None if no splitting is needed. `seams_added` counts lines of stitching: one less than pieces with only straight
        seams; a set-in seam counts one more for each leg, so the number may be negative.

    Raises
    ------
    NoPlanError
        Every splitting tried leaves an edge under two allowances.

    Notes
    -----
    Exact, among extensions of the design's own seams, for parts of few patches (branch and bound with rising limits);
    if the budget of a part is spent, the cheapest splitting found. Parts of more than `LARGEST` patches are split along
    all their seams of one direction, the cheapest of `TRIED` directions: not proved least. Moved copies of a part are
    solved once.
    """
    found = plan or sewing_plan(patchwork)
    if not found.partial_seams and not found.set_in_seams:
        return None
    tree = gather_cells(patchwork)
    splits: dict[str, tuple[Outline, ...]] = {}
    known: Known = {}
    for cell in (TOP, *tree.trims):
        if len(tree.list_patches(cell)) > 1:
            for patch, parts in _split_cell(patchwork, tree, cell, known):
                if patch in splits:
                    raise NoPlanError(
                        f"Patch `{patch}` would be split in its own part and again in the top",
                        needed="a split before the trim or after it",
                        do="keep the partial and set-in seams",
                    )
                splits[patch] = parts
    added = sum(len(parts) - 1 for parts in splits.values())
    return Alternative(tuple(sorted(splits.items())), added, added - found.set_in_seams)


def _split_cell(
    patchwork: Patchwork, tree: SewingCells, cell: int, known: Known
) -> list[tuple[str, tuple[Outline, ...]]]:
    """Return the splits of patches within a part that is sewn on its own, or in the top, as they are sewn there."""
    cells = tree.look_inside(cell)
    outlines = [tree.trims[c].outline if c in tree.trims else tree.shape(c, cell) for c in cells]
    inside = [tuple(shapely.Polygon(tree.shape(i, cell)) for i in members) for members in cells.values()]
    fragments = [Fragment(k, outline) for k, outline in enumerate(outlines)]
    final = Splitter(inside, 2 * patchwork.allowance, known).split_all(fragments)
    splits = []
    for k, members in enumerate(cells.values()):
        mine = [fragment.outline for fragment in final if fragment.cell == k]
        if len(mine) > 1:
            splits += _divide({i: tree.shape(i, cell) for i in members}, patchwork, mine)
    return splits


def split_as_told(patchwork: Patchwork, alternative: Alternative) -> Patchwork:
    """Return the patchwork with the patches split by an alternative; the parts are called "...-a", "...-b".

    Raises
    ------
    NoPlanError
        A part that a later trim would take away, or leave in pieces.
    """
    parts = dict(alternative.splits)
    names: dict[str, list[str]] = {}
    patches = []
    for patch in patchwork.patches:
        if patch.id not in parts:
            patches.append(patch)
            continue
        names[patch.id] = [f"{patch.id}-{chr(97 + k)}" for k in range(len(parts[patch.id]))]
        patches += [
            _cut_part(patch, name, outline) for name, outline in zip(names[patch.id], parts[patch.id], strict=True)
        ]
    frames = tuple(frame.rename(names) for frame in patchwork.frames)
    return replace(patchwork, patches=tuple(patches), frames=frames)


def _cut_part(patch: Patch, name: str, outline: Outline) -> Patch:
    """Return a part of a patch: sewn as its outline is, and finished as far as the trim leaves it."""
    if patch.sewn is None:
        return replace(patch, id=name, outline=outline)
    left = list(list_parts_of(shapely.Polygon(outline).intersection(shapely.Polygon(patch.outline))))
    if len(left) != 1:
        raise NoPlanError(
            f"A part of patch `{patch.id}` is trimmed away, or into {len(left)} pieces",
            needed="parts that last",
            do="keep the partial and set-in seams",
        )
    return replace(patch, id=name, outline=left[0], sewn=outline)


def _divide(
    shapes: Mapping[int, Outline], patchwork: Patchwork, parts: Sequence[Outline]
) -> list[tuple[str, tuple[Outline, ...]]]:
    """Return the split outlines of the patches of a cell."""
    found = []
    for i, shape in shapes.items():
        patch = patchwork.patches[i]
        if len(shapes) == 1:
            found.append((patch.id, tuple(parts)))
            continue
        whole = shapely.Polygon(shape)
        pieces = [piece for part in parts for piece in list_parts_of(whole.intersection(shapely.Polygon(part)))]
        if len(pieces) > 1:
            found.append((patch.id, tuple(pieces)))
    return found
