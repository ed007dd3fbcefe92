"""Quarters: a quarter of the quilt becomes the whole, turned around the middle or mirrored in both middle lines.

The designed quarter is the upper left one. The seams are those of the quarters, and between the quarters an upright
and a level line through the middle, or the two seams of each strip between them.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from kit.designs.keys import refuse_keys
from kit.designs.settings import Quarters
from kit.geometry.outlines import TOLERANCE, Outline, make_rectangle, mirror_outline, move_outline, turn_outline
from kit.lengths import write_length
from kit.model.patchwork import Patch, Trim, Within

QuarterParts = tuple[list[Patch], list[Trim]]
QuarterTurn = tuple[Callable[[Outline], Outline], Callable[[float], float]]
"""A move of an outline and of its grain direction."""


def measure_whole(keys: Quarters, width: float, height: float) -> tuple[float, float]:
    """Return the finished width and height of the whole.

    Raises
    ------
    PatchworkError
        A turned quarter that is not square.
    """
    if keys.images == "turned" and abs(width - height) > TOLERANCE:
        raise refuse_keys(
            f'`design.quarters.images` is "turned" for a quarter that finishes {write_length(width)} x'
            f" {write_length(height)}",
            "a quarter as wide as high",
            'change its columns or rows, or set images = "mirrored"',
        )
    between = keys.between_finished or 0.0
    return 2 * width + between, 2 * height + between


def complete_quarters(
    keys: Quarters, patches: Sequence[Patch], trims: Sequence[Trim], width: float, height: float
) -> QuarterParts:
    """Return the whole, its lower left corner at (0, 0), from its upper left quarter, also given at (0, 0).

    Parameters
    ----------
    keys
        How the others follow, and the strips between them.
    patches, trims
        The quarter.
    width, height
        Finished inches of the quarter.
    """
    wide, high = measure_whole(keys, width, height)
    middle = wide / 2, high / 2
    lift = high - height

    def flip(outline: Outline) -> Outline:
        return tuple((x, high - y) for x, y in reversed(outline))

    def turn(degrees: float) -> QuarterTurn:
        return lambda o: turn_outline(o, degrees, about=middle), lambda grain: (grain + degrees) % 360

    same: QuarterTurn = (lambda o: o, lambda grain: grain)
    across: QuarterTurn = (lambda o: mirror_outline(o, axis=middle[0]), lambda grain: -grain % 360)
    down: QuarterTurn = (flip, lambda grain: -grain % 360)
    if keys.images == "mirrored":
        changes = {"A": same, "B": across, "C": down, "D": turn(180)}
    else:
        changes = {"A": same, "B": turn(270), "C": turn(90), "D": turn(180)}
    found: list[Patch] = []
    trimmed: list[Trim] = []
    for letter, (change, regrain) in changes.items():
        group = (Within("quarter", letter),)
        for patch in patches:
            sewn = change(move_outline(patch.sewn, 0.0, lift)) if patch.sewn else None
            outline = change(move_outline(patch.outline, 0.0, lift))
            found.append(
                replace(
                    patch, id=f"{letter}-{patch.id}", outline=outline, group=group + patch.group,
                    grain=regrain(patch.grain), sewn=sewn,
                )
            )  # fmt: skip
        trimmed += [Trim(group + trim.group, change(move_outline(trim.outline, 0.0, lift))) for trim in trims]
    return found + _lay_between(keys, width, height), trimmed


def _lay_between(keys: Quarters, width: float, height: float) -> list[Patch]:
    """Return the four strips between the quarters and the square in the middle."""
    s = keys.between_finished
    if not s:
        return []
    strips = {
        "top": (make_rectangle(width, height + s, s, height), 90.0),
        "left": (make_rectangle(0.0, height, width, s), 0.0),
        "right": (make_rectangle(width + s, height, width, s), 0.0),
        "bottom": (make_rectangle(width, 0.0, s, height), 90.0),
    }
    laid = [
        Patch(f"path-{side}", outline, keys.between_slot, "path", grain=grain)
        for side, (outline, grain) in strips.items()
    ]
    return [*laid, Patch("path-middle", make_rectangle(width, height, s, s), keys.middle_slot, "path middle")]
