"""Joins that a little more cloth spares, or would spare: what is said of them with the finishing."""

from collections.abc import Iterator, Sequence

from kit.lengths import SLACK
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_parts import BackingPlan, BindingPlan, BorderPlan
from kit.model.notices import Notice, notice
from kit.planning.finishing.off_the_bolt import find_wider


def list_spared(
    borders: Sequence[BorderPlan],
    backing: BackingPlan,
    binding: BindingPlan,
    wishes: FinishingWishes,
    top: TopFacts,
) -> Iterator[Notice]:
    """Yield where a hand's width more cloth was taken to spare joins, and from which width there would be one fewer."""
    for border in borders:
        if border.way == "lengthwise" and border.cloth > border.other + SLACK:
            more = border.cloth - border.other
            yield notice("border-joins-spared", border=border.number, more=more)
    way, least = backing.chosen, backing.ranked[0]
    if way.seams < least.seams:
        more = (way.area - least.area) / way.cloth_width
        yield notice("backing-seams-spared", count=least.seams - way.seams, more=more)
    if way.way in ("lengthwise", "crosswise", "wide"):
        upright = way.covers[1] <= backing.needed[1] + SLACK
        across = backing.needed[0] if upright else backing.needed[1]
        lap = 2 * backing.allowance
        wide = find_wider(across, len(way.panels), lap, way.cloth_width, wishes, top)
        if wide is not None:
            yield notice("backing-wider", width=wide, seams=way.seams - 1)
    if binding.grain == "straight" and not binding.from_left_over:
        wide = find_wider(binding.needed, len(binding.lengths), binding.join_cost, binding.cloth_width, wishes, top)
        if wide is not None:
            yield notice("binding-wider", width=wide, strips=len(binding.lengths) - 1)
