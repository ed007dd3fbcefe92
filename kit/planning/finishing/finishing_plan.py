"""Finishing: borders, backing, batting, binding, sleeve, label, thread, time, cost and care, from a size and wishes."""

from kit.errors import KitError
from kit.lengths import SLACK, Length, take_length, write_length, write_refused
from kit.model.finishing import FinishingPlan, FinishingWishes, TopFacts, find_usual
from kit.model.finishing_parts import BackingPlan, BindingPlan, BorderPlan, Label, SleevePlan
from kit.model.notices import Notice, notice
from kit.planning.finishing.backing import plan_backing
from kit.planning.finishing.batting import compare_gap, plan_batting
from kit.planning.finishing.binding import plan_binding
from kit.planning.finishing.border_strips import plan_borders
from kit.planning.finishing.care import find_draw_in, plan_care
from kit.planning.finishing.costs import list_purchases, plan_time, sum_costs
from kit.planning.finishing.off_the_bolt import count_strips, find_bought, find_usable
from kit.planning.finishing.spared_joins import list_spared
from kit.planning.finishing.thread_length import plan_thread

HEM = 1.0
"""Inches for turning in one end of a sleeve twice (common practice, no source)."""


def finishing_plan(
    width: Length, height: Length, wishes: FinishingWishes | None = None, top: TopFacts | None = None
) -> FinishingPlan:
    """Plan the finishing of a quilt.

    Borders, backing, batting, binding, sleeve and label follow from the finished size; thread, time and cost from them
    and from the facts about the top; the assumptions are listed with it.

    Parameters
    ----------
    width, height
        Finished size of the top, inches or texts with their unit.
    wishes
        The maker's choices; the usual ones when left out.
    top
        Further facts about the top; an unknown path is estimated.

    Returns
    -------
    FinishingPlan
        To be checked by `check_finishing_plan`.

    Raises
    ------
    KitError
        Wishes that contradict one another or the cloth; says what to change.

    Examples
    --------
    >>> plan = finishing_plan(60, 80)
    >>> plan.backing.chosen.way, plan.backing.chosen.cloth, plan.backing.chosen.bought / 36
    ('lengthwise', 176.0, 5.0)
    """
    width, height = take_length(width, "width"), take_length(height, "height")
    top = top or TopFacts()
    wishes = wishes or find_usual(top.system)
    for what, value in (("wide", width), ("high", height)):
        if not 0 < value <= 500:
            raise KitError(
                f"the quilt is {write_refused(value)} {what}",
                needed=f"more than zero, at most {write_refused(500)}",
                do="correct its size",
            )
    borders = plan_borders(width, height, wishes, top)
    backing = plan_backing(width, height, wishes, top)
    batting = plan_batting(width, height, wishes, top.system)
    binding = plan_binding(width, height, wishes, top)
    sleeve = plan_sleeve(width, backing, wishes, top) if wishes.sleeve else None
    thread = plan_thread(width, height, wishes, top)
    time = plan_time(width, height, thread, binding, wishes, top)
    purchases = list_purchases(backing, batting, binding, sleeve, thread, wishes, top)
    hours = sum(line.minutes for line in time) / 60
    cost = sum_costs(width * height, binding.perimeter, hours, purchases, wishes, top.system)
    gap = None if top.gap is None else compare_gap(top.gap, find_gap_limit(wishes, top))
    return FinishingPlan(
        width, height, wishes, top, borders, backing, batting, binding, sleeve,
        Label(top.title, (width, height), wishes.fibre, wishes.date), thread, time, cost,
        plan_care(width, height, wishes, top), gap,
        _list_cautions(wishes), (*_list_assumptions(wishes, top), *list_spared(borders, backing, binding, wishes, top)),
        _warn(borders, binding, wishes, top),
    )  # fmt: skip


def find_gap_limit(wishes: FinishingWishes, top: TopFacts) -> float:
    """Return the limit of the batting: that of the quilting plan, or else the wished one."""
    return wishes.batting_limit if top.gap_limit is None else top.gap_limit


