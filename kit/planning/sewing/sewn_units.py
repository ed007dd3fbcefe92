"""Units: the parts of a top that are made separately, and the equal ones among them.

A part becomes a unit if it is a group of the design (a block, a column), a row of groups, or if it occurs more than
once, turned but not mirrored. Every other part is sewn within its unit. Only the first of several equal parts is
taken further apart.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count

from kit.geometry.congruence import compare_outlines
from kit.geometry.turned_copies import PlacedItems, read_turned
from kit.model.patchwork import Patchwork
from kit.model.units import write_letters
from kit.planning.sewing.seam_tree import Part

SMALL = 24
"""The most patches in the larger half of a part for a search of equals; a larger half is the body of the part."""

NUMBERED = ("row", "column")
"""Units that are told apart by numbers; others by letters."""


@dataclass(eq=False)
class UnitCandidate:
    """A possible unit.

    Attributes
    ----------
    part
        The tree of its first copy.
    order
        Its patches (numbers) in the order that corresponds between copies.
    word
        Its name, without a number.
    forced
        Whether it is a unit even if it occurs once.
    places
        Its places: the enclosing part and the patches there, in corresponding order.
    copies
        The patches of every copy.
    name
        The unit's name, with a number or letter if the word is not unique.
    home
        The trimmed cell around it, or -1.
    """

    part: Part
    order: tuple[int, ...]
    word: str
    forced: bool
    places: "list[tuple[UnitCandidate, tuple[int, ...]]]" = field(default_factory=list)
    copies: list[tuple[int, ...]] = field(default_factory=list)
    name: str = ""
    home: int = -1

    @property
    def real(self) -> bool:
        """Whether it is a separate unit."""
        return self.forced or len(self.places) > 1


class UnitFinder:
    """Finds the units of a top.

    Parameters
    ----------
    patchwork
        The top; its patches are known by number, those of its frames by the frame.
    items_of
        Returns the patches in a form for comparison, by the cell in which they are sewn (-1: the top).
    leaves
        Returns the patches of one cell.
    open_cell
        Returns the tree of a trimmed cell, or None for a single patch.
    """

    def __init__(
        self,
        patchwork: Patchwork,
        items_of: Callable[[int], PlacedItems],
        leaves: Callable[[int], tuple[int, ...]],
        open_cell: Callable[[int], Part | None],
    ) -> None:
        self.patches, self.get_items = patchwork.patches, items_of
        patches, frames = patchwork.patches, [frame for frame in patchwork.frames if frame.kind != "spacer"]
        self._borders = {patch: number for number, frame in enumerate(frames, start=1) for patch in frame.patches}
        self._leaves, self._open_cell = leaves, open_cell
        self._known: dict[bytes, UnitCandidate] = {}
        self._sizes = Counter(patch.group[: n + 1] for patch in patches for n in range(len(patch.group)))
        trimmed = [i for i, patch in enumerate(patches) if patch.sewn]
        likes = compare_outlines([patches[i].outline for i in trimmed])
        self._hands = {i: f"{like.hand} " for i, like in zip(trimmed, likes, strict=True) if like.hand}
        self._open: set[int] = set()
        self.maker_of: dict[int, UnitCandidate] = {}
        self.candidates: list[UnitCandidate] = []

    def find_units(self, root: Part, images: Mapping[frozenset[int], str]) -> list[UnitCandidate]:
        """Return the units in the order in which they are made, the top last, with names and copies.

        `images` holds what a copy of a unit is called, by its patches, where mirror images of the unit occur.
        """
        everything = tuple(range(len(self.patches)))
        top = UnitCandidate(root, everything, "top", forced=True)
        top.copies.append(everything)
        self.candidates.append(top)
        waiting = [top]
        while waiting:
            waiting += self._look_into(waiting.pop())
        for candidate in list(self.candidates):
            self._finish_sides(candidate)
        self._copy_out()
        units = [maker for maker in self._sort_out(top) if maker.real]
        called = [images.get(frozenset(unit.copies[0]), "") for unit in units]
        for unit, name in zip(units, called, strict=True):
            if called.count(name) == 1:
                unit.name = name
            elif name:  # equal shapes that are cut or sewn in several ways, such as a one-way print
                unit.word = name
        _give_names(units)
        return units

    def list_patches(self, part: Part) -> tuple[int, ...]:
        """Return the patches of a part in the order of its tree."""
        found: list[int] = []
        stack = [part]
        while stack:
            here = stack.pop()
            if here.halves:
                stack += (here.halves[1], here.halves[0])
            else:
                found += self._leaves(here.cell)
        return tuple(found)

    def _look_into(self, candidate: UnitCandidate) -> list[UnitCandidate]:
        """Register the parts within a part; return the new ones."""
        found: list[tuple[Part, str, bool, bool]] = []
        root = candidate.part
        if root.cell >= 0:
            root.inner = root.inner or self._open_cell(root.cell)
            root = root.inner or root
        if candidate.part.cell >= 0 or not candidate.places:
            self._find_open(root)
        stack = [(root, root.size)]
        while stack:
            part, stage = stack.pop()
            for added, half in enumerate(part.halves or ()):
                trimmed = half.cell >= 0 and len(self._leaves(half.cell)) > 1
                if half.cell >= 0 and not trimmed:
                    continue
                group = self._name_group(half)
                if not group and half.slope == part.slope and not half.closings and not added:
                    stack.append((half, stage))
                    continue
                if not (trimmed or group) and half.size > SMALL and 2 * half.size > stage:
                    stack.append((half, half.size))
                    continue
                found.append((half, group, 2 * half.size <= stage, trimmed))
        # what is sewn first comes first: the end of a braid, which a trim cuts, is a poor pattern for the others
        known = (self._register(candidate, *one) for one in reversed(found))
        return [one for one in known if one is not None]

    def _finish_sides(self, candidate: UnitCandidate) -> None:
        """Make units of parts that would lie aside half done while another part is sewn.

        So each seam adds a piece or a finished unit to what the seam before it made.
        """
        stack = [candidate.part.inner or candidate.part]
        while stack:
            part = stack.pop()
            halves = [half for half in part.halves or () if not self._is_finished(half)]
            if len(halves) == 2:
                first, second = halves
                side = first if id(second) in self._open and id(first) not in self._open else second
                self._set_apart(candidate, side)
                halves.remove(side)
                self._finish_sides(self.maker_of[id(side)])
            stack += halves

    def _is_finished(self, part: Part) -> bool:
        """Return True for a single patch and a unit of its own."""
        made = self.maker_of.get(id(part))
        return part.cell >= 0 or (made is not None and made.real)

    def _set_apart(self, within: UnitCandidate, part: Part) -> None:
        """Make a part a unit, even though it occurs once."""
        made = self.maker_of.get(id(part))
        if made is None:
            found = self.list_patches(part)
            home = within.part.cell if within.part.cell >= 0 else within.home
            order = read_turned(self.get_items(home), found).order
            made = UnitCandidate(part, order, self._name_row(part, found) or self._name_part(found), forced=True)
            made.home = home
            made.places.append((within, order))
            self.maker_of[id(part)] = made
            self.candidates.append(made)
        made.forced = True

    def _find_open(self, root: Part) -> None:
        """Note the parts with an open seam that is closed further out: these differ from their twins."""
        order, stack = [], [root]
        while stack:
            part = stack.pop()
            order.append(part)
            stack += part.halves or ()
        waiting: dict[int, int] = {}
        for part in reversed(order):
            count = sum(waiting[id(half)] for half in part.halves or ())
            count += sum(gap > 0 for gap in part.joint.gaps) if part.joint else 0
            count += sum(gap > 0 for joint in part.closings for gap in joint.gaps[1:])
            count -= sum(joint.kind == "close" for joint in part.closings)
            waiting[id(part)] = count
            if count > 0:
                self._open.add(id(part))

    def _register(
        self, within: UnitCandidate, part: Part, group: str, beside: bool, trimmed: bool
    ) -> UnitCandidate | None:
        """Note a part; return it if it is the first of its kind."""
        found = self.list_patches(part)
        home = within.part.cell if within.part.cell >= 0 else within.home
        turned = read_turned(self.get_items(home), found)
        key = turned.reading + group.encode() + "".join(self._hands.get(i, "") for i in turned.order).encode()
        if id(part) in self._open:
            key += f"open {part.first}".encode()
        candidate = self._known.get(key)
        new = candidate is None
        if candidate is None:
            row = "" if group or not beside else self._name_row(part, found)
            candidate = UnitCandidate(
                part, turned.order, group or row or self._name_part(found), trimmed or bool(group or row)
            )
            candidate.home = home
            self._known[key] = candidate
            self.candidates.append(candidate)
        candidate.places.append((within, turned.order))
        self.maker_of[id(part)] = candidate
        return candidate if new else None

    def _name_group(self, part: Part) -> str:
        """Return the name of the group equal to a part, without its number, or nothing."""
        group = self.patches[part.first].group
        for n in range(1, len(group) + 1):
            if self._sizes[group[:n]] == part.size and all(
                self.patches[i].group[:n] == group[:n] for i in self.list_patches(part)
            ):
                return group[n - 1].unit
        return ""

    def _name_row(self, part: Part, found: Sequence[int]) -> str:
        """Return "row" or "column" for a line of two groups or more, or of three patches; of a border, its part."""
        words = {0.0: "column", 90.0: "row"}
        if part.slope not in words:
            return ""
        borders = {self._borders.get(self.patches[i].id, 0) for i in found}
        if len(found) >= 2 and len(borders) == 1 and 0 not in borders:
            return f"border {borders.pop()} {'end' if part.slope else 'side'}"
        groups = {self.patches[i].group for i in found} - {()}
        if len(groups) >= 2 or (not groups and len(found) >= 3):
            return words[part.slope]
        return ""

    def _name_part(self, found: Sequence[int]) -> str:
        names = list(dict.fromkeys(self.patches[i].name for i in sorted(found)))
        if len(found) == 2:
            return f"{names[0]} pair" if len(names) == 1 else f"{names[0]} with {names[1]}"
        return f"{names[0]} set" if len(names) == 1 else f"{names[0]} and {names[1]} set"

    def _copy_out(self) -> None:
        """Write down every copy, including the copies within every copy of the enclosing part."""
        for candidate in sorted(self.candidates, key=lambda m: -len(m.order)):
            for within, patches in candidate.places:
                place = {patch: i for i, patch in enumerate(within.order)}
                spots = [place[patch] for patch in patches]
                candidate.copies += [tuple(copy[i] for i in spots) for copy in within.copies]

    def _sort_out(self, top: UnitCandidate) -> list[UnitCandidate]:
        """Return all parts, each after its inner parts, in the order of sewing."""
        done: dict[int, UnitCandidate] = {}
        stack: list[tuple[UnitCandidate, bool]] = [(top, False)]
        while stack:
            candidate, ready = stack.pop()
            if id(candidate) in done:
                continue
            if ready:
                done[id(candidate)] = candidate
                continue
            stack.append((candidate, True))
            inside = [self.maker_of[id(part)] for part in _walk(candidate.part) if id(part) in self.maker_of]
            stack += [(found, False) for found in reversed(inside) if found is not candidate]
        return list(done.values())


def _walk(root: Part) -> Iterator[Part]:
    """Yield the parts of a tree, in the order of sewing."""
    stack = [root]
    while stack:
        part = stack.pop()
        yield part
        if part.halves:
            stack += (part.halves[1], part.halves[0])
        elif part.inner:
            stack.append(part.inner)


def _give_names(units: Sequence[UnitCandidate]) -> None:
    """Name the units that have none: by their word, rows and columns of one word with numbers, others with letters."""
    nameless = [unit for unit in units if not unit.name]
    times = Counter(unit.word for unit in nameless)
    taken = {unit.name for unit in units} | {word for word, number in times.items() if number == 1}
    given = {unit.name for unit in units} - {""}
    names = {word: _list_names(word) for word in times}
    for unit in nameless:
        if times[unit.word] == 1 and unit.word not in given:
            unit.name = unit.word
        else:
            unit.name = next(name for name in names[unit.word] if name not in taken)
            taken.add(unit.name)
        given.add(unit.name)


def _list_names(word: str) -> Iterator[str]:
    """Yield the names of units of one word, one after another."""
    return (f"{word} {n if word in NUMBERED else write_letters(n)}" for n in count(1))
