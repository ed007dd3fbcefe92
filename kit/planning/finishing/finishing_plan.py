"""Finishing: borders, backing, batting, binding, sleeve, label, thread, time, cost and care, from a size and wishes."""

from kit.errors import KitError
from kit.lengths import SLACK, Length, take_length, write_length, write_nearest, write_thread
from kit.model.finishing import FinishingPlan, FinishingWishes, TopFacts, find_usual
from kit.model.finishing_parts import BackingPlan, BindingPlan, BorderPlan, SleevePlan
from kit.planning.finishing.backing import plan_backing
from kit.planning.finishing.batting import compare_gap, plan_batting
from kit.planning.finishing.binding import plan_binding
from kit.planning.finishing.border_strips import plan_borders
from kit.planning.finishing.care import find_draw_in, write_care, write_label
from kit.planning.finishing.costs import list_purchases, plan_time, sum_costs
from kit.planning.finishing.off_the_bolt import count_strips, find_bought, find_usable
from kit.planning.finishing.thread_length import plan_thread

HEM = 1.0
"""Inches that turning in one end of a sleeve twice takes (common practice, no source)."""


def finishing_plan(
    width: Length, height: Length, wishes: FinishingWishes | None = None, top: TopFacts | None = None
) -> FinishingPlan:
    """Plan the finishing of a quilt.

    Borders, backing, batting, binding, sleeve and label follow from the finished size; thread, time and cost from them
    and from what is known of the top; what is assumed is said with it.

    Parameters
    ----------
    width, height
        Finished size of the top, inches or texts with their unit.
    wishes
        What she decides; the usual when left out.
    top
        What is known of the top besides; a path that is not known yet is estimated.

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
                f"the quilt is {value:g} in {what}", needed="more than nought, at most 500 in", do="correct its size"
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
        write_label(width, height, wishes, top), thread, time, cost, write_care(width, height, wishes, top), gap,
        _write_cautions(wishes), _write_assumptions(wishes, top),
        _warn(borders, binding, wishes, top),
    )  # fmt: skip


def find_gap_limit(wishes: FinishingWishes, top: TopFacts) -> float:
    """Return what the batting allows: the limit that the quilting plan holds to, or else the wished one."""
    return wishes.batting_limit if top.gap_limit is None else top.gap_limit


def plan_sleeve(width: float, backing: BackingPlan, wishes: FinishingWishes, top: TopFacts) -> SleevePlan:
    """Plan the sleeve: shorter than the quilt, sewn as a tube, of an offcut of the backing where one is large enough.

    Raises
    ------
    KitError
        A quilt that is no wider than what the sleeve is shorter by.
    """
    length = width - wishes.sleeve_short
    if length <= SLACK:
        raise KitError(
            f"the quilt is {write_length(width, top.system)} wide and its sleeve"
            f" {write_length(wishes.sleeve_short, top.system)} shorter",
            needed="a sleeve longer than nought",
            do="write sleeve = false, or a smaller sleeve_short",
        )
    cut = (length + 2 * HEM, 2 * wishes.sleeve_height + 2 * top.allowance)
    for offcut in backing.chosen.offcuts:
        if min(cut) <= min(offcut) + SLACK and max(cut) <= max(offcut) + SLACK:
            return SleevePlan((length, wishes.sleeve_height), cut, 0, 0, offcut, 0.0, 0.0)
    room = find_usable(wishes.backing_width, wishes, top)
    strips = count_strips(cut[0], room, 2 * top.allowance, what="the cloth for the sleeve")
    cloth = strips * cut[1]
    return SleevePlan(
        (length, wishes.sleeve_height), cut, strips, strips - 1, None, cloth, find_bought(cloth, wishes, top)
    )


def _write_cautions(wishes: FinishingWishes) -> tuple[str, ...]:
    """Return what has to be minded while finishing; a top of crib size is told of with the pattern's own warnings."""
    said = [
        "Count the needles and pins that you take out and put back; count again before the layers are closed.",
        "Close the rotary cutter's guard after every cut, and let the iron cool on its stand, away from the cord.",
    ]
    if wishes.for_sale:
        said.append("Made for sale: local rules on labels, fibre content, flammability and safety come first.")
    return tuple(said)


