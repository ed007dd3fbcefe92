"""A teacher's preparations for a class: shopping and packing lists, samples at every stage, and the timetable."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pandas as pd

from kit.errors import KitError
from kit.lengths import write_buying, write_length
from kit.model.cutting import ClothPlan
from kit.model.pattern import Pattern
from kit.model.sewing import SewnUnit, Step
from kit.output.words.form_words import name_form

MOST_STUDENTS = 200
WELCOME, BREAK, MIDDAY, CLOSING = 15.0, 15.0, 45.0, 10.0
"""Minutes: welcome with cautions and the seam test; a break; the midday break; clearing away. Common practice."""
SPELL = 90.0
"""Minutes of work between breaks (common practice, no source)."""
NOON = 12.5 * 60
"""Minutes after midnight: the first later break is the midday one."""


def list_supplies(pattern: Pattern, students: int) -> pd.DataFrame:
    """List each student's supplies, and the shopping if one length is cut for all.

    Parameters
    ----------
    pattern
        Every plan of a study.
    students
        Their number, 1 to 200.

    Returns
    -------
    DataFrame
        Fabric, role, the supplies of each, and the shopping together: strips are counted for all students, squared
        up once and given the margin, so that this is less than the sum of the single amounts.

    Raises
    ------
    KitError
        No students, or more than 200.
    """
    _check_count(students, "students")
    rows = [
        {
            "Fabric": _name(plan),
            "Role": plan.supply.slot,
            "Each brings": _write_need(pattern, plan, 1),
            f"Bought together for {students}": _write_need(pattern, plan, students),
        }
        for plan in _list_used(pattern)
    ]
    return pd.DataFrame(rows)


def pack_kits(pattern: Pattern, students: int, spare: int = 1) -> pd.DataFrame:
    """List the contents of each kit, strip by strip, and the totals for the class.

    Parameters
    ----------
    pattern
        Every plan of a study.
    students
        Their number, 1 to 200.
    spare
        Kits more than students.

    Returns
    -------
    DataFrame
        Fabric, size of the strips, number in each kit, number for all kits, and their cloth.

    Raises
    ------
    KitError
        No students or more than 200, or a negative number of spare kits.
    """
    _check_count(students, "students")
    if not 0 <= spare <= MOST_STUDENTS:
        raise KitError(f"The number of spare kits is {spare}", needed=f"0 to {MOST_STUDENTS}", do="pack one to spare")
    kits, system = students + spare, pattern.study.measures.system
    rows = []
    for plan in _list_used(pattern):
        sizes = Counter((strip.height, strip.length) for strip in plan.strips)
        cloth = _write_need(pattern, plan, kits)
        for number, ((height, length), count) in enumerate(sorted(sizes.items(), reverse=True)):
            rows.append(
                {
                    "Fabric": _name(plan),
                    "Cut": f"{write_length(height, system)} × {write_length(length, system)}",
                    "In each kit": count,
                    f"For {kits} kits": count * kits,
                    "Cloth": cloth if not number else "",
                }
            )
    return pd.DataFrame(rows)


def plan_samples(pattern: Pattern, samples: int = 4, unit: str | None = None) -> pd.DataFrame:
    """Plan half-made samples of one unit: the seams to sew and the pieces to cut for each.

    Take the steps of the unit and of its inner units. Share them out evenly: the first sample shows the first
    step about to be sewn, each later one is further on and shows its next step.

    Parameters
    ----------
    pattern
        Every plan of a study.
    samples
        Their number, 1 to 12.
    unit
        Name of the unit; None takes the one with most steps besides the top.

    Returns
    -------
    DataFrame
        One row per sample, and a last row with all pieces.

    Raises
    ------
    KitError
        A unit that does not exist or has no seam, or a number outside 1 to 12.
    """
    if not 1 <= samples <= 12:
        raise KitError(f"The number of samples is {samples}", needed="1 to 12", do="plan four")
    steps = _find_steps(pattern, unit)
    owner = pattern.cut_list.piece_of
    rows, total = [], Counter[str]()
    count = min(samples, len(steps))
    for k in range(count):
        done = round(k * len(steps) / count)
        shown = steps[done]
        patches = dict.fromkeys(patch for step in steps[: done + 1] for patch in (*step.first, *step.second))
        pieces = Counter(owner[patch].id for patch in patches)
        total += pieces
        rows.append(
            {
                "Sample": f"{k + 1}",
                "Sewn": f"{done} of {len(steps)} seams" if done else "nothing yet",
                "Shows": f"step {shown.told}" if shown.told else f"the {shown.unit}, which comes ready",
                "Pieces to cut": _write_pieces(pieces),
            }
        )
    rows.append({"Sample": "all", "Sewn": "", "Shows": "", "Pieces to cut": _write_pieces(total)})
    return pd.DataFrame(rows)


def plan_day(
    pattern: Pattern, start: str = "10:00", hours: float = 6.0, pace: float = 1.5, *, cut_at_home: bool = False
) -> pd.DataFrame:
    """Plan the day from the study's own step times.

    Take the minutes of cutting, and of each unit's seams, from the finishing plan's time for a cut and a seam;
    multiply by the pace of the class; put a break after every hour and a half; leave the rest for home.

    Parameters
    ----------
    pattern
        Every plan of a study.
    start
        Beginning of the class: "10:00".
    hours
        From beginning to end, 1 to 12.
    pace
        The time of the class relative to the plan, 1 to 5.
    cut_at_home
        Whether students bring their pieces cut.

    Returns
    -------
    DataFrame
        From, to, work and minutes.

    Raises
    ------
    KitError
        A time, a length or a pace outside its range.
    """
    clock = _read_time(start)
    if not 1 <= hours <= 12:
        raise KitError(f"The class lasts {hours:g} hours", needed="1 to 12", do="plan 6")
    if not 1 <= pace <= 5:
        raise KitError(f"The pace is {pace:g}", needed="1 to 5", do="take 1.5: half as long again as the plan")
    rows = _lay_out(_list_work(pattern, pace, cut_at_home=cut_at_home), clock, clock + hours * 60)
    return pd.DataFrame(
        [
            {"From": row.begin, "To": row.end, "Work": row.words, "Minutes": round(row.minutes)}
            for row in rows
        ]
    )  # fmt: skip


# Supplies


def _check_count(count: int, what: str) -> None:
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST_STUDENTS:
        raise KitError(f"The class has {count} {what}", needed=f"1 to {MOST_STUDENTS}", do="correct the number")


def _list_used(pattern: Pattern) -> list[ClothPlan]:
    return [plan for plan in pattern.cutting.cloths if plan.strips]


def _name(plan: ClothPlan) -> str:
    return plan.supply.fabric or plan.supply.slot


def _write_need(pattern: Pattern, plan: ClothPlan, kits: int) -> str:
    """Return the amount to buy for some kits: lengths of all strips, squared up once, or a number of pre-cuts."""
    system = pattern.study.measures.system
    supply = plan.supply
    if supply.form == "yardage":
        length = plan.used * kits + plan.squaring_up
        margin = pattern.study.cloth.find_margin(length, supply.margin)
        return write_buying((length + margin) / (1 - supply.shrinkage), system)
    count = round(plan.used * kits)
    wide = f" {write_length(supply.width, system)}" if supply.form in ("strips", "squares") else ""
    return f"{count} {name_form(supply.form, count)}{wide}"


# Samples


def _find_steps(pattern: Pattern, unit: str | None) -> list[Step]:
    plan = pattern.sewing
    counts = Counter(step.unit for step in plan.steps if step.second)
    names = [one.name for one in plan.units if counts[one.name]]
    if unit is None:
        inner = [name for name in names if name != plan.units[-1].name] or names
        unit = max(inner, key=lambda name: counts[name], default=None)
    if unit not in names:
        raise KitError(
            f"There is no unit `{unit}` with a seam", needed=", ".join(names) or "a study with seams", do="choose one"
        )
    of = {one.name: one for one in plan.units}
    wanted = set(of[unit].copies[0])
    inside = {name for name in names if name == unit or _holds(of[name], wanted)}
    return [step for step in plan.steps if step.unit in inside and step.second and wanted.issuperset(step.first)]


def _holds(unit: SewnUnit, wanted: set[str]) -> bool:
    """Return True if the copy of a unit named in its steps lies within some patches."""
    return wanted.issuperset(unit.copies[0])


def _write_pieces(pieces: Counter[str]) -> str:
    return ", ".join(f"({count}) {piece}" for piece, count in sorted(pieces.items()))


# The day


@dataclass(frozen=True, slots=True)
class _Row:
    begin: str
    end: str
    words: str
    minutes: float


def _read_time(text: str) -> float:
    hour, colon, minute = text.partition(":") if isinstance(text, str) else ("", "", "")
    if not (colon and hour.isdecimal() and minute.isdecimal() and int(hour) < 24 and int(minute) < 60):
        raise KitError(f"The class begins at `{text}`", needed="an hour and minutes", do='write for instance "10:00"')
    return int(hour) * 60.0 + int(minute)


def _write_time(minutes: float) -> str:
    whole = round(minutes)
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}"


def _list_work(pattern: Pattern, pace: float, *, cut_at_home: bool) -> list[tuple[str, float]]:
    """Return each piece of work with its minutes at the pace of the class; seams are grouped by their units."""
    lines = {line.unit: line for line in pattern.finishing.time}
    cuts, seams = lines.get("cuts"), lines.get("seams")
    work = []
    if cuts and not cut_at_home:
        work.append((f"Cutting, {cuts.amount:g} cuts", cuts.minutes * pace))
    if seams:
        counts = Counter(step.unit for step in pattern.sewing.steps if step.along_first)
        made = {unit.name: counts[unit.name] * unit.count for unit in pattern.sewing.units}
        total = sum(made.values())
        for unit in pattern.sewing.units:
            if made[unit.name]:
                often = f" ({unit.count} to make)" if unit.count > 1 else ""
                minutes = seams.minutes * made[unit.name] / total * pace
                work.append((f"Sewing and pressing: {unit.name}{often}", minutes))
    return work


def _lay_out(work: Sequence[tuple[str, float]], start: float, end: float) -> Iterator[_Row]:
    """Yield the rows of the day: welcome, work with its breaks, clearing away, and the work left for home."""
    clock, since, midday = start, 0.0, False
    last = end - CLOSING
    yield _Row(_write_time(clock), _write_time(clock + WELCOME), "Welcome, cautions, seam test", WELCOME)
    clock += WELCOME
    home: list[tuple[str, float]] = []
    for words, minutes in work:
        left, begun = minutes, False
        while left > 0.5:
            if since >= SPELL - 0.5:
                long = clock >= NOON - 45 and not midday and start < NOON - 45
                pause = MIDDAY if long else BREAK
                if clock + pause >= last:
                    break
                yield _Row(_write_time(clock), _write_time(clock + pause), "Midday break" if long else "Break", pause)
                clock, since, midday = clock + pause, 0.0, midday or long
            spell = min(left, SPELL - since, last - clock)
            if spell <= 0.5:
                break
            said = f"{words}, continued" if begun else words
            yield _Row(_write_time(clock), _write_time(clock + spell), said, spell)
            clock, since, left, begun = clock + spell, since + spell, left - spell, True
        if left > 0.5:
            home.append((f"{words}, the rest" if begun else words, left))
    yield _Row(_write_time(clock), _write_time(clock + CLOSING), "Questions, clearing away", CLOSING)
    for words, left in home:
        yield _Row("at home", "", words, left)
