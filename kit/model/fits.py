"""Fits: ways to bring a study to a wanted finished size."""

from dataclasses import dataclass

from kit.model.pattern import Sketch


@dataclass(frozen=True)
class Target:
    """A wanted finished size.

    Attributes
    ----------
    width, height
        Finished inches of the top, before quilting and washing.
    tolerance
        The most by which either may be off, inches.
    reasons
        Sentences on the origin of the size.
    cautions
        Sentences of caution about the size.
    """

    width: float
    height: float
    tolerance: float
    reasons: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class SizeChoice:
    """The values that a search may set, in inches; None if the study does not have the key or it must not change.

    Attributes
    ----------
    across, down
        The counts.
    block
        The key length of a block.
    sashing
        Finished width of the sashing or the bars.
    border
        Finished width of the outermost plain border.
    """

    across: int
    down: int | None
    block: float | None
    sashing: float | None
    border: float | None


@dataclass(frozen=True)
class KeyChange:
    """A key of the study that a way to a size changes.

    Attributes
    ----------
    key
        Its name as in the study file, without `design.`: "strip_cut", "unit.arm.pairs".
    old, new
        Both values as the study file writes them; `old` is the default where the study leaves the key out.
    """

    key: str
    old: int | str
    new: int | str


@dataclass(frozen=True)
class Option:
    """One way to the size.

    Attributes
    ----------
    choice
        The chosen values.
    finished
        Finished (width, height), inches.
    points
        Its flaws, each with its points: the error in size, the changes to the study, the wishes not met.
    sketch
        The quilt, with its cloth by a quick plan.
    changes
        The changed keys with both values.
    """

    choice: SizeChoice
    finished: tuple[float, float]
    points: tuple[tuple[str, float], ...]
    sketch: Sketch
    changes: tuple[KeyChange, ...] = ()

    @property
    def oddness(self) -> float:
        """The sum of the points; zero for a quilt of exactly the size without any other change."""
        return sum(points for _, points in self.points)


@dataclass(frozen=True)
class Fit:
    """The answer to a wish for a size.

    Attributes
    ----------
    target
        The wanted size.
    options
        The best ways, the least odd first: one for each pair of counts, and more if there are few pairs.
    tried
        The number of combinations within the tolerance.
    refused
        Sentences on combinations that could not be built.
    names
        The changed keys of the study: across, down, block, sashing, border; empty if the study does not have the key.
    keys
        The keys that were looked at, where the search went through keys of the study by name; else empty.
    """

    target: Target
    options: tuple[Option, ...]
    tried: int
    refused: tuple[str, ...]
    names: tuple[str, str, str, str, str]
    keys: tuple[str, ...] = ()