def plan_sleeve(width: float, backing: BackingPlan, wishes: FinishingWishes, top: TopFacts) -> SleevePlan:
    """Plan the sleeve: shorter than the quilt, sewn as a tube, from an offcut of the backing if large enough.

    Raises
    ------
    KitError
        A quilt too narrow for a sleeve.
    """
    length = width - wishes.sleeve_short
    if length <= SLACK:
        raise KitError(
            f"the quilt is {write_length(width, top.system)} wide and its sleeve"
            f" {write_length(wishes.sleeve_short, top.system)} shorter",
            needed="a sleeve longer than zero",
            do="write sleeve = false, or a smaller sleeve_short",
        )
    cut = (length + 2 * HEM, 2 * wishes.sleeve_height + 2 * top.allowance)
    for offcut in backing.chosen.offcuts:
        if min(cut) <= min(offcut) + SLACK and max(cut) <= max(offcut) + SLACK:
            return SleevePlan((length, wishes.sleeve_height), cut, 0, 0, offcut, 0.0, 0.0)
    room = find_usable(wishes.backing_width, wishes, top)
    strips = count_strips(cut[0], room, 2 * top.allowance, part="sleeve")
    cloth = strips * cut[1]
    return SleevePlan(
        (length, wishes.sleeve_height), cut, strips, strips - 1, None, cloth, find_bought(cloth, wishes, top)
    )


def _list_cautions(wishes: FinishingWishes) -> tuple[Notice, ...]:
    """Return what has to be minded while finishing; a top of crib size is told of with the pattern's own warnings."""
    always = (notice("count-needles"), notice("close-cutter"))
    return (*always, notice("made-for-sale")) if wishes.for_sale else always


def _list_assumptions(wishes: FinishingWishes, top: TopFacts) -> tuple[Notice, ...]:
    """Return every assumption."""
    wide = wishes.wide_width
    cloth = notice("no-wide-cloth") if wide is None else notice("wide-cloth", width=wide)
    found = [
        notice("finishing-cloth", width=top.usable_width, wide=cloth, squaring=wishes.squaring_up),
        notice("overhang", sides=wishes.overhang_sides, ends=wishes.overhang_ends, allowance=wishes.backing_allowance),
        notice("binding-extra", extra=wishes.binding_extra, loft=wishes.binding_loft),
        notice("thread-waste", waste=wishes.thread_waste, bobbin=wishes.bobbin_length, spool=wishes.spool_length),
        notice(
            "losses",
            drawn=find_draw_in(wishes, top),
            wash_width=wishes.wash_width,
            wash_height=wishes.wash_height,
        ),
        notice("batting-limit", limit=find_gap_limit(wishes, top)),
    ]
    if wishes.prewash:
        found.append(notice("prewashed", loss=wishes.prewash))
    if not top.paths:
        found.append(notice("path-estimated", spacing=wishes.quilting_spacing))
    return tuple(found)


def _warn(
    borders: tuple[BorderPlan, ...], binding: BindingPlan, wishes: FinishingWishes, top: TopFacts
) -> tuple[Notice, ...]:
    found = []
    for border in borders:
        for which, fit in (("sides", border.sides), ("ends", border.ends)):
            if fit.share > wishes.ease_limit + SLACK:
                found.append(
                    notice(
                        "ease-too-much",
                        border=border.number,
                        strips=which,
                        ease=fit.ease,
                        share=fit.share,
                        limit=wishes.ease_limit,
                    )
                )
        found += _warn_of_border(border, wishes, top)
    if binding.clear < wishes.join_clear - SLACK:
        found.append(notice("join-near-corner", clear=binding.clear))
    limit = find_gap_limit(wishes, top)
    if top.gap is not None and not compare_gap(top.gap, limit).passes:
        found.append(notice("gap-over-limit", gap=top.gap, limit=limit))
    return tuple(found)


def _warn_of_border(border: BorderPlan, wishes: FinishingWishes, top: TopFacts) -> list[Notice]:
    """Say where what was measured is far from the design, and where the border takes more than its cloth."""
    found = []
    for which, fit, inner in (("height", border.sides, border.inner[1]), ("width", border.ends, border.inner[0])):
        drawn = inner + 2 * top.allowance
        off = fit.length - drawn
        if abs(off) > wishes.ease_limit * drawn + SLACK:
            found.append(notice("top-off", border=border.number, side=which, measured=fit.length, drawn=drawn))
    known = top.border_cloth[border.number - 1] if top.border_cloth else None
    if known is not None and border.cloth > known + SLACK:
        found.append(
            notice(
                "border-cloth-short",
                border=border.number,
                needed=border.cloth,
                planned=known,
                missing=border.cloth - known,
            )
        )
    return found
