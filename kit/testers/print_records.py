"""The record of an edition: made from a pattern, written as JSON, read back and checked."""

import json
import os
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import asdict, fields, is_dataclass
from math import isfinite
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

from kit.errors import KitError
from kit.lengths import buying_length
from kit.model.cutting import ClothPlan
from kit.model.pattern import Pattern
from kit.model.print_record import (
    SO_FAR,
    PrintRecord,
    RecordedCloth,
    RecordedFinish,
    RecordedMade,
    RecordedPiece,
    RecordedStep,
    RecordedUnit,
)
from kit.model.sewing import Step
from kit.output.words.step_words import StepSentences
from kit.testers.questions import find_first_steps, list_questions, list_taken

FORM = "seamproof record 1"
"""The value of the key `form`; a file of another form is refused."""
LARGEST = 50_000_000
"""Bytes: a longer file is refused unread."""
STRETCHED = ("partial", "close", "set in")
ENDING = "-record.json"
"""How the names of such files end."""
PLACES = 6
"""Decimals of an inch that are kept."""


def make_record(pattern: Pattern) -> PrintRecord:
    """Return what a pattern prints, as figures that a later edition can be compared with.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    study, writer = pattern.study, StepSentences(pattern, pattern.sewing)
    last = {step.unit: step.told for step in pattern.sewing.steps}
    system = study.measures.system
    units = {frozenset(copy): unit.name for unit in pattern.sewing.units for copy in unit.copies}
    return PrintRecord(
        study.title, study.edition, getattr(study, "date", ""), pattern.colophon.get("fingerprint", ""), system,
        _cut(pattern.cut_list.allowance), _cut(pattern.cut_list.step), _pair(pattern.patchwork.finished),
        tuple(_list_pieces(pattern)),
        tuple(
            RecordedCloth(
                plan.supply.fabric or plan.supply.slot, plan.supply.slot, plan.supply.form, _cut(plan.supply.width),
                _cut(plan.as_bought), _cut(buying_length(plan.as_bought, system))
                if plan.supply.form == "yardage" else plan.as_bought,
                _list_heights(plan), _cut(plan.squaring_up + plan.margin + plan.lead),
            )
            for plan in pattern.cutting.cloths if plan.strips
        ),
        tuple(
            RecordedMade(
                one.id, one.unit, one.fabrics, one.way, one.batches, one.makes, _cut(one.over), _cut(one.segment),
                tuple(_cut(segment.width) for segment in one.segments),
            )
            for one in pattern.making.made
        ),
        tuple(
            RecordedUnit(unit.name, unit.count, _pair(writer.measure(unit)), last.get(unit.name, 0), unit.parts)
            for unit in pattern.sewing.units
        ),
        tuple(_record_step(pattern, step, writer, units) for step in pattern.sewing.steps if step.told),
        tuple(_list_finishing(pattern)),
        tuple(sorted(pattern.colouring.assignment.items())), list_questions(pattern),
    )  # fmt: skip


def _cut(inches: float) -> float:
    return round(float(inches), PLACES)


def _pair(size: tuple[float, float]) -> tuple[float, float]:
    return _cut(size[0]), _cut(size[1])


def _list_heights(plan: ClothPlan) -> tuple[float, ...]:
    """Return the heights of the strips; a print that keeps strips apart is one length, because none can be moved."""
    if plan.strips and plan.strips[0].start is not None:
        return (_cut(plan.used),)
    return tuple(_cut(strip.height) for strip in plan.strips)


def _list_pieces(pattern: Pattern) -> Iterator[RecordedPiece]:
    cut: dict[str, Counter[str]] = {}
    for one in pattern.making.cut_list.pieces:
        cut.setdefault(one.id, Counter())[one.fabric or one.slot] += one.count
    first = find_first_steps(pattern)
    for piece in pattern.making.pieces:
        yield RecordedPiece(
            piece.id, piece.name, piece.kind, piece.slot, piece.hand or "", piece.count,
            tuple((name, _cut(size)) for name, size in piece.rounded.items()),
            tuple(sorted(cut.get(piece.id, {}).items())), first.get(piece.id, 0), piece.patches,
        )  # fmt: skip


def _record_step(
    pattern: Pattern, step: Step, writer: StepSentences, units: Mapping[frozenset[str], str]
) -> RecordedStep:
    piece_of = pattern.cut_list.piece_of

    def name(patches: tuple[str, ...]) -> str:
        if len(patches) == 1 and patches[0] in piece_of:
            piece = piece_of[patches[0]]
            return " ".join(part for part in (piece.slot, piece.name, piece.hand) if part)
        return units.get(frozenset(patches), SO_FAR) if patches else ""

    return RecordedStep(
        step.told, step.unit, step.kind, name(step.first), name(step.second), list_taken(pattern, step),
        "spun" if step.spun_at is not None else step.press or "", len(step.pressed_back),
        tuple(_cut(end) for end in step.sewn) if step.kind in STRETCHED else (), tuple(_cut(one) for one in step.stops),
        writer.say(step),
    )  # fmt: skip


def _list_finishing(pattern: Pattern) -> Iterator[RecordedFinish]:
    """Yield the lengths of the finishing that a maker cuts; borders are pieces already."""
    plan = pattern.finishing
    yield RecordedFinish("backing", "needed", _pair(plan.backing.needed))
    yield RecordedFinish("backing", "buy", (_cut(plan.backing.chosen.bought),))
    yield RecordedFinish("batting", "needed", _pair(plan.batting.needed))
    yield RecordedFinish("binding", "cut", (_cut(plan.binding.cut),))
    if plan.binding.square is None:
        yield RecordedFinish("binding", "strips", (float(len(plan.binding.lengths)),))
    yield RecordedFinish("binding", "buy", (_cut(plan.binding.bought),))
    if plan.sleeve is not None:
        yield RecordedFinish("sleeve", "needed", _pair(plan.sleeve.cut))


# Writing and reading


def write_record(record: PrintRecord) -> str:
    """Return a record as JSON text; the same record gives the same bytes."""
    return json.dumps({"form": FORM, **asdict(record)}, ensure_ascii=False, indent=None, allow_nan=False) + "\n"


def open_record(path: str | os.PathLike[str]) -> PrintRecord:
    """Read the record of an edition that `write_tester_pack` wrote.

    Parameters
    ----------
    path
        A file whose name ends in `-record.json`.

    Raises
    ------
    KitError
        A file that cannot be read or is not such a record; names the key.
    """
    place = Path(path)
    try:
        if place.stat().st_size > LARGEST:
            raise KitError(f"{place.name} is too large for a record", needed="a file that the kit wrote",
                           do="write the tester pack again")  # fmt: skip
        record = _read_record(json.loads(place.read_text(encoding="utf-8")))
    except OSError as error:
        raise KitError(f"{place.name} cannot be read ({error.strerror})", needed="the record of an edition",
                       do="name the file that ends in -record.json, or the study") from None  # fmt: skip
    except (ValueError, TypeError, KeyError, RecursionError) as error:
        raise KitError(f"{place.name} is not the record of an edition ({error})", needed="a file of the tester pack",
                       do="write the tester pack of that edition again") from None  # fmt: skip
    return record


def _read_record(held: Any) -> PrintRecord:
    """Return the record in the data of a file, or raise a ValueError."""
    if not isinstance(held, dict) or held.pop("form", None) != FORM:
        raise ValueError(f"its `form` is not `{FORM}`")
    record: PrintRecord = _take(PrintRecord, held, "record")
    return record


def _take(hint: Any, value: Any, key: str) -> Any:
    """Return a value of JSON as its type wants it, or raise a ValueError that names the key."""
    if is_dataclass(hint) and isinstance(hint, type):
        if not isinstance(value, dict) or set(value) != {one.name for one in fields(hint)}:
            raise ValueError(f"`{key}` has not the keys of a record")
        hints = get_type_hints(hint)
        return hint(**{name: _take(hints[name], value[name], name) for name in hints})
    if get_origin(hint) is tuple:
        kinds = get_args(hint)
        if not isinstance(value, list) or (kinds[-1] is not Ellipsis and len(value) != len(kinds)):
            raise ValueError(f"`{key}` is not a list as it should be")
        if kinds[-1] is Ellipsis:
            return tuple(_take(kinds[0], one, key) for one in value)
        return tuple(_take(kind, one, key) for kind, one in zip(kinds, value, strict=True))
    wanted = get_args(hint) or hint
    if get_args(hint):
        if value in wanted:
            return value
    elif hint is float and isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value):
        return float(value)
    elif hint is not float and type(value) is hint:
        return value
    raise ValueError(f"`{key}` is {value!r:.30}")
