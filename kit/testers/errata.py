"""Errata: the difference between two editions of a pattern, from their tables."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from kit.errors import KitError
from kit.lengths import System
from kit.model.corrections import Correction, Errata, Sides
from kit.model.findings import Findings
from kit.model.pattern import Pattern
from kit.model.print_record import PrintRecord
from kit.output.words.errata_words import write_corrected
from kit.testers.cloth_changes import (
    list_cloth_changes,
    list_finishing_changes,
    list_map_changes,
    list_whole_changes,
)
from kit.testers.piece_changes import list_again, list_piece_changes, match_pieces, measure_cloth_of
from kit.testers.print_records import make_record
from kit.testers.step_changes import list_made_changes, list_step_changes, list_unit_changes

Printed = Pattern | PrintRecord


def find_errata(
    old: Printed | Sequence[Printed], new: Pattern | Sequence[Pattern], findings: Sequence[Findings] = ()
) -> Errata:
    """Return the corrections from one edition of a pattern to another, each with what to do if it is cut already.

    The tables of both are compared, never their prose: cut sizes and numbers of pieces, cloth, unfinished sizes of
    units, steps by the pieces that they join, the finishing. Only where all figures of a step agree are its words
    compared.

    Parameters
    ----------
    old
        The edition that is sold: its pattern, or its record from the tester pack; or those of all its sizes.
    new
        The corrected edition: its pattern, or those of all its sizes in the same order or under the same names.
    findings
        What testers of the old edition found: each correction names the testers who stumbled there.

    Returns
    -------
    Errata
        Without corrections if both print the same.

    Raises
    ------
    KitError
        Editions of two systems, or of two patterns.

    Notes
    -----
    Up to some seconds where a dozen pieces are cut again, a tenth of one where none is, beside making the patterns.
    What must be cut again is planned on its own, so that its cloth is what it takes, not a share of the whole.
    """
    befores = [_record(one) for one in ([old] if isinstance(old, Printed) else old)]
    afters = [new] if isinstance(new, Pattern) else list(new)
    if not befores or not afters:
        raise KitError("There is no edition to compare", needed="an old edition and a new one", do="name both")
    records = [make_record(one) for one in afters]
    many = len(befores) > 1 or len(afters) > 1
    corrections: list[Correction] = []
    for name, before, number in _pair_sizes(befores, records):
        label = name if many else ""
        if before is None or number is None:
            known, there = ("", label) if before is None else (label, "")
            corrections.append(Correction(label, "whole", "edition", "plain", None, known, there, "edition"))
            continue
        found = [one for one in findings if one.questions.fingerprint == before.fingerprint]
        lines = _drop_alike(_compare(before, records[number], afters[number]), records[number].system)
        corrections += [replace(line, size=label, found_by=_name_finders(line, before, found)) for line in lines]
    return Errata(
        records[0].title, records[0].system, _number(befores[0].edition), _number(records[0].edition),
        " ".join(one.fingerprint for one in befores), " ".join(one.fingerprint for one in records), records[0].date,
        _list_tops(old), tuple(corrections),
    )  # fmt: skip


def _list_tops(old: Printed | Sequence[Printed]) -> tuple[Sides, ...]:
    """Return the tops of the old edition if every size is a pattern whose rehearsal agrees."""
    every = [old] if isinstance(old, Printed) else list(old)
    proved = [one for one in every if isinstance(one, Pattern) and one.rehearsal.agrees]
    return tuple(Sides(*one.patchwork.finished) for one in proved) if len(proved) == len(every) else ()


def _record(one: Printed) -> PrintRecord:
    return one if isinstance(one, PrintRecord) else make_record(one)


def _number(edition: str) -> str:
    return edition.split(", ", 1)[0]


def name_size(edition: str) -> str:
    """Return the name of a size without the number of its edition: "throw" of "1, throw"."""
    return edition.split(", ", 1)[-1]


def _pair_sizes(
    befores: Sequence[PrintRecord], afters: Sequence[PrintRecord]
) -> Iterator[tuple[str, PrintRecord | None, int | None]]:
    """Yield each size by its name: its record in the old edition and its place in the new one."""
    if len(befores) == len(afters) == 1:
        yield "", befores[0], 0
        return
    names = {name_size(after.edition): number for number, after in enumerate(afters)}
    known = {name_size(before.edition): before for before in befores}
    for name in dict.fromkeys([*names, *known]):
        yield name, known.get(name), names.get(name)


def _compare(old: PrintRecord, new: PrintRecord, pattern: Pattern) -> Iterator[Correction]:
    """Yield the corrections of one size in the order of working."""
    if old.system != new.system:
        raise KitError(
            f"`{old.title}`, edition {old.edition}, is drafted in the {old.system} system, and edition {new.edition} in"
            f" the {new.system} system",
            needed="two editions of one system", do="redraft one of them: --system",
        )  # fmt: skip
    pairs = match_pieces(old, new)
    known = sum(was is not None and now is not None for was, now in pairs)
    if not known or (old.title != new.title and 2 * known < len(old.pieces)):
        raise KitError(
            f"`{old.title}`, edition {old.edition}, and `{new.title}`, edition {new.edition},"
            " have hardly a piece in common",
            needed="two editions of one pattern", do="name the study before and after the correction",
        )  # fmt: skip
    again = list_again(pairs)
    cloth = measure_cloth_of(pattern, len(again))
    made = [
        *list_piece_changes(pairs, cloth), *list_map_changes(old, new), *list_made_changes(old, new),
        *list_unit_changes(old, new, pairs),
    ]  # fmt: skip
    changed = {line.subject for line in made} | {was.id for was, now in pairs if was and now and was.id != now.id}
    yield from list_whole_changes(old, new)
    yield from list_cloth_changes(old, new, cloth(again))
    yield from made
    yield from sorted(list_step_changes(old, new, frozenset(changed)), key=lambda line: line.step or 0)
    yield from list_finishing_changes(old, new)


def _drop_alike(lines: Iterable[Correction], system: System) -> Iterator[Correction]:
    """Yield the lines whose two values are printed differently: to the mark of a ruler two lengths may be one."""
    for line in lines:
        if write_corrected(line.old, system) != write_corrected(line.new, system):
            yield line


def _name_finders(line: Correction, old: PrintRecord, findings: Sequence[Findings]) -> tuple[str, ...]:
    """Return the testers who stumbled where a correction is: at its piece, unit, fabric or step.

    A stumble at a step belongs to a piece if the step takes the piece up, and to a unit if it is its last.
    """
    steps = {line.step} if line.step and line.part in ("step", "unit") else set[int | None]()
    if line.part == "piece":
        steps = {step.number for step in old.steps if line.subject in step.taken}
    names = {line.subject.lower()} if line.part in ("piece", "unit", "cloth", "finishing") else set()
    here = names | {f"{step}" for step in steps}
    stumbles = [stumble for one in findings for place in one.places for stumble in place.stumbles]
    return tuple(dict.fromkeys(stumble.tester for stumble in stumbles if stumble.place in here))
