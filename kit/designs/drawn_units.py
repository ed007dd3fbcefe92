"""Units of drawn designs: named by places in a study, as slots are, or by the named groups of a drawing (SVG)."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from typing import Annotated, TypeAlias

from pydantic import AfterValidator, BeforeValidator, PlainSerializer, StringConstraints

from kit.designs.drawn import count_places, list_entries, read_places, write_place
from kit.designs.keys import Slot, check_printable, refuse_keys
from kit.geometry.closing import find_holder, find_inside
from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import Outline
from kit.model.patchwork import Group, Within, check_count

CopyText: TypeAlias = Annotated[str, StringConstraints(max_length=400_000), AfterValidator(check_printable)]
"""A place within each patch of one copy of a unit."""

UnitPlaces: TypeAlias = Annotated[
    tuple[tuple[Slot, tuple[CopyText, ...]], ...],
    BeforeValidator(list_entries),
    PlainSerializer(lambda table: {name: list(copies) for name, copies in table}, when_used="json"),
]
"""A table of units, each a list of its copies, each copy a place within each of its patches."""


def group_by_place(
    table: tuple[tuple[str, tuple[str, ...]], ...], outlines: Sequence[Outline], grid: float
) -> list[Group]:
    """Return for each outline the copies of units that hold it, from the outermost in.

    A copy that lies within another is a part of it; where both hold the same patches, the one named later lies within.

    Raises
    ------
    PatchworkError
        A place on a seam or outside, a copy of one patch or of patches that do not hang together, and copies that
        share patches without one lying within the other.
    """
    copies = _read_copies(table, outlines, grid)
    held: list[int | None] = [None] * len(outlines)
    parent: dict[int, int | None] = {}
    for number in sorted(range(len(copies)), key=lambda k: -len(copies[k][1])):
        name, patches = copies[number]
        around = {held[i] for i in patches}
        if len(around) > 1:
            other = copies[next(k for k in around if k is not None)][0]
            raise refuse_keys(
                f"A copy of `{name:.40}` in `design.units` shares patches with one of `{other:.40}`, and neither lies"
                " within the other",
                "units side by side, or one within the other",
                f"correct the places of `{name:.40}` or of `{other:.40}`",
            )
        parent[number] = around.pop()
        for i in patches:
            held[i] = number
    paths = [_trace(k, parent) for k in held]
    return _number_copies([tuple(Within(copies[k][0], str(k)) for k in path) for path in paths])


def _read_copies(
    table: tuple[tuple[str, tuple[str, ...]], ...], outlines: Sequence[Outline], grid: float
) -> list[tuple[str, frozenset[int]]]:
    """Return the name and the patches of every copy, in the order of the table."""
    check_count(count_places([text for _, texts in table for text in texts]) / 50)
    named = [(name, read_places(text, grid, f"`design.units.{name:.40}`")) for name, texts in table for text in texts]
    holders = iter(find_holder(outlines, [point for _, points in named for point in points]))
    copies = []
    for name, points in named:
        found = []
        for point in points:
            holder = next(holders)
            if holder is None:
                raise refuse_keys(
                    f"`design.units.{name:.40}` names {write_place(point, grid)}, which is on a seam or outside",
                    "a place within a patch",
                    "move it into the patch that is meant",
                )
            found.append(holder)
        patches = frozenset(found)
        if len(patches) < 2:
            raise refuse_keys(
                f"A copy of `{name:.40}` in `design.units` names {len(patches)} patch",
                "two patches or more: one alone is made as it is",
                "name its other patches, or take it out",
            )
        if not hang_together([outlines[i] for i in sorted(patches)]):
            raise refuse_keys(
                f"The patches of the copy of `{name:.40}` that begins at {write_place(points[0], grid)} do not hang"
                " together, or leave a hole",
                "patches that make one piece",
                "name the patches between them too",
            )
        copies.append((name, patches))
    return copies


def _trace(number: int | None, parent: dict[int, int | None]) -> list[int]:
    """Return a copy and those around it, the outermost first."""
    path = []
    while number is not None:
        path.append(number)
        number = parent[number]
    return path[::-1]


def hang_together(outlines: Sequence[Outline]) -> bool:
    """Return True if outlines make one piece without a hole."""
    return bool(build_mesh(outlines).tiles())


def settle_groups(groups: Sequence[Group], outlines: Sequence[Outline]) -> list[Group]:
    """Return the groups of a drawing that are units: two outlines or more that make one piece, and not the whole.

    A layer of all blue patches, for instance, is not a unit.

    Parameters
    ----------
    groups
        For each outline the named groups that hold it.
    outlines
        In the same order.
    """
    members: dict[Group, list[int]] = defaultdict(list)
    for i, group in enumerate(groups):
        for depth in range(1, len(group) + 1):
            members[group[:depth]].append(i)
    kept = {
        group
        for group, found in members.items()
        if 1 < len(found) < len(groups) and hang_together([outlines[i] for i in found])
    }
    kept_paths = []
    for group in groups:
        depths = [depth for depth in range(1, len(group) + 1) if group[:depth] in kept]
        kept_paths.append(tuple(Within(group[d - 1].unit, "/".join(map(str, group[:d]))) for d in depths))
    return _number_copies(kept_paths)


def _number_copies(groups: Sequence[Group]) -> list[Group]:
    """Return groups with the copies of each unit numbered within what holds them; a single one has no number."""
    copies: dict[tuple[Group, str], dict[str, int]] = defaultdict(dict)
    for group in groups:
        for depth, (unit, copy) in enumerate(group):
            mine = copies[group[:depth], unit]
            mine.setdefault(copy, len(mine) + 1)
    numbered = []
    for group in groups:
        path = []
        for depth, (unit, copy) in enumerate(group):
            mine = copies[group[:depth], unit]
            path.append(Within(unit, str(mine[copy]) if len(mine) > 1 else ""))
        numbered.append(tuple(path))
    return numbered


def write_units(groups: Sequence[Group], outlines: Sequence[Outline]) -> dict[str, list[str]]:
    """Return groups as the table `units` of a study: places in inches, what holds others before what it holds."""
    copies: dict[Group, list[str]] = {}
    for group, outline in zip(groups, outlines, strict=True):
        if group:
            x, y = find_inside(outline)
            for depth in range(1, len(group) + 1):
                copies.setdefault(group[:depth], []).append(f"{x:.4f}in,{y:.4f}in")
    first = Counter[str]()
    for group in copies:
        first[group[-1].unit] = max(first[group[-1].unit], len(group))
    table: dict[str, list[str]] = {}
    for group in sorted(copies, key=lambda group: first[group[-1].unit]):
        table.setdefault(group[-1].unit, []).append(" ".join(copies[group]))
    return table
