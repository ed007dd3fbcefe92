"""The check of backing, batting and binding: panels that cover, widths that suffice, strips that reach around."""

from collections import Counter
from fractions import Fraction
from itertools import pairwise
from math import ceil, hypot, sqrt
from typing import NoReturn

from kit.checks.cut_pieces_check import check_cut_pieces
from kit.errors import CheckError
from kit.model.finishing import FinishingPlan
from kit.model.finishing_parts import Backing, BindingJoin

NEAR = 1e-6
A_HAND = 4.0
"""Inches: more cloth than this is not taken to spare a seam (common practice, no source)."""


def refuse_part(part: str, found: str, needed: str) -> NoReturn:
    """Refuse a part of the plan by its name."""
    raise CheckError(f"finishing plan, {part}: {found}", needed=needed, do="make the plan again from the study")


def round_as_sold(inches: float, system: str) -> float:
    """Return the length that a shop sells for so many inches: up to a whole eighth of a yard, or tenth of a metre.

    Written here in exact fractions, apart from the rounding of lengths that the planner uses. A length at most a
    millionth of an inch over a whole number of eighths or tenths counts as that number.

    Examples
    --------
    >>> round_as_sold(36.0, "inch"), round_as_sold(36.001, "inch"), round(round_as_sold(33, "metric") * 2.54)
    (36.0, 40.5, 90)
    """
    unit = Fraction(36, 8) if system == "inch" else Fraction(1000, 254)
    whole, rest = divmod(Fraction(inches), unit)
    return float((whole + (rest > Fraction(1, 1_000_000))) * unit)


def _bought(plan: FinishingPlan, cloth: float) -> float:
    loss = 1 - plan.wishes.prewash
    return round_as_sold((cloth + plan.wishes.squaring_up) / loss, plan.top.system) if cloth else 0.0


def check_backing(plan: FinishingPlan) -> None:
    """Check that each way covers the quilt and its overhang, takes the stated cloth, and is in its rank."""
    back, wishes = plan.backing, plan.wishes
    true = (plan.width + 2 * wishes.overhang_sides, plan.height + 2 * wishes.overhang_ends)
    if hypot(back.needed[0] - true[0], back.needed[1] - true[1]) > NEAR:
        refuse_part("backing", f"needed {back.needed}", f"{true}, with its overhang")
    for way in back.ranked:
        _check_way(plan, way, f"backing, {way.way}")
    ranks = [(round(way.area, 4), way.seams) for way in back.ranked]
    if ranks != sorted(ranks):
        refuse_part("backing", "ways out of rank", "the least cloth first, then the fewest seams")
    if wishes.backing == "least cloth":
        least = back.ranked[0]
        most = least.cloth * least.cloth_width + A_HAND * least.cloth_width
        near = [w for w in back.ranked if w.cloth * w.cloth_width <= most + NEAR]
        wanted = tuple(w for w in near if w.seams == min(other.seams for other in near))[:1]
    else:
        wanted = tuple(w for w in back.ranked if w.way == wishes.backing)
    if back.chosen not in wanted:
        refuse_part("backing", f"the way `{back.chosen.way}` is taken", f"`{wishes.backing}`")


def _check_way(plan: FinishingPlan, way: Backing, part: str) -> None:
    wide, high = plan.backing.needed
    area = 0.0
    for panel in way.panels:
        if any(not (-NEAR <= x <= wide + NEAR and -NEAR <= y <= high + NEAR) for x, y in panel.outline):
            refuse_part(part, "a panel lies outside the backing", f"within {wide:g} x {high:g} in")
        corners = [*panel.outline, panel.outline[0]]
        area += sum((a[0] - b[0]) * (a[1] + b[1]) / 2 for a, b in pairwise(corners))
    if abs(area - wide * high) > 1e-4:
        refuse_part(part, f"the panels cover {area:.1f} square inches", f"{wide * high:.1f}")
    if min(way.covers[0] - wide, way.covers[1] - high) < -NEAR:
        refuse_part(part, f"covers {way.covers[0]:g} x {way.covers[1]:g} in", f"{wide:g} x {high:g} in")
    if way.seams != len(way.panels) - 1:
        refuse_part(part, f"{way.seams} seams", f"{len(way.panels) - 1} for {len(way.panels)} panels")
    if abs(way.bought - _bought(plan, way.cloth)) > NEAR:
        refuse_part(part, f"{way.bought:g} in are bought", f"{_bought(plan, way.cloth):g} in")
    if way.way == "diagonal":
        _check_diagonal(plan, way, part)
    elif way.way == "on hand":
        _check_on_hand(plan, way, part)
    else:
        _check_widths(plan, way, part)


