"""The check of pieces on hand that are cut up: panels within their piece, side by side, parted by straight cuts."""

from collections import defaultdict
from collections.abc import Sequence
from typing import NoReturn

from kit.errors import CheckError
from kit.model.finishing import FinishingPlan
from kit.model.finishing_parts import Backing

NEAR = 1e-6
Box = tuple[float, float, float, float]


def check_cut_pieces(plan: FinishingPlan, way: Backing, part: str) -> None:
    """Refuse panels that do not come out of the pieces that they name.

    Raises
    ------
    CheckError
        Names the part, the piece and both figures.
    """
    if any(panel.source is not None for panel in way.panels):
        corners = [list(zip(*panel.outline, strict=True)) for panel in way.panels]
        laid = [(min(xs), min(ys), max(xs), max(ys)) for xs, ys in corners]
        _refuse_overlap(part, laid, "in the backing")
        if not comes_apart(laid):
            _refuse(part, "its seams do not run straight across", "panels that are sewn one after another")
    taken: dict[int, list[Box]] = defaultdict(list)
    for panel in way.panels:
        if panel.source is not None:
            wide, high = reversed(panel.cut) if panel.turned else panel.cut
            x, y = panel.place
            taken[panel.source].append((x, y, x + wide, y + high))
            if panel.turned and plan.wishes.backing_one_way:
                _refuse(part, "a panel lies on its side", "panels as the print stands")
    for number, boxes in taken.items():
        if not 0 <= number < len(plan.wishes.on_hand):
            _refuse(part, f"piece {number + 1} is cut", f"one of {len(plan.wishes.on_hand)} pieces")
        _check_piece(part, number, plan.wishes.on_hand[number], boxes)


def _check_piece(part: str, number: int, size: tuple[float, float], boxes: Sequence[Box]) -> None:
    wide, high = size
    for left, bottom, right, top in boxes:
        if min(left, bottom) < -NEAR or right > wide + NEAR or top > high + NEAR:
            _refuse(part, f"a panel reaches {right:g} x {top:g} in into piece {number + 1}", f"{wide:g} x {high:g} in")
    _refuse_overlap(part, boxes, f"of piece {number + 1}")
    if not comes_apart(boxes):
        _refuse(part, f"piece {number + 1} is not cut from edge to edge", "straight cuts across what is left")


def _refuse_overlap(part: str, boxes: Sequence[Box], where: str) -> None:
    for i, one in enumerate(boxes):
        for other in boxes[:i]:
            if min(one[2], other[2]) - max(one[0], other[0]) > NEAR < min(one[3], other[3]) - max(one[1], other[1]):
                _refuse(part, f"two panels {where} overlap", "panels side by side")


def comes_apart(boxes: Sequence[Box]) -> bool:
    """Return whether boxes that do not overlap are parted one after another by straight cuts through.

    Examples
    --------
    >>> comes_apart([(0, 0, 2, 1), (2, 0, 3, 2), (1, 2, 3, 3), (0, 1, 1, 3)])
    False
    """
    if len(boxes) < 2:
        return True
    for axis in (0, 1):
        for cut in sorted({box[axis + 2] for box in boxes}):
            before = [box for box in boxes if box[axis + 2] <= cut + NEAR]
            after = [box for box in boxes if box[axis] >= cut - NEAR]
            if before and after and len(before) + len(after) == len(boxes):
                return comes_apart(before) and comes_apart(after)
    return False


def _refuse(part: str, found: str, needed: str) -> NoReturn:
    raise CheckError(f"finishing plan, {part}: {found}", needed=needed, do="make the plan again from the study")
