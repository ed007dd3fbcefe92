"""Frames: what goes round the middle of a top, from side to side, as values that refer to patches."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

Side: TypeAlias = Literal["left", "right", "top", "bottom"]
FrameKind: TypeAlias = Literal["plain", "pieced", "spacer"]
FrameCorner: TypeAlias = Literal["butted", "mitred", "cornerstones", "turned"]

SIDES: tuple[Side, ...] = ("left", "right", "top", "bottom")
"""The sides of a frame, in the order in which a frame lists them."""


@dataclass(frozen=True, slots=True)
class Frame:
    """One frame of a top.

    Attributes
    ----------
    kind
        "plain": one strip per side; "pieced": units in a row; "spacer": plain strips that make a pieced frame fit.
    corners
        "butted" (one strip across the other), "mitred", "cornerstones" (a square at each corner) or "turned" (each
        strip over the end of the last).
    left, right, top, bottom
        Ids of the patches of each side, without the squares at the corners. A side without patches has no width; a side
        that was split to be sewn in straight seams has several.
    stones
        Ids of the squares at the corners.
    ends_first
        The top and the bottom of a butted frame are sewn before the sides, which reach over their ends.
    """

    kind: FrameKind
    corners: FrameCorner
    left: tuple[str, ...]
    right: tuple[str, ...]
    top: tuple[str, ...]
    bottom: tuple[str, ...]
    stones: tuple[str, ...] = ()
    ends_first: bool = False

    @property
    def sides(self) -> tuple[tuple[str, ...], ...]:
        """The patches of the four sides, in the order of `SIDES`."""
        return self.left, self.right, self.top, self.bottom

    @property
    def patches(self) -> tuple[str, ...]:
        """Every patch of the frame."""
        return *self.left, *self.right, *self.top, *self.bottom, *self.stones

    @property
    def strips(self) -> bool:
        """Whether each side is one plain strip, so that it can be cut to what the top measures inside it."""
        return self.kind == "plain" and self.corners != "turned" and all(len(side) == 1 for side in self.sides)

    def rename(self, parts: Mapping[str, Sequence[str]]) -> "Frame":
        """Return the frame of a patchwork in which some patches were replaced.

        Parameters
        ----------
        parts
            Id of a patch that is gone -> ids of those in its place.
        """

        def follow(ids: tuple[str, ...]) -> tuple[str, ...]:
            return tuple(name for one in ids for name in parts.get(one, (one,)))

        return replace(
            self,
            left=follow(self.left),
            right=follow(self.right),
            top=follow(self.top),
            bottom=follow(self.bottom),
            stones=follow(self.stones),
        )


def list_measured_borders(frames: Sequence[Frame]) -> tuple[Frame, ...]:
    """Return the borders that are cut to measure, the innermost first.

    What is planned for a border measures inward from the edge of the quilt, strip by strip: from the outside, take
    frames as long as they are plain strips.

    Parameters
    ----------
    frames
        From the inside.

    Examples
    --------
    >>> plain, turned = (Frame("plain", corners, ("l",), ("r",), ("t",), ("b",)) for corners in ("mitred", "turned"))
    >>> [frame.corners for frame in list_measured_borders([plain, turned, plain])]
    ['mitred']
    """

    def inward() -> Iterator[Frame]:
        for frame in reversed(frames):
            if not frame.strips:
                return
            yield frame

    return tuple(inward())[::-1]
