"""The tree of units: each part of a top that is made on its own, once, with how many there are and where they lie.

Which copy of which unit holds a patch is written on the patch. Copies are one unit when they bear one name and can be
laid onto one another, turned or as mirror images, slot on slot.
"""

from cmath import rect
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import radians
from struct import pack
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

import numpy as np

from kit.geometry.alike_parts import find_alike_parts
from kit.geometry.alike_values import AlikePart
from kit.geometry.congruence import Likeness, compare_outlines
from kit.geometry.mesh import Mesh
from kit.geometry.outlines import Outline, measure_directions, mirror_outline
from kit.geometry.turned_copies import PlacedItems, TurnedReading, read_turned

if TYPE_CHECKING:
    from kit.model.patchwork import Patch

TOP = "top"
"""What the outermost unit is called."""


class Within(NamedTuple):
    """The copy of a unit that holds a patch.

    Attributes
    ----------
    unit
        Name of the unit: "column", "arm".
    copy
        What tells this copy from the others: "2", "1-3"; empty where there is one.
    """

    unit: str
    copy: str = ""

    def __str__(self) -> str:
        return f"{self.unit} {self.copy}".rstrip()


Group: TypeAlias = tuple[Within, ...]
"""The copies of units that hold a patch, from the outermost in."""


@dataclass(frozen=True, slots=True)
class Placing:
    """Where a copy of a unit lies, seen from the first copy.

    Attributes
    ----------
    x, y
        Inches that it is moved, after it was mirrored and turned about the origin of the top.
    degrees
        By how much it is turned, counter-clockwise.
    mirrored
        Whether it is a mirror image, which is taken first, in the upright line through the origin.
    """

    x: float
    y: float
    degrees: float
    mirrored: bool = False

    def move(self, point: tuple[float, float]) -> tuple[float, float]:
        """Return where a point of the first copy lies in this one."""
        z = complex(-point[0] if self.mirrored else point[0], point[1])
        z = z * complex(np.exp(1j * np.radians(self.degrees))) + complex(self.x, self.y)
        return z.real, z.imag


@dataclass(frozen=True)
class Unit:
    """A part of the top that is made on its own: once, or again and again.

    Attributes
    ----------
    name
        What it is called: "column", "arm"; a letter follows where several unlike units bear one name.
    copies
        How many there are in the whole top, mirror images included.
    children
        The units directly inside it, each once.
    patches
        Patch ids of every copy; the n-th patch of each takes the same part.
    placings
        Where each copy lies, seen from the first.
    largest_bound
        Of a top that names no units, so that they were found: no part of it that repeats has more patches. None where
        the design names its units.
    """

    name: str
    copies: int
    children: tuple["Unit", ...]
    patches: tuple[tuple[str, ...], ...]
    placings: tuple[Placing, ...]
    largest_bound: int | None = None

    @property
    def size(self) -> int:
        """How many patches a copy has."""
        return len(self.patches[0])

    @property
    def proved_largest(self) -> bool:
        """Return True if the largest unit that was found is as large as the bound; False is "not proved largest"."""
        largest = max((unit.size for unit in self.list_all() if unit.copies > 1), default=0)
        return self.largest_bound is not None and largest >= self.largest_bound

    @property
    def mirrored(self) -> int:
        """How many copies are mirror images of the first."""
        return sum(placing.mirrored for placing in self.placings)

    def list_all(self) -> tuple["Unit", ...]:
        """Return the unit and every unit inside it, each once, the innermost first."""
        found: dict[str, Unit] = {}
        for child in self.children:
            for unit in child.list_all():
                found.setdefault(unit.name, unit)
        return (*found.values(), self)