def _check_widths(plan: FinishingPlan, way: Backing, part: str) -> None:
    """Check that n widths with their seams cover, that n - 1 do not, and that no panel needs more than a width."""
    wishes, (wide, high) = plan.wishes, plan.backing.needed
    given = wishes.wide_width if way.way == "wide" else wishes.backing_width or plan.top.usable_width
    room = (given or 0.0) * (1 - wishes.prewash)
    if abs(way.cloth_width - room) > NEAR:
        refuse_part(part, f"cloth {way.cloth_width:g} in wide", f"{room:g} in")
    first = way.panels[0].cut
    upright = abs(first[0] - room) <= NEAR and abs(first[1] - high) <= NEAR
    across, along = (wide, high) if upright else (high, wide)
    n, lap = len(way.panels), 2 * plan.backing.allowance
    if n * room - (n - 1) * lap < across - NEAR:
        refuse_part(part, f"{n} widths of {room:g} in", f"widths that cover {across:g} in after their seams")
    if n > 1 and (n - 1) * room - (n - 2) * lap >= across - NEAR:
        refuse_part(part, f"{n} widths", f"{n - 1}, which cover {across:g} in already")
    if abs(way.cloth - n * along) > NEAR:
        refuse_part(part, f"cloth {way.cloth:g} in", f"{n} x {along:g} in")
    axis = 0 if upright else 1
    for number, panel in enumerate(way.panels):
        spans = [corner[axis] for corner in panel.outline]
        taken = max(spans) - min(spans) + plan.backing.allowance * ((number > 0) + (number < n - 1))
        if taken > room + NEAR:
            refuse_part(part, f"panel {number + 1} takes {taken:g} in", f"{room:g} in at most")
    rest = n * room - (n - 1) * lap - across
    if abs(sum(a * b for a, b in way.offcuts) - rest * along) > 1e-4:
        refuse_part(part, f"offcuts {way.offcuts}", f"{rest:g} x {along:g} in")


def _check_diagonal(plan: FinishingPlan, way: Backing, part: str) -> None:
    """Check that the halves, slid and sewn, are as large as the backing."""
    room, length = way.cloth_width, way.cloth
    wide, high = plan.backing.needed
    slope, lap = hypot(room, length), 2 * plan.backing.allowance
    fits = False
    for across, along in ((wide, high), (high, wide)):
        slid = across - room + lap * length / slope
        left = length - slid * length / room - lap * room / slope
        fits = fits or (abs(left - along) <= 1e-4 and room < across < 1.5 * room)
    if not fits:
        refuse_part(part, f"cloth {length:.2f} in", "the length whose halves make the backing")


def _check_on_hand(plan: FinishingPlan, way: Backing, part: str) -> None:
    """Check that the pieces are on hand, each used once, and that each holds its panel and the seams around it."""
    whole = [panel for panel in way.panels if panel.source is None]
    cut_into = {panel.source for panel in way.panels} - {None}
    check_cut_pieces(plan, way, part)
    have = Counter(tuple(sorted(piece)) for number, piece in enumerate(plan.wishes.on_hand) if number not in cut_into)
    used = Counter(tuple(sorted(panel.cut)) for panel in whole)
    if used - have:
        refuse_part(part, f"a piece of {next(iter(used - have))} in", "pieces that are there")
    box = plan.backing.needed
    for panel in way.panels:
        for axis in (0, 1):
            low, high = min(c[axis] for c in panel.outline), max(c[axis] for c in panel.outline)
            taken = high - low + plan.backing.allowance * ((low > NEAR) + (high < box[axis] - NEAR))
            if taken > panel.cut[axis] + NEAR:
                refuse_part(part, f"a panel takes {taken:g} in of a piece", f"{panel.cut[axis]:g} in at most")
    if way.cloth:
        refuse_part(part, f"{way.cloth:g} in off the bolt", "nothing")


