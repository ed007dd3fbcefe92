"""The requirements of the finishing, as rows: backing, batting, binding and sleeve."""

from kit.lengths import write_buying, write_length
from kit.model.finishing import FinishingPlan
from kit.model.finishing_parts import Backing
from kit.output.words.strings import say

Row = tuple[str, str, str]
"""Name, amount to buy, amount used."""


def list_finishing_needs(plan: FinishingPlan) -> tuple[Row, ...]:
    """Return the amounts to buy for the finishing, and the amounts used.

    Parameters
    ----------
    plan
        The finishing plan of a pattern.
    """
    rows = [_need_backing(plan), _need_batting(plan), _need_binding(plan)]
    sleeve = plan.sleeve
    if sleeve is not None and sleeve.cloth:
        rows.append((say("need_sleeve"), write_buying(sleeve.bought, plan.top.system), _write(sleeve.cloth, plan)))
    return tuple(rows)


def _write(inches: float, plan: FinishingPlan) -> str:
    return write_length(inches, plan.top.system, step=plan.top.step)


def _need_backing(plan: FinishingPlan) -> Row:
    system, way = plan.top.system, plan.backing.chosen
    if not way.bought:
        return say("need_backing"), say("need_on_hand", count=_count_pieces(way)), say("none")
    width = write_length(way.cloth_width, system)
    bought = say("need_width", length=write_buying(way.bought, system), width=width)
    return say("need_backing"), bought, _write(way.cloth, plan)


def _count_pieces(way: Backing) -> int:
    """Return the pieces on hand that a backing takes: those that are cut up count once."""
    whole = sum(panel.source is None for panel in way.panels)
    return whole + len({panel.source for panel in way.panels} - {None})


def _need_batting(plan: FinishingPlan) -> Row:
    system, way = plan.top.system, plan.batting.chosen
    first, second = write_length(way.size[0], system), _write(way.size[1], plan)
    needed = " × ".join(_write(side, plan) for side in plan.batting.needed)
    if way.way == "package":
        return say("need_batting"), say("need_package", width=first, length=second), needed
    return say("need_batting"), say("need_roll", width=first, length=second), needed


def _need_binding(plan: FinishingPlan) -> Row:
    system, part = plan.top.system, plan.binding
    width = write_length(part.cut, system)
    if part.square is not None:
        used = say("need_square", side=write_length(part.square, system))
    else:
        used = say("need_strips" if len(part.lengths) != 1 else "need_strip", count=len(part.lengths), width=width)
    if not part.bought:
        return say("need_binding"), say("need_left_over"), used
    bought = say("need_width", length=write_buying(part.bought, system), width=write_length(part.cloth_width, system))
    return say("need_binding"), bought, used