def read_units(patches: Sequence["Patch"]) -> Unit:
    """Return the tree of units that the groups of some patches make; its root is the top.

    Each copy is read as it lies and as its mirror image; copies of one name and one reading are one unit.

    Notes
    -----
    Some 0.2 s for 3,000 patches in 60 units.
    """
    reader = _CopyReader(patches)
    copies = _list_copies(patches)
    kinds: dict[tuple[str, bytes], list[_Copy]] = {}
    kind_of: dict[Group, tuple[str, bytes]] = {}
    for group, numbers in copies.items():
        copy = reader.read(group, numbers)
        first = kinds.setdefault((group[-1].unit, copy.reading), [])
        first.append(copy)
        kind_of[group] = (group[-1].unit, copy.reading)
    names = _name_kinds(list(kinds))
    inside = _find_inside(copies, kind_of)
    made: dict[tuple[str, bytes], Unit] = {}
    for kind in sorted(kinds, key=lambda kind: -len(kinds[kind][0].group)):
        found = kinds[kind]
        children = tuple(made[child] for child in inside[found[0].group])
        made[kind] = Unit(
            names[kind],
            len(found),
            children,
            tuple(tuple(patches[i].id for i in copy.pose.order) for copy in found),
            tuple(_place(found[0], copy) for copy in found),
        )
    here = tuple(patch.id for patch in patches)
    return Unit(TOP, 1, tuple(made[kind] for kind in inside[()]), (here,), (Placing(0.0, 0.0, 0.0),))


def find_repeating(patches: Sequence["Patch"], mesh: Mesh) -> Unit:
    """Return the tree of units of a design that names none: its parts that repeat, slot on slot, found by congruence.

    Parts are named "unit A" and so on, the largest first. The tree is the one with the fewest written joins; the
    largest part of all is counted beside it.

    Notes
    -----
    About a second for 3,000 patches; the bound is exact for small tops, and says so (`proved_largest`).
    """
    slots: dict[object, int] = {}
    labels = [slots.setdefault((patch.slot, patch.sewn is not None), len(slots)) for patch in patches]
    found = find_alike_parts([patch.outline for patch in patches], labels, mesh)
    names = {id(part): f"unit {write_letters(n)}" for n, part in enumerate(_list_found(found.parts), start=1)}
    children = tuple(_make_found(part, patches, names) for part in found.parts)
    here = tuple(patch.id for patch in patches)
    return Unit(TOP, 1, children, (here,), (Placing(0.0, 0.0, 0.0),), found.bound)


def _list_found(parts: Sequence[AlikePart]) -> list[AlikePart]:
    """Return parts and those inside them, the largest first."""
    found, waiting = [], list(parts)
    while waiting:
        part = waiting.pop(0)
        found.append(part)
        waiting += part.inside
    return sorted(found, key=lambda part: (-part.size, part.copies[0]))


def _make_found(part: AlikePart, patches: Sequence["Patch"], names: Mapping[int, str]) -> Unit:
    return Unit(
        names[id(part)],
        len(part.copies),
        tuple(_make_found(inner, patches, names) for inner in part.inside),
        tuple(tuple(patches[i].id for i in copy) for copy in part.copies),
        tuple(Placing(move.dx, move.dy, move.degrees, mirrored=move.mirrored) for move in part.moves),
    )


@dataclass(frozen=True, eq=False)
class _Copy:
    """One copy of a unit, read as it lies or as its mirror image, whichever reading comes first."""

    group: Group
    reading: bytes
    pose: TurnedReading
    mirrored: bool


class _CopyReader:
    """Reads copies of units so that alike ones give one reading."""

    def __init__(self, patches: Sequence["Patch"]) -> None:
        self.patches = patches
        outlines = [patch.outline for patch in patches]
        sewn = [patch.sewn or patch.outline for patch in patches]
        likes = compare_outlines([*outlines, *map(mirror_outline, outlines), *sewn, *map(mirror_outline, sewn)])
        n = len(patches)
        self.plain = _read_items(outlines, likes[:n], [like.shape for like in likes[2 * n : 3 * n]])
        flipped = [mirror_outline(outline) for outline in outlines]
        self.flipped = _read_items(flipped, likes[n : 2 * n], [like.shape for like in likes[3 * n :]])
        self.words: dict[tuple[object, ...], int] = {}

    def read(self, group: Group, numbers: Sequence[int]) -> _Copy:
        """Return a copy with its reading."""
        depth = len(group)
        poses = [self._pose(items, numbers, depth) for items in (self.plain, self.flipped)]
        mirrored = poses[1].reading < poses[0].reading
        pose = poses[mirrored]
        order = tuple(numbers[i] for i in pose.order)
        return _Copy(group, pose.reading, TurnedReading(pose.reading, order, pose.middle, pose.east), mirrored)

    def _pose(self, items: PlacedItems, numbers: Sequence[int], depth: int) -> TurnedReading:
        if len(numbers) == 1:
            return self._pose_single(items, numbers[0], depth)
        pick = np.asarray(numbers)
        labels = []
        for i, label in zip(numbers, items.labels[pick].tolist(), strict=True):
            labels.append(self._number(i, label, depth))
        chosen = PlacedItems(np.array(labels), items.places[pick], items.turns[pick], items.periods[pick])
        return read_turned(chosen, range(len(numbers)))

    def _pose_single(self, items: PlacedItems, i: int, depth: int) -> TurnedReading:
        """Return what `read_turned` reads of one patch, without its search."""
        label = self._number(i, int(items.labels[i]), depth)
        east = rect(1.0, -radians(float(items.turns[i])))
        return TurnedReading(pack(">4q", label, 0, 0, 0), (0,), complex(items.places[i]), east)

    def _number(self, i: int, label: int, depth: int) -> int:
        """Return the number of what a patch is within a copy: its shape, slot and units around it."""
        patch = self.patches[i]
        word = (label, patch.slot, tuple(within.unit for within in patch.group[depth:]))
        return self.words.setdefault(word, len(self.words))


