"""The forms of several testers merged: places by step, sizes against the plan, cloth, minutes, and what is unfound."""

import os
from collections.abc import Iterable, Sequence
from pathlib import Path

from kit.errors import KitError
from kit.lengths import SLACK
from kit.model.findings import (
    SEVERITIES,
    AskedSize,
    ComparedAmount,
    ComparedSize,
    Findings,
    FoundPlace,
    Questions,
    Stumble,
    TesterForm,
)
from kit.model.pattern import Pattern
from kit.model.print_record import PrintRecord
from kit.output.words.tester_words import find_size_limit
from kit.testers.form_reading import read_form
from kit.testers.questions import list_questions
from kit.testers.unfound import estimate_unfound


def read_findings(forms: Sequence[str | os.PathLike[str]], tested: Pattern | PrintRecord) -> Findings:
    """Read the filled forms of one size back and merge them.

    Stumbles are merged by step: a piece counts as the first step that takes it up, a unit as its last; other parts of
    the pattern by their names. Nothing that a tester wrote is left out. Measured sizes are compared with the plan's,
    cloth and minutes with what the plan states. What is still unfound is estimated as in `estimate_unfound`, from the
    places of the stumbles.

    Parameters
    ----------
    forms
        Filled CSV files of `write_tester_pack`, one per tester.
    tested
        The pattern that was tested, or its record from the tester pack if the study has changed since.

    Raises
    ------
    KitError
        No form; a form of another print; two forms of one tester; a row that cannot be read, with its number.
    """
    paths = [Path(form) for form in forms]
    if not paths:
        raise KitError("There is no form", needed="the filled form of a tester, or of several", do="name the CSV files")
    asked = tested.asked if isinstance(tested, PrintRecord) else list_questions(tested)
    return merge_forms([read_form(path, asked) for path in paths], asked)


def merge_forms(forms: Sequence[TesterForm], asked: Questions) -> Findings:
    """Merge forms that were read; as `read_findings`."""
    names: dict[str, str] = {}
    for form in forms:
        if form.tester.lower() in names:
            raise KitError(
                f"{names[form.tester.lower()]} and {form.file} both name the tester `{form.tester}`",
                needed="one form per tester", do="write another name, or leave the second form out",
            )  # fmt: skip
        names[form.tester.lower()] = form.file
    places = _merge_places([stumble for form in forms for stumble in form.stumbles], asked)
    found_by = [{_mark(place) for place in places if form.tester in place.testers} for form in forms]
    cloth = [
        _compare_amounts(
            one.fabric, one.form, one.needed, one.bought, [(form.tester, dict(form.cloth)) for form in forms]
        )
        for one in asked.cloth
    ]
    times = [
        _compare_amounts(one.place, "minutes", one.minutes, float("inf"), [(f.tester, dict(f.minutes)) for f in forms])
        for one in asked.times
    ]
    return Findings(
        asked, tuple(forms), places, tuple(_compare_size(size, forms, asked) for size in asked.sizes), tuple(cloth),
        tuple(times), estimate_unfound(found_by),
    )  # fmt: skip


def _mark(place: FoundPlace) -> tuple[int, str]:
    return place.step, "" if place.step else place.places[0]


def _merge_places(stumbles: Iterable[Stumble], asked: Questions) -> tuple[FoundPlace, ...]:
    """Put stumbles at one step together; parts before the sewing first, in the order of the pattern."""
    steps, order = dict(asked.places), {place: number for number, (place, _) in enumerate(asked.places)}
    groups: dict[tuple[int, str], list[Stumble]] = {}
    for one in stumbles:
        step = steps[one.place]
        groups.setdefault((step, "" if step else one.place), []).append(one)
    return tuple(
        FoundPlace(
            step,
            tuple(dict.fromkeys(one.place if one.place.isdigit() or not step else _spell(one.place) for one in found)),
            max((one.severity for one in found), key=SEVERITIES.index),
            tuple(dict.fromkeys(one.tester for one in found)),
            tuple(found),
        )
        for (step, _), found in sorted(groups.items(), key=lambda group: (group[0][0], order.get(group[0][1], 0)))
    )


def _spell(place: str) -> str:
    """Return the name of a piece as it is printed: A3."""
    return place.upper() if place[-1:].isdigit() and len(place) < 6 else place


def _compare_size(asked: AskedSize, forms: Sequence[TesterForm], questions: Questions) -> ComparedSize:
    """Compare sizes whichever side was measured first: shorter with shorter."""
    limit, stated = find_size_limit(questions.system) + SLACK, sorted(asked.size)
    off = []
    for form in forms:
        given = dict(form.sizes).get(asked.place)
        if given is not None:
            sides = sorted(given if len(given) == 2 else given * 2)
            off.append((form.tester, tuple(mine - printed for mine, printed in zip(sides, stated, strict=True))))
    out = tuple(name for name, sides in off if max(map(abs, sides)) > limit)
    ways = {_find_way(sides, limit) for name, sides in off}
    return ComparedSize(asked, tuple(off), out, len(off) > 1 and len(out) == len(off) and len(ways) == 1)


def _find_way(sides: Sequence[float], limit: float) -> tuple[int, ...]:
    """Return for each side whether it is out, and to which side."""
    return tuple((side > limit) - (side < -limit) for side in sides)


def _compare_amounts(
    place: str, form: str, stated: float, bought: float, given: Sequence[tuple[str, dict[str, float]]]
) -> ComparedAmount:
    taken = tuple((tester, amounts[place]) for tester, amounts in given if place in amounts)
    over = tuple(tester for tester, amount in taken if amount > bought + SLACK)
    return ComparedAmount(place, form, stated, bought, taken, over)
