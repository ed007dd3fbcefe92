"""Backing: seams lengthwise or crosswise, one diagonal cut, wide cloth or pieces on hand, ranked by cloth and seams."""

from collections.abc import Sequence
from itertools import pairwise
from math import sqrt

from kit.errors import KitError, NoPlanError
from kit.geometry.outlines import make_rectangle
from kit.lengths import SLACK, write_length
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_parts import Backing, BackingPlan, Panel
from kit.model.finishing_ways import BorderWay
from kit.model.notices import Notice, notice
from kit.planning.finishing.backing_on_hand import lay_seams, piece_backing
from kit.planning.finishing.off_the_bolt import HAND, count_strips, find_bought, find_usable
from kit.planning.finishing.pieces_cut_up import cut_up_backing


def plan_backing(width: float, height: float, wishes: FinishingWishes, top: TopFacts) -> BackingPlan:
    """Plan the backing.

    Make every possible way, give the reason against each other way, and rank by square inches bought, then by seams.
    The first is taken, unless another spares seams for at most a hand's width more.

    Parameters
    ----------
    width, height
        Finished size of the top.

    Raises
    ------
    NoPlanError
        The chosen way is impossible; gives the reason.

    Notes
    -----
    n widths of usable width U cover n·U - (n - 1)·2a with seams of allowance a. The last panel is trimmed, so that the
    rest is one piece and no seam lies under the fold along the middle (common practice, no source).
    """
    needed = (width + 2 * wishes.overhang_sides, height + 2 * wishes.overhang_ends)
    found = [
        _run_seams("lengthwise", needed, wishes.backing_width, wishes, top),
        _run_seams("crosswise", needed, wishes.backing_width, wishes, top),
        _cut_diagonally(needed, wishes, top),
        _take_wide(needed, wishes, top),
        _piece_on_hand(needed, wishes),
    ]
    ways = [way for way in found if isinstance(way, Backing)]
    ranked = tuple(sorted(ways, key=lambda way: (round(way.area, 6), way.seams)))
    refused = tuple(reason for reason in found if isinstance(reason, Notice))
    if wishes.backing == "least cloth":
        chosen = _spare_seams(ranked)
    else:
        chosen = next((way for way in ranked if way.way == wishes.backing), None)
    if chosen is None:
        raise _refuse_way(next((reason for reason in refused if reason["way"] == wishes.backing), None), needed, top)
    return BackingPlan(
        needed, (wishes.overhang_sides, wishes.overhang_ends), wishes.backing_allowance, chosen, ranked, refused
    )


def _spare_seams(ranked: Sequence[Backing]) -> Backing | None:
    """Return the way with the fewest seams of those that take at most a hand's width more cloth than the least."""
    if not ranked:
        return None
    most = (ranked[0].cloth + HAND) * ranked[0].cloth_width + SLACK
    return min((way for way in ranked if way.cloth * way.cloth_width <= most), key=lambda way: way.seams)


def _refuse_way(reason: Notice | None, needed: tuple[float, float], top: TopFacts) -> NoPlanError:
    """Return the refusal of the chosen way, with the reason against it."""
    width, height = (write_length(side, top.system) for side in needed)
    found = "no backing can be made"
    if reason is not None:
        facts = dict(reason.figures)
        why = {
            "print-on-its-side": "the print has a top, and would lie on its side",
            "wide-cloth-missing": "there is no wide cloth",
            "no-single-cut": "serves for more than one width of {room} and less than one and a half",
            "nothing-on-hand": "no pieces were named",
            "too-little-on-hand": "{count} pieces do not cover {width} by {height}",
        }[reason.kind]
        across = facts.get("room")
        room = write_length(across, top.system) if isinstance(across, float) else ""
        found = f"{reason['way']}: {why.format(room=room, width=width, height=height, count=facts.get('count'))}"
    return NoPlanError(
        found, needed=f"a backing of {width} by {height}", do='choose another way, or backing = "least cloth"'
    )


def _run_seams(
    way: BorderWay, needed: tuple[float, float], cloth_width: float | None, wishes: FinishingWishes, top: TopFacts
) -> Backing | Notice:
    """Sew whole widths side by side; the seams run along the quilt or across it."""
    lengthwise = way == "lengthwise"
    if wishes.backing_one_way and not lengthwise:
        return notice("print-on-its-side", way=way)
    across, along = needed if lengthwise else needed[::-1]
    room = find_usable(cloth_width, wishes, top)
    seam = wishes.backing_allowance
    count = count_strips(across, room, 2 * seam, part="backing")
    edges = lay_seams((room,) * count, seam, across)
    panels = []
    for start, end in pairwise(edges):
        box = (start, 0.0, end - start, along) if lengthwise else (0.0, start, along, end - start)
        panels.append(Panel((room, along) if lengthwise else (along, room), make_rectangle(*box)))
    covered = count * room - (count - 1) * 2 * seam
    left = covered - across
    cloth = count * along
    return Backing(
        way, room, tuple(panels), count - 1, (covered, along) if lengthwise else (along, covered), cloth,
        find_bought(cloth, wishes, top), ((left, along),) if left > SLACK else (),
    )  # fmt: skip