def _read_items(outlines: Sequence[Outline], likes: Sequence[Likeness], sewn: Sequence[int]) -> PlacedItems:
    """Return outlines as things that can be compared: their shape, as finished and as sewn, place and direction."""
    labels = [like.shape * len(likes) * 4 + other for like, other in zip(likes, sewn, strict=True)]
    places = [sum(complex(x, y) for x, y in outline) / len(outline) for outline in outlines]
    turns = [measure_directions(outline)[like.first] for outline, like in zip(outlines, likes, strict=True)]
    periods = [360.0 * like.period / len(outline) for outline, like in zip(outlines, likes, strict=True)]
    return PlacedItems(np.array(labels), np.array(places, dtype=np.complex128), np.array(turns), np.array(periods))


def _list_copies(patches: Sequence["Patch"]) -> dict[Group, list[int]]:
    """Return the patches of every copy of every unit."""
    found: dict[Group, list[int]] = {}
    for i, patch in enumerate(patches):
        for depth in range(1, len(patch.group) + 1):
            found.setdefault(patch.group[:depth], []).append(i)
        if patch.unit:
            found[(*patch.group, Within(patch.unit, patch.id))] = [i]
    return found


def _find_inside(
    copies: Mapping[Group, object], kind_of: Mapping[Group, tuple[str, bytes]]
) -> dict[Group, dict[tuple[str, bytes], None]]:
    """Return for every copy the kinds of unit directly inside it, in order."""
    inside: dict[Group, dict[tuple[str, bytes], None]] = {(): {}, **{group: {} for group in copies}}
    for group in copies:
        inside[group[:-1]][kind_of[group]] = None
    return inside


def _name_kinds(kinds: Sequence[tuple[str, bytes]]) -> dict[tuple[str, bytes], str]:
    """Return the name of every kind: its own, with a letter where unlike units bear one name."""
    counts = Counter(name for name, _ in kinds)
    used: Counter[str] = Counter()
    names = {}
    for kind in kinds:
        name = kind[0]
        used[name] += 1
        names[kind] = name if counts[name] == 1 else f"{name} {write_letters(used[name])}"
    return names


def write_letters(n: int) -> str:
    """Return A, B, ... Z, AA, AB, ... for 1, 2, ...

    Examples
    --------
    >>> write_letters(2), write_letters(28)
    ('B', 'AB')
    """
    text = ""
    while n:
        n, rest = divmod(n - 1, 26)
        text = chr(65 + rest) + text
    return text


def _place(first: _Copy, copy: _Copy) -> Placing:
    """Return where a copy lies, seen from the first."""
    start, goal = first.pose, copy.pose
    turn, shift = start.east / goal.east, goal.middle - start.middle * start.east / goal.east
    if first.mirrored and not copy.mirrored:
        degrees, moved = np.degrees(np.angle(turn)), shift
        return Placing(moved.real, moved.imag, float(degrees) % 360, mirrored=True)
    if copy.mirrored and not first.mirrored:
        degrees, moved = -np.degrees(np.angle(turn)), -shift.conjugate()
        return Placing(moved.real, moved.imag, float(degrees) % 360, mirrored=True)
    if copy.mirrored:
        return Placing(-shift.real, shift.imag, float(-np.degrees(np.angle(turn))) % 360)
    return Placing(shift.real, shift.imag, float(np.degrees(np.angle(turn))) % 360)
