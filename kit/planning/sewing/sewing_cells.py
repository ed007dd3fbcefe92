"""Cells: the parts of a top that are sewn on their own, one within another, before they are joined to anything else.

A part that is trimmed has to be one. A unit may be one: then it is finished before it is joined, in every copy alike.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from kit.errors import NoPlanError
from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import Outline
from kit.model.patchwork import Group, Patchwork, Trim

TOP = -1
"""The number of the top, which holds every cell."""


@dataclass(frozen=True, eq=False)
class SewingCells:
    """The cells of a top: each patch by its number, then the parts that are sewn on their own.

    Attributes
    ----------
    patchwork
        The design.
    groups
        The group of each part; the part at place k is cell n + k, for n patches.
    trims
        What a part is trimmed to, by its cell; parts that are not trimmed are left out.
    """

    patchwork: Patchwork
    groups: tuple[Group, ...]
    trims: Mapping[int, Trim]

    @cached_property
    def path(self) -> tuple[tuple[int, ...], ...]:
        """For each patch the parts that hold it, from the outermost in; the top is one where it is trimmed."""
        number = {group: len(self.patchwork.patches) + k for k, group in enumerate(self.groups)}
        deepest = max((len(group) for group in self.groups), default=0)
        found = []
        for patch in self.patchwork.patches:
            prefixes = (patch.group[:n] for n in range(min(len(patch.group), deepest) + 1))
            found.append(tuple(number[group] for group in prefixes if group in number))
        return tuple(found)

    @cached_property
    def members(self) -> Mapping[int, tuple[int, ...]]:
        """The patches of every part, however deep."""
        n = len(self.patchwork.patches)
        found: dict[int, list[int]] = {n + k: [] for k in range(len(self.groups))}
        for i, path in enumerate(self.path):
            for cell in path:
                found[cell].append(i)
        return {cell: tuple(patches) for cell, patches in found.items()}

    @cached_property
    def holder(self) -> Mapping[int, int]:
        """The part that holds each part, or `TOP`."""
        return {cell: outer for path in self.path for outer, cell in zip((TOP, *path), path, strict=False)}

    @cached_property
    def trim_of(self) -> tuple[int, ...]:
        """For each patch the innermost part that is trimmed and holds it, or `TOP`."""
        return tuple(next((cell for cell in reversed(path) if cell in self.trims), TOP) for path in self.path)

    def get_trim(self, patch: int) -> Trim | None:
        """Return what a patch is trimmed to with its part, or None."""
        return self.trims.get(self.trim_of[patch])

    def list_patches(self, cell: int) -> tuple[int, ...]:
        """Return the patches of a cell: of a part, of a single patch, or of the top."""
        if cell == TOP:
            return tuple(range(len(self.patchwork.patches)))
        return self.members.get(cell, (cell,))

    def look_inside(self, cell: int) -> dict[int, tuple[int, ...]]:
        """Return the cells directly inside a part or the top, each with its patches."""
        found: dict[int, tuple[int, ...]] = {}
        for i in self.list_patches(cell):
            path = self.path[i]
            depth = path.index(cell) + 1 if cell != TOP else 0
            inner = path[depth] if depth < len(path) else i
            found.setdefault(inner, self.list_patches(inner))
        return dict(sorted(found.items()))

    def is_rough(self, cell: int) -> bool:
        """Return True if a part is sewn before a trim: its own, or that of a part around it."""
        while cell != TOP:
            if cell in self.trims:
                return True
            cell = self.holder[cell]
        return False

    def is_whole(self, patch: int, cell: int) -> bool:
        """Return True if a patch has not been trimmed yet while a part is sewn."""
        trim = self.trim_of[patch]
        return trim != TOP and (cell == trim or (cell != TOP and trim in self._list_holders(cell)))

    def _list_holders(self, cell: int) -> list[int]:
        found = []
        while cell != TOP:
            cell = self.holder[cell]
            found.append(cell)
        return found

    def shape(self, patch: int, cell: int) -> Outline:
        """Return the outline of a patch as it is while a part is sewn."""
        found = self.patchwork.patches[patch]
        return (found.sewn or found.outline) if self.is_whole(patch, cell) else found.outline


def gather_cells(patchwork: Patchwork, units: Iterable[Group] = ()) -> SewingCells:
    """Return the cells of a top: the parts that are trimmed, and the units that are to be sewn on their own.

    Raises
    ------
    NoPlanError
        A part that is trimmed and has no patches.
    """
    trims = {trim.group: trim for trim in patchwork.trims}
    groups = sorted({*trims, *units}, key=lambda group: (len(group), group))
    n = len(patchwork.patches)
    number = {group: n + k for k, group in enumerate(groups)}
    cells = SewingCells(patchwork, tuple(groups), {number[group]: trim for group, trim in trims.items()})
    empty = next((group for group in groups if not cells.members[number[group]]), None)
    if empty is not None:
        raise NoPlanError(
            f"The part `{' '.join(map(str, empty))}` has no patches", needed="at least one", do="leave out its trim"
        )
    return cells


def find_sewable(patchwork: Patchwork, groups: Sequence[Group]) -> list[Group]:
    """Return those of some groups that can be sewn on their own: two patches or more that make one simple shape.

    Of groups with the same patches the outermost remains, or the one that is trimmed: a part is sewn once.
    """
    sizes, trims = list_groups(patchwork), {trim.group for trim in patchwork.trims}
    wanted = trims.union(groups)

    def is_twin(group: Group) -> bool:
        outer = any(sizes[group[:n]] == sizes[group] for n in range(1, len(group)) if group[:n] in wanted)
        inner = any(trim[: len(group)] == group and sizes[trim] == sizes[group] for trim in trims if trim)
        return outer or inner or sizes[group] == len(patchwork.patches)

    outlines: dict[Group, list[Outline]] = {group: [] for group in groups if not is_twin(group)}
    depths = sorted({len(group) for group in groups})
    for patch in patchwork.patches:
        for depth in depths:
            if patch.group[:depth] in outlines and len(patch.group) >= depth:
                outlines[patch.group[:depth]].append(patch.outline)
    return [group for group, found in outlines.items() if len(found) > 1 and build_mesh(found).tiles()]


def list_groups(patchwork: Patchwork) -> dict[Group, int]:
    """Return every group of a design with the number of its patches."""
    return dict(Counter(patch.group[:depth] for patch in patchwork.patches for depth in range(1, len(patch.group) + 1)))