def check_batting(plan: FinishingPlan) -> None:
    """Check that the batting is large enough and on sale."""
    batting, wishes = plan.batting, plan.wishes
    true = (plan.width + 2 * wishes.overhang_sides, plan.height + 2 * wishes.overhang_ends)
    if hypot(batting.needed[0] - true[0], batting.needed[1] - true[1]) > NEAR:
        refuse_part("batting", f"needed {batting.needed}", f"{true}, with its overhang")
    for way in batting.ranked:
        across, along = true[::-1] if way.turned else true
        if way.way == "package":
            holds = across <= way.size[0] + NEAR and along <= way.size[1] + NEAR
            known = (way.name, *way.size) in wishes.batting_packages
        else:
            count = ceil((across - NEAR) / way.size[0])
            holds = way.size[1] >= count * along - NEAR and way.joins == count - 1
            known = way.size[0] in wishes.batting_rolls
        if not (holds and known):
            refuse_part(
                "batting",
                f"{way.name}, {way.size[0]:g} x {way.size[1]:g} in",
                f"one that holds {across:g} x {along:g} in",
            )
    ranks = [(way.joins, way.area) for way in batting.ranked]
    if ranks != sorted(ranks) or batting.chosen != batting.ranked[0]:
        refuse_part("batting", f"{batting.chosen.name} is taken", "the fewest joins, then the least area")


def check_binding(plan: FinishingPlan) -> None:
    """Check that the strips are wide enough and reach around with their joins, with joins in their places."""
    binding, wishes = plan.binding, plan.wishes
    around = 2 * (plan.width + plan.height)
    layers, lofts = (6, 2) if binding.fold == "double" else (4, 1)
    width = layers * wishes.binding_finished + lofts * wishes.binding_loft
    if binding.cut < width - NEAR:
        refuse_part("binding", f"strips cut {binding.cut:g} in", f"{width:g} in for what it finishes")
    straight = 2 * plan.top.allowance
    bias = binding.grain != "straight"
    one = straight * sqrt(2) if bias else {"straight": straight, "diagonal": binding.cut}[wishes.binding_join]
    if abs(binding.join_cost - one) > NEAR:
        refuse_part("binding", f"one join takes {binding.join_cost:g} in", f"{one:g} in")
    if abs(binding.needed - around - wishes.binding_extra) > NEAR:
        refuse_part("binding", f"needed {binding.needed:g} in", f"{around + wishes.binding_extra:g} in")
    total = sum(binding.lengths) - one * (len(binding.lengths) - 1)
    if abs(binding.total - total) > 1e-4:
        refuse_part("binding", f"total {binding.total:g} in", f"{total:g} in after {len(binding.lengths) - 1} joins")
    if total < binding.needed - NEAR:
        refuse_part("binding", f"{len(binding.lengths)} strips give {total:g} in", f"{binding.needed:g} in")
    _check_strips(plan)
    _check_places(plan)


def _check_strips(plan: FinishingPlan) -> None:
    binding = plan.binding
    longest = binding.cloth_width * (sqrt(2) if binding.grain != "straight" else 1)
    kept, bought = binding.lengths[: binding.from_left_over], binding.lengths[binding.from_left_over :]
    _check_kept(plan, kept)
    if any(length > longest + NEAR for length in bought):
        refuse_part("binding", f"a strip of {max(bought):g} in", f"{longest:g} in at most")
    if binding.grain == "straight":
        cloth = binding.cut * len(bought)
    elif binding.square is not None:
        cloth = binding.square
        taken = len(binding.lengths) * binding.cut * sqrt(2) + 2 * plan.top.allowance
        if taken > binding.square + NEAR:
            refuse_part("binding", f"{len(binding.lengths)} bias strips take {taken:.2f} in", f"{binding.square:g} in")
    else:
        cloth = binding.cloth_width + len(binding.lengths) * binding.cut * sqrt(2)
    if abs(binding.cloth - cloth) > NEAR or abs(binding.bought - _bought(plan, cloth)) > NEAR:
        refuse_part("binding", f"cloth {binding.cloth:g} in, bought {binding.bought:g} in", f"{cloth:g} in")


