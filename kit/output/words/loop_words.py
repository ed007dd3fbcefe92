"""Strip sets and loops with segments of their own, in sentences: what is sewn, cut across, opened, cut down, added."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kit.lengths import write_length
from kit.model.making import Made
from kit.model.pattern import Sketch
from kit.model.sewing import SewingPlan
from kit.model.strip_sets import SetSegment, list_segment_seams
from kit.output.words.pressing_sets import list_sets
from kit.output.words.strings import TEXTS, say_name

TELLS: Mapping[str, str] = TEXTS["making"]


def _say(key: str, **facts: object) -> str:
    return TELLS[key].format(**facts)


@dataclass(frozen=True, slots=True)
class SegmentGroup:
    """Segments made alike: the unit's name and set, the first of them, the end their seams are pressed to, how many."""

    name: str
    set: int
    segment: SetSegment
    pressed: str
    count: int


def write_sets(made: Made, sketch: Sketch) -> tuple[str, ...]:
    """Return the instructions for strip sets with segments of their own, up to the list of the segments.

    Parameters
    ----------
    made
        A kind of unit with segments.
    sketch
        A sketch or a pattern; only a pattern knows what its segments are called and how they are pressed.
    """
    system = sketch.study.measures.system
    cloths = _say("loop_cloths", sets=_say("and").join(
        _say("loop_set", number=number, length=write_length(length, system))
        for number, length in enumerate(made.lengths, start=1)
    ))  # fmt: skip
    lines = [cloths, _say("strips_foot", order=_order_strips(made))]
    lines += [_say("loop_close")] if made.loop else []
    for number in range(len(made.lengths)):
        mine = Counter(one.width for one in (*made.segments, *made.apart) if one.number == number)
        cuts = ", ".join(
            _say("loop_cut", count=mine[width], width=write_length(width, system))
            for width in sorted(mine, reverse=True)
        )
        rest = write_length(made.left[number], system)
        lines.append(_say("loop_across", number=number + 1, cuts=cuts, left=rest))
    if made.apart:
        widths = Counter(one.width for one in made.apart)
        cuts = ", ".join(_say("loop_cut", count=n, width=write_length(width, system)) for width, n in widths.items())
        lines.append(_say("loop_apart", cuts=cuts))
    left = _count_left(made)
    lines += [_say("loop_left", count=left)] if left else []
    lines.append(_say("loop_open" if made.loop else "set_segments"))
    return tuple(lines)


def _order_strips(made: Made) -> str:
    """Return the strips of a set from its foot, once if their order repeats."""
    names = _name_strips(made)
    period = find_period(made)
    said = ", ".join(_say("loop_strip", number=n, blank=names[n - 1], fabric=made.fabrics[n - 1])
                     for n in range(1, period + 1))  # fmt: skip
    times = len(made.fabrics) // period
    return said if times == 1 else _say("loop_times", order=said, times=times)


def find_period(made: Made) -> int:
    """Return after how many strips the order of a strip set begins again; all of them if it never does."""
    strips = list(zip(made.fabrics, made.widths, strict=True))
    m = len(strips)
    return next(p for p in range(1, m + 1) if m % p == 0 and all(strips[i] == strips[i % p] for i in range(m)))


def _name_strips(made: Made) -> list[str]:
    """Return the cut shapes of each strip, one for each set where they differ in length."""
    m = len(made.fabrics)
    found = []
    for role in range(m):
        uses = dict.fromkeys(made.blanks[made.uses[n * m + role]].id for n in range(len(made.lengths)))
        found.append(_say("or").join(uses))
    return found


def group_segments(made: Made, plan: SewingPlan | None) -> Iterator[SegmentGroup]:
    """Yield the segments of a plan, those of one unit that are cut and pressed alike together.

    Parameters
    ----------
    made
        A kind of unit with segments.
    plan
        The order of sewing, for names and pressing; None: segments are named by their numbers.
    """
    period = find_period(made)
    names = _name_units(made, plan)
    pressed = _find_pressing(made, plan)
    groups: dict[object, list[int]] = {}
    for n, one in enumerate(made.segments):
        key = names[n], one.width, one.start % period, one.strips, one.foot, one.head, one.added, pressed[n]
        groups.setdefault(key, []).append(n)
    for members in groups.values():
        first = members[0]
        yield SegmentGroup(*names[first], made.segments[first], pressed[first], len(members))