def _write_assumptions(wishes: FinishingWishes, top: TopFacts) -> tuple[str, ...]:
    """Return every assumption as a sentence."""

    def say(inches: float) -> str:
        return write_length(inches, top.system)

    wide = "no wide cloth" if wishes.wide_width is None else f"wide cloth of {say(wishes.wide_width)}"
    said = [
        f"Usable width {say(top.usable_width)} where no other is given; {wide}; {say(wishes.squaring_up)} for squaring"
        " up each length",
        f"Backing and batting {say(wishes.overhang_sides)} beyond the top at each side, {say(wishes.overhang_ends)} at"
        f" each end; backing seams of {say(wishes.backing_allowance)}",
        f"Binding: {say(wishes.binding_extra)} for corners and closing, {say(wishes.binding_loft)} a layer to go round"
        " the edge",
        f"Thread: {100 * wishes.thread_waste:g} % waste;"
        f" {write_thread(wishes.bobbin_length, top.system, 'held')} on a bobbin,"
        f" {write_thread(wishes.spool_length, top.system, 'held')} on a spool: measure your own",
        f"Quilting draws in {_say_drawn(wishes, top)}, the first wash takes {100 * wishes.wash_width:g} % of the width"
        f" and {100 * wishes.wash_height:g} % of the height",
        f"The batting may be left unquilted for {say(find_gap_limit(wishes, top))} at most: read its wrapper",
    ]
    if wishes.prewash:
        said.append(f"Cloth is washed before cutting and loses {100 * wishes.prewash:g} % of width and length")
    if not top.paths:
        said.append(f"The quilting path is an estimate: lines {say(wishes.quilting_spacing)} apart over the whole area")
    return tuple(said)


def _say_drawn(wishes: FinishingWishes, top: TopFacts) -> str:
    across, along = (f"{100 * part:.2g} %" for part in find_draw_in(wishes, top))
    return f"{across} each way" if across == along else f"{across} of the width and {along} of the height"


def _warn(
    borders: tuple[BorderPlan, ...], binding: BindingPlan, wishes: FinishingWishes, top: TopFacts
) -> tuple[str, ...]:
    said = []
    for border in borders:
        for which, fit in (("sides", border.sides), ("ends", border.ends)):
            if fit.share > wishes.ease_limit + SLACK:
                said.append(
                    f"Border {border.number}, {which}: {write_nearest(fit.ease, top.system)} to ease in is"
                    f" {100 * fit.share:.1f} % of the edge, more than {100 * wishes.ease_limit:g} %: look for the seam"
                    " that is out before you ease"
                )
        said += _warn_of_border(border, wishes, top)
    if binding.clear < wishes.join_clear - SLACK:
        said.append(
            f"A join of the binding lies {write_nearest(binding.clear, top.system)} from a corner: cut a strip shorter"
            " or begin elsewhere"
        )
    limit = find_gap_limit(wishes, top)
    if top.gap is not None and not compare_gap(top.gap, limit).passes:
        said.append(
            f"The widest gap without quilting is {write_nearest(top.gap, top.system)}, the batting allows"
            f" {write_length(limit, top.system)}: quilt closer there or take another batting"
        )
    return tuple(said)


def _warn_of_border(border: BorderPlan, wishes: FinishingWishes, top: TopFacts) -> list[str]:
    """Say where what she measured is far from the design, and where the border takes more than its cloth."""
    said = []
    for which, fit, inner in (("height", border.sides, border.inner[1]), ("width", border.ends, border.inner[0])):
        drawn = inner + 2 * top.allowance
        off = fit.length - drawn
        if abs(off) > wishes.ease_limit * drawn + SLACK:
            said.append(
                f"Border {border.number}: the {which} inside it measures {write_nearest(fit.length, top.system)}, the"
                f" design has {write_nearest(drawn, top.system)}: a seam may be out, or a measurement"
            )
    known = top.border_cloth[border.number - 1] if top.border_cloth else None
    if known is not None and border.cloth > known + SLACK:
        said.append(
            f"Border {border.number}: strips as long as this take {write_nearest(border.cloth, top.system)} of cloth,"
            f" the cutting plan has {write_nearest(known, top.system)} for them: buy"
            f" {write_nearest(border.cloth - known, top.system)} more"
        )
    return said
