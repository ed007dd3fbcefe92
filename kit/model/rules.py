"""Rules that a placement must keep, and wishes that it meets as far as possible."""

from dataclasses import dataclass, field, fields
from typing import Literal, TypeAlias, get_args

from kit.errors import KitError

Touching: TypeAlias = Literal["edges", "corners"]
Direction: TypeAlias = Literal["left to right", "right to left", "bottom to top", "top to bottom"]
Scale: TypeAlias = Literal["lightness", "hue"]
WishName: TypeAlias = Literal["difference", "gradient", "symmetry", "spread", "no stripes"]
Symmetry: TypeAlias = Literal["left and right", "top and bottom", "half turn", "quarter turn"]

DIRECTIONS: dict[str, tuple[float, float]] = {
    "left to right": (1, 0), "right to left": (-1, 0), "bottom to top": (0, 1), "top to bottom": (0, -1),
}  # fmt: skip


@dataclass(frozen=True)
class Rules:
    """Rules and wishes for the placement of prints.

    Attributes
    ----------
    touching
        Patches of one print may not share an edge ("edges"), nor meet at a corner ("corners").
    apart
        Along a braid, a ring or within any part of the top: a print may not return within this many steps from patch to
        patch across edges; 1 forbids neighbours only.
    once_in_unit
        A print occurs at most once in each innermost part of the top (a block, a column).
    pairs
        Left and right pieces of a print are cut as mirror pairs from one strip: a fabric limited to n patches covers
        at most n // 2 of each hand.
    pins
        (patch id, name of the fabric): patches that keep their fabric.
    set_aside
        Names of fabrics kept for another project.
    difference
        Wish: neighbours differ by at least this much (CIEDE2000), across all slots; None for no such wish.
    gradient, gradient_by
        Wish: prints run along a direction from dark to light, or through the hues.
    symmetry
        Wish: patches that mirror or turn onto one another have the same print.
    spread
        Wish: a print returns far away rather than near.
    no_stripes
        Wish: no three patches in a line look alike.
    """

    touching: Touching = "edges"
    apart: int = 1
    once_in_unit: bool = False
    pairs: bool = False
    pins: tuple[tuple[str, str], ...] = ()
    set_aside: tuple[str, ...] = ()
    difference: float | None = None
    gradient: Direction | None = None
    gradient_by: Scale = "lightness"
    symmetry: Symmetry | None = None
    spread: bool = False
    no_stripes: bool = False

    def __post_init__(self) -> None:
        for name, allowed in _WORDS.items():
            word = getattr(self, name)
            if word not in (*allowed, _DEFAULTS[name]):
                raise KitError(f"The rule `{name}` is `{word}`", needed=", ".join(allowed), do="choose one of these")
        if not 1 <= self.apart <= 50:
            raise KitError(f"The rule `apart` is {self.apart}", needed="from 1 to 50", do="1 forbids neighbours only")
        if self.difference is not None and not 0 < self.difference <= 100:
            raise KitError(
                f"The wish `difference` is {self.difference:g}", needed="over 0, at most 100", do="10 is clearly seen"
            )
        twice = {patch for patch, _ in self.pins if [p for p, _ in self.pins].count(patch) > 1}
        if twice:
            raise KitError(f"Patch `{min(twice)}` is pinned twice", needed="one fabric per patch", do="drop one pin")

    @property
    def wishful(self) -> bool:
        """Whether there is any wish beyond even use."""
        return bool(self.difference or self.gradient or self.symmetry or self.spread or self.no_stripes)


_WORDS = {
    "touching": get_args(Touching),
    "gradient": get_args(Direction),
    "gradient_by": get_args(Scale),
    "symmetry": get_args(Symmetry),
}
_DEFAULTS = {f.name: f.default for f in fields(Rules)}

PLAIN = Rules()
"""The default rule: patches of one print share no edge."""


@dataclass(frozen=True)
class Wish:
    """The fulfilment of a wish.

    Attributes
    ----------
    name
        The wish.
    count
        The number of failures, out of `total`.
    figure
        Of "difference" the least CIEDE2000; of "gradient" the part of the way that prints are off, on average; of the
        others the same as `count`.
    """

    name: WishName
    count: int
    total: int
    figure: float


@dataclass(frozen=True)
class Recolouring:
    """A placement with as few changes as possible.

    Attributes
    ----------
    assignment
        Patch id -> name of the fabric.
    changed
        Ids of the patches with another fabric.
    swaps
        The pairs of patches that exchanged their fabrics, in order; empty if patches were changed one by one.
    violations
        Remaining forbidden pairs of one fabric.
    bound
        The least number of changes (or swaps) of any solution, as far as proved.
    """

    assignment: dict[str, str]
    changed: tuple[str, ...]
    swaps: tuple[tuple[str, str], ...] = ()
    violations: int = 0
    bound: int = 0
    uses: dict[str, int] = field(default_factory=dict)

    @property
    def gap(self) -> int:
        """The most by which the changes might still be reduced."""
        return (len(self.swaps) or len(self.changed)) - self.bound
