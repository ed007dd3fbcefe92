"""Fits: the ways in which a study can be brought to a wanted finished size."""

from dataclasses import dataclass

from kit.model.pattern import Sketch


@dataclass(frozen=True)
class Target:
    """A wanted finished size.

    Attributes
    ----------
    width, height
        Inches that the top is to finish, before it is quilted and washed.
    tolerance
        Inches by which either may be off.
    reasons
        Sentences: how the size was come by.
    cautions
        Sentences that go with the size.
    """

    width: float
    height: float
    tolerance: float
    reasons: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class SizeChoice:
    """What a search may set, in inches; None where the study has nothing of the kind or it is not to change.

    Attributes
    ----------
    across, down
        The counts.
    block
        The length that sets the size of a block.
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
class Option:
    """One way to the size.

    Attributes
    ----------
    choice
        What is set.
    finished
        (width, height) that it finishes, inches.
    points
        What is odd about it, each with its points: how far off it is, how unlike the study, which wishes it leaves.
    sketch
        The quilt, with what it takes in cloth by a quick plan.
    """

    choice: SizeChoice
    finished: tuple[float, float]
    points: tuple[tuple[str, float], ...]
    sketch: Sketch

    @property
    def oddness(self) -> float:
        """The sum of the points; nought is a quilt of exactly the size and otherwise as it was."""
        return sum(points for _, points in self.points)


@dataclass(frozen=True)
class Fit:
    """The answer to a wish for a size.

    Attributes
    ----------
    target
        What was wanted.
    options
        The best, the least odd first: one for each pair of counts, and more where there are few pairs.
    tried
        How many combinations lie within the tolerance.
    refused
        Sentences on those that could not be built.
    names
        The keys of the study that were set: across, down, block, sashing, border; empty where there is none.
    """

    target: Target
    options: tuple[Option, ...]
    tried: int
    refused: tuple[str, ...]
    names: tuple[str, str, str, str, str]