def _take_wide(needed: tuple[float, float], wishes: FinishingWishes, top: TopFacts) -> Backing | Notice:
    """Take wide cloth in the direction that needs less of it."""
    if wishes.wide_width is None:
        return notice("wide-cloth-missing", way="wide")
    both: tuple[BorderWay, ...] = ("lengthwise", "crosswise")
    ways = [_run_seams(way, needed, wishes.wide_width, wishes, top) for way in both]
    best = min((way for way in ways if isinstance(way, Backing)), key=lambda way: (way.bought, way.seams))
    return Backing(
        "wide", best.cloth_width, best.panels, best.seams, best.covers, best.cloth, best.bought, best.offcuts
    )


def find_diagonal_length(width: float, length: float, cloth_width: float, allowance: float = 0.0) -> float:
    """Return the inches of cloth that give width by length when cut once from corner to corner, slid and sewn.

    Sliding the halves by a width d lengthens one side by d and shortens the other by d·X/F, with F the width of
    the cloth and X its length; the seam of allowance a takes 2a at right angles to the cut. So
    X·(2F - W) = L·F + 2a·√(X² + F²); without the seam X = L·F / (2F - W).

    Raises
    ------
    KitError
        One width is wide enough, or the backing is wider than one and a half widths.

    Examples
    --------
    >>> find_diagonal_length(50, 60, 40)
    80.0
    """
    if not cloth_width < width < 1.5 * cloth_width:
        raise KitError(
            f"a diagonal cut of cloth {write_length(cloth_width)} wide for a backing {write_length(width)} wide",
            needed="a backing wider than one width of cloth and narrower than one and a half",
            do="use one width, or sew two widths side by side",
        )
    k, area = 2 * cloth_width - width, length * cloth_width
    two = 2 * allowance
    if k <= two:
        raise KitError(
            f"a diagonal seam of {write_length(allowance)} takes the whole overlap of the slid halves",
            needed="a narrower seam or wider cloth",
            do="sew widths side by side",
        )
    root = two * sqrt(area**2 + cloth_width**2 * (k**2 - two**2))
    return (k * area + root) / (k**2 - two**2)


def _cut_diagonally(needed: tuple[float, float], wishes: FinishingWishes, top: TopFacts) -> Backing | Notice:
    """Cut one length from corner to corner, slide the halves and sew; lengthwise or crosswise, whichever is shorter."""
    room = find_usable(wishes.backing_width, wishes, top)
    seam = wishes.backing_allowance
    found = []
    for turned in (False,) if wishes.backing_one_way else (False, True):
        across, along = needed[::-1] if turned else needed
        if room < across < min(1.5 * room, 2 * room - 2 * seam):
            found.append((find_diagonal_length(across, along, room, seam), turned))
    if not found:
        return notice("no-single-cut", way="diagonal", room=room)
    cloth, turned = min(found)
    across, along = needed[::-1] if turned else needed
    lost = seam * sqrt(cloth**2 + room**2) / cloth
    foot, head = across - room + lost, room - lost
    halves = (
        ((0.0, 0.0), (foot, 0.0), (head, along), (0.0, along)),
        ((foot, 0.0), (across, 0.0), (across, along), (head, along)),
    )
    panels = []
    for outline in halves:
        laid = tuple((y, x) for x, y in reversed(outline)) if turned else outline
        panels.append(Panel((cloth, room) if turned else (room, cloth), laid))
    return Backing("diagonal", room, tuple(panels), 1, needed, cloth, find_bought(cloth, wishes, top), ())


def _piece_on_hand(needed: tuple[float, float], wishes: FinishingWishes) -> Backing | Notice:
    """Sew pieces on hand."""
    if not wishes.on_hand:
        return notice("nothing-on-hand", way="on hand")
    turning = not wishes.backing_one_way
    panels, covers = piece_backing(needed, wishes.on_hand, wishes.backing_allowance, turning=turning)
    if not panels:
        panels, covers = cut_up_backing(needed, wishes.on_hand, wishes.backing_allowance, turning=turning)
    if not panels:
        width, height = needed
        return notice("too-little-on-hand", way="on hand", count=len(wishes.on_hand), width=width, height=height)
    return Backing("on hand", 0.0, panels, len(panels) - 1, covers, 0.0, 0.0, ())