def _check_kept(plan: FinishingPlan, kept: tuple[float, ...]) -> None:
    """Check that the left-over cloth yields all its strips at once, the longest from the longest."""
    if kept and not plan.wishes.left_over_first:
        refuse_part("binding", f"{len(kept)} strips of left-over cloth", "none: the study does not ask for it")
    rooms = sorted((max(size), int((min(size) + NEAR) / plan.binding.cut)) for size in plan.top.left_over)
    there = [long for long, count in rooms for _ in range(count)]
    for length in sorted(kept, reverse=True):
        if not there or there.pop() < length - NEAR:
            refuse_part(
                "binding", f"a strip of {length:g} in of left-over cloth", "left-over cloth that it can be cut from"
            )


def _check_places(plan: FinishingPlan) -> None:
    """Follow the binding around from the closing join, and check the end of each strip."""
    binding = plan.binding
    sides = {"bottom": plan.width, "right": plan.height, "top": plan.width, "left": plan.height}
    starts = {"bottom": 0.0, "left": plan.width, "top": plan.width + plan.height, "right": 2 * plan.width + plan.height}
    closing = [join for join in binding.joins if join.closing]
    if len(closing) != 1:
        refuse_part("binding", f"{len(closing)} closing joins", "one")
    for join in binding.joins:
        true = min(join.along, sides[join.side] - join.along)
        if abs(join.corner - true) > NEAR or true < -NEAR:
            refuse_part("binding", f"a join {join.corner:g} in from a corner", f"{true:g} in")
        (x, y), gone = join.at, join.along
        to_edge, walked = {
            "bottom": (y, plan.width - x), "left": (x, y), "top": (plan.height - y, x),
            "right": (plan.width - x, plan.height - y),
        }[join.side]  # fmt: skip
        if max(abs(to_edge), abs(walked - gone)) > NEAR:
            refuse_part("binding", f"a join at ({x:g}, {y:g})", f"{gone:g} in along the {join.side}")
    least = min(join.corner for join in binding.joins)
    if abs(binding.clear - least) > NEAR:
        refuse_part("binding", f"joins keep {binding.clear:g} in from the corners", f"{least:g} in")
    warned = [one["clear"] for one in plan.warnings if one.kind == "join-near-corner"]
    if least < plan.wishes.join_clear - NEAR and warned != [binding.clear]:
        refuse_part(
            "binding",
            f"a join {least:g} in from a corner and no warning",
            f"{plan.wishes.join_clear:g} in, or a warning",
        )
    if binding.square is None:
        _follow(plan, [starts[join.side] + join.along for join in (*closing, *_others(binding.joins))])


def _others(joins: tuple[BindingJoin, ...]) -> list[BindingJoin]:
    return [join for join in joins if not join.closing]


def _follow(plan: FinishingPlan, places: list[float]) -> None:
    """Compare the cloth between two joins with its strip: the strip's length less the loss in the joins."""
    binding = plan.binding
    around = 2 * (plan.width + plan.height)
    corners = [0.0, plan.width, plan.width + plan.height, 2 * plan.width + plan.height]
    for number, (here, there) in enumerate(pairwise(places)):
        way = (there - here) % around
        passed = sum(1 for corner in corners if NEAR < (corner - here) % around < way - NEAR)
        folded = way + 2 * binding.seam * passed
        true = binding.lengths[number] - binding.join_cost / (2 if number == 0 else 1)
        if abs(folded - true) > 1e-4 and min(abs(there - corner) for corner in corners) > NEAR:
            refuse_part("binding", f"strip {number + 1} ends after {folded:.2f} in", f"{true:.2f} in")
