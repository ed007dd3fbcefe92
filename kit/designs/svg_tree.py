"""The elements of a drawing (SVG) as a tree, and where each of its outlines lies.

A group with a name is a unit of the drawing; each `use` of a group places another copy of it. How many outlines a
drawing has is counted before any is placed, each element once.

References
----------
W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), 2011, sections 5.2 to 5.6: groups, defs and use (from memory).
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple, NoReturn

from kit.designs.svg_shapes import Matrix, Shape, join_matrices
from kit.errors import KitError, PatchworkError
from kit.geometry.outlines import Point
from kit.model.patchwork import LIMIT, Group, Within

DEEPEST = 50
"""Elements within elements, copies of groups within groups included."""
UNNAMED = re.compile(r"(g|layer|group|use|svg)[-_ ]?\d*", re.IGNORECASE)
"""Ids that a drawing program gives by itself; such a group is a unit only where it is used again."""


@dataclass(eq=False)
class DrawnElement:
    """An element of a drawing.

    Attributes
    ----------
    tag, label
        As the file has them; the label is its id.
    line
        Where it stands.
    called
        What it is called in messages.
    own
        Its own transform.
    shape, slot
        Of a shape: its outlines in its own units, and their slot.
    target
        Of a `use`: the id that it refers to.
    refusal
        Why it cannot be drawn, where it stands in `defs`: it may never be used.
    """

    tag: str
    line: int
    called: str = ""
    label: str = ""
    own: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    shape: Shape = ()
    slot: str = ""
    target: str = ""
    refusal: KitError | None = None
    children: list["DrawnElement"] = field(default_factory=list)


class PlacedOutline(NamedTuple):
    """An outline in its place: its corners in inches, y down, its slot, what it is called, and the units around it."""

    points: tuple[Point, ...]
    slot: str
    called: str
    group: Group


class ElementPlacer:
    """Places the outlines of a tree of elements.

    Parameters
    ----------
    root
        The element that holds the whole drawing.
    by_id
        The elements that a `use` may refer to.
    name
        Of the drawing, for messages.
    """

    def __init__(self, root: DrawnElement, by_id: Mapping[str, DrawnElement], name: str) -> None:
        self.root, self.by_id, self.name = root, by_id, name
        self.used: set[str] = set()
        self._known: dict[int, tuple[int, int]] = {}
        self._open: list[DrawnElement] = []
        self._numbers: Counter[tuple[Group, str]] = Counter()

    def place(self) -> list[PlacedOutline]:
        """Return every outline in its place, in the order of the drawing.

        Raises
        ------
        PatchworkError
            More outlines than a top may have, a `use` of itself or of nothing, and what cannot be drawn.
        """
        self._measure(self.root)
        return list(self._place(self.root, (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), ()))

    def _measure(self, element: DrawnElement) -> tuple[int, int]:
        """Return how many outlines an element gives, and how many elements deep it is; each is looked at once."""
        if id(element) in self._known:
            found = self._known[id(element)]
            self._check_depth(element, len(self._open) + found[1])
            return found
        if element.refusal is not None:
            raise element.refusal
        self._check_depth(element, len(self._open) + 1)
        self._open.append(element)
        inside = [self._measure(child) for child in self._list_inside(element)]
        self._open.pop()
        count = len(element.shape) + sum(one for one, _ in inside)
        if count > LIMIT:
            self.refuse(
                element, "more outlines than a top may have", f"at most {LIMIT:,}", "draw a block and repeat it"
            )
        self._known[id(element)] = count, 1 + max((deep for _, deep in inside), default=0)
        return self._known[id(element)]

    def _list_inside(self, element: DrawnElement) -> list[DrawnElement]:
        if element.tag == "defs":
            return []
        if element.tag != "use":
            return element.children
        target = self.by_id.get(element.target)
        if target is None:
            self.refuse(
                element,
                f"{element.called} uses `#{element.target:.40}`, which is not a group or an outline of the drawing",
                "the id of a <g>, a shape or another <use>",
                "correct its href, or draw what is missing",
            )
        if target in self._open:
            open_ones = [one.label for one in self._open[self._open.index(target) :] if one.label]
            chain = " -> ".join(f"`{label:.40}`" for label in [*open_ones, target.label])
            self.refuse(
                element,
                f"{element.called} uses what it lies in ({chain})",
                "copies that end somewhere",
                f"take it out of `{target.label:.40}`",
            )
        self.used.add(element.target)
        return [target]

    def _place(self, element: DrawnElement, outer: Matrix, group: Group) -> Iterator[PlacedOutline]:
        if not self._known.get(id(element), (0, 0))[0]:
            return
        matrix = join_matrices(outer, element.own)
        if element.tag == "g" and self._is_named(element):
            name = _clean(element.label)
            self._numbers[group, name] += 1
            group = (*group, Within(name, str(self._numbers[group, name])))
        for corners in element.shape:
            yield PlacedOutline(self._move(element, corners, matrix), element.slot, element.called, group)
        for child in self._list_inside(element):
            yield from self._place(child, matrix, group)

    def _is_named(self, element: DrawnElement) -> bool:
        return bool(_clean(element.label)) and (element.label in self.used or not UNNAMED.fullmatch(element.label))

    def _move(self, element: DrawnElement, corners: tuple[Point, ...], matrix: Matrix) -> tuple[Point, ...]:
        a, b, c, d, e, f = matrix
        points = tuple((a * x + c * y + e, b * x + d * y + f) for x, y in corners)
        if not all(abs(value) < 1e6 for point in points for value in point):
            self.refuse(element, f"{element.called} reaches beyond a million inches", "a quilt", "correct its figures")
        return points

    def _check_depth(self, element: DrawnElement, depth: int) -> None:
        if depth > DEEPEST:
            self.refuse(element, f"elements {depth} deep", f"at most {DEEPEST}", "take the drawing out of its groups")

    def refuse(self, element: DrawnElement, found: str, needed: str, do: str) -> NoReturn:
        """Raise the error of an element, with its place."""
        raise PatchworkError(f"{self.name}, line {element.line}: {found}", needed=needed, do=do)


def _clean(name: str) -> str:
    """Return the name that a group gives to its unit."""
    return "".join(c for c in " ".join(name.split()) if c.isprintable())[:60].strip()