def _name_units(made: Made, plan: SewingPlan | None) -> list[tuple[str, int]]:
    """Return the unit that each segment is, and the set of its pressing, zero if there is one set."""
    if plan is None:
        return [("", 0)] * len(made.units)
    sets = list_sets(plan)
    known = {frozenset(copy): (unit.name, number) for unit in plan.units for number, copy in enumerate(unit.copies)}
    found = []
    for unit in made.units:
        name, copy = known.get(frozenset(unit), ("", 0))
        mine = sets.get(name, ())
        found.append((name, next(n for n, one in enumerate(mine, start=1) if copy in one) if len(mine) > 1 else 0))
    return found


def _find_pressing(made: Made, plan: SewingPlan | None) -> list[str]:
    """Return "head" or "foot" for segments with all seams pressed to that end, empty where they differ."""
    if plan is None:
        return [""] * len(made.units)
    found = []
    for seams in list_segment_seams(plan, made.units):
        ends = set()
        for step, copy, above in seams:
            toward = (step.press == "second") != (copy in step.pressed_back)
            ends.add("" if step.press in (None, "open") else "head" if toward == above else "foot")
        found.append(ends.pop() if len(ends) == 1 else "")
    return found


def list_segments(made: Made, sketch: Sketch) -> tuple[str, ...]:
    """Return each segment in words: how many, its unit, its width, the strip at its foot, what is cut down or added."""
    plan = getattr(sketch, "sewing", None)
    order = [unit.name for unit in plan.units] if plan else []
    groups = sorted(
        group_segments(made, plan), key=lambda one: (order.index(one.name) if one.name in order else -1, one.set)
    )
    return tuple(_write_segment(group, made, sketch) for group in groups)


def _write_segment(group: SegmentGroup, made: Made, sketch: Sketch) -> str:
    system, a = sketch.study.measures.system, sketch.cut_list.allowance
    period = find_period(made)
    m = len(made.fabrics)
    one = group.segment
    name = say_name(group.name) if group.name else _say("segment")
    if group.set:
        name = _say("segment_of_set", name=name, set=group.set)
    facts = {
        "count": group.count, "name": name, "width": write_length(one.width, system),
        "number": one.start % period + 1, "fabric": made.fabrics[one.start],
    }  # fmt: skip
    said = [_say("loop_segment" if made.loop else "set_segment", **facts)]
    head = write_length(one.head + 2 * a, system) if one.head else ""
    after = made.fabrics[(one.start + one.strips) % m]
    if one.strips < m:
        said.append(_say("loop_short", strips=one.strips))
    if one.foot:
        said.append(_say("loop_foot", cut=write_length(one.foot + 2 * a, system)))
    if one.added:
        said.append(_say("loop_added_cut" if head else "loop_added", fabric=after, cut=head))
    elif head:
        said.append(_say("loop_head", fabric=made.fabrics[(one.start + one.strips - 1) % m], cut=head))
    if group.pressed:
        said.append(_say(f"loop_press_{group.pressed}"))
    return ", ".join(said)


def _count_left(made: Made) -> int:
    """Return the single strips that are left over of segments opened twice and of those taken apart."""
    m = len(made.fabrics)
    short = sum(m - one.strips for one in made.segments)
    return short + m * len(made.apart) - sum(one.added for one in made.segments)


def name_segment_units(made: Sequence[Made], plan: SewingPlan) -> dict[str, str]:
    """Return unit name -> made id for units whose every copy is a segment of strip sets or in a block on paper."""
    owner = {frozenset(unit): one.id for one in made if one.segments for unit in one.units}
    papers = {patch: (one.id, n) for one in made if one.papers for n, unit in enumerate(one.units) for patch in unit}
    found = {}
    for unit in plan.units:
        ids = {owner.get(frozenset(copy), "") or _find_paper(copy, papers) for copy in unit.copies}
        if "" not in ids:
            found[unit.name] = _say("and").join(sorted(ids))
    return found


def name_paper_units(made: Sequence[Made], plan: SewingPlan) -> tuple[str, ...]:
    """Return the units of a plan that are parts within blocks on paper, and so no work of their own."""
    whole = {frozenset(unit) for one in made if one.papers for unit in one.units}
    papers = {patch: (one.id, n) for one in made if one.papers for n, unit in enumerate(one.units) for patch in unit}
    return tuple(
        unit.name
        for unit in plan.units
        if all(_find_paper(copy, papers) and frozenset(copy) not in whole for copy in unit.copies)
    )


def _find_paper(copy: Sequence[str], papers: Mapping[str, tuple[str, int]]) -> str:
    """Return the id of the block on paper that holds every patch of a copy, empty if none does."""
    owners = {papers.get(patch, ("", -1)) for patch in copy}
    return owners.pop()[0] if len(owners) == 1 else ""
