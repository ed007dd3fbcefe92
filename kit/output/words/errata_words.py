"""The errata in words: as lines of text, as rows of a table, as the texts of a page."""

from collections.abc import Mapping
from itertools import groupby
from types import MappingProxyType
from typing import Any

from kit.lengths import System, write_length, write_nearest
from kit.model.corrections import (
    ClothAmount,
    ClothNeeds,
    CorrectedValue,
    Correction,
    CutSize,
    Errata,
    Keyed,
    OneLength,
    Sides,
)
from kit.output.words.sizes import describe_size, write_size
from kit.output.words.step_words import join_words
from kit.output.words.strings import TEXTS, is_original, say_name
from kit.output.words.tester_words import SHORT, say_amount

FEW_FABRICS = 3
"""Fabrics whose cloth is named one by one in a remedy."""
ERRATA: Mapping[str, Any] = MappingProxyType(TEXTS["errata"])


def say_erratum(key: str, **facts: object) -> str:
    """Return a sentence of the errata with its facts filled in.

    Examples
    --------
    >>> say_erratum("what_piece", subject="A3")
    'piece A3'
    """
    return str(ERRATA[key].format(**facts))


def write_corrected(value: CorrectedValue, system: System) -> str:
    """Return what was printed, or what is correct, as the pattern writes it; for an empty one that it is not there."""
    if isinstance(value, CutSize):
        try:
            return describe_size(value.kind, dict(value.measures), system)  # type: ignore[arg-type]  # a record has texts
        except KeyError:  # a record that was changed by hand: other measures than its kind has
            return ", ".join(f"{name} {write_length(size, system)}" for name, size in value.measures)
    if isinstance(value, Sides):
        return write_size((value.width, value.length), system)
    if isinstance(value, OneLength):
        return (write_nearest if value.near else write_length)(value.inches, system)
    if isinstance(value, ClothAmount):
        return say_amount(value.form, value.amount, system, bought=value.bought)
    if isinstance(value, ClothNeeds):
        return join_words(_list_amounts(value, system)) if value.amounts else ""
    if isinstance(value, Keyed):
        if value.key == "steps_words" and not is_original():  # the words are recorded in English
            return write_corrected(dict(value.facts)["steps"], system)  # type: ignore[arg-type]
        return say_erratum(
            value.key, **{name: write_corrected(fact, system) for name, fact in value.facts}  # type: ignore[arg-type]
        )  # fmt: skip
    return f"{value}" if value != "" else say_erratum("absent")


def write_old_and_new(line: Correction, system: System) -> tuple[str, str]:
    """Return what was printed and what is correct; words of a step are told by where they stand in other languages."""
    if line.change == "words" and not is_original():
        return say_erratum("words_printed"), say_erratum("words_correct")
    return write_corrected(line.old, system), write_corrected(line.new, system)


def list_exact(value: CorrectedValue) -> str:
    """Return the figures of a value in inches, for a machine: "side 2.5000"; empty where it has none."""
    if isinstance(value, CutSize):
        return ", ".join(f"{name} {size:.4f}" for name, size in value.measures)
    if isinstance(value, Sides):
        return f"width {value.width:.4f}, length {value.length:.4f}"
    if isinstance(value, OneLength):
        return f"{value.inches:.4f}"
    if isinstance(value, ClothAmount):
        return f"{value.amount:.4f}" if value.form == "yardage" else f"{value.amount:g}"
    return f"{value}" if isinstance(value, int | float) else ""


def name_corrected(line: Correction) -> str:
    """Return what a line corrects: "piece A3, cut size"."""
    subject = line.subject
    if line.part in ("whole", "finishing"):
        subject = say_erratum(f"name_{line.subject}")
    elif line.part == "step":
        subject = say_erratum("steps_one", first=line.subject)
    what = say_erratum(f"what_{line.part}", subject=say_name(subject))
    how = f"how_{line.change}"
    return say_erratum("change_size", what=what, how=ERRATA[how]) if how in ERRATA else what


def _list_amounts(needs: ClothNeeds, system: System) -> list[str]:
    said = [(fabric, write_corrected(amount, system)) for fabric, amount in needs.amounts]
    return [say_erratum("cloth_of", amount=amount, fabric=fabric) for fabric, amount in said]


def _say_needs(value: CorrectedValue, system: System) -> str:
    """Return a fact of a remedy; cloth of more than a few fabrics as the least and the most of each."""
    if not isinstance(value, ClothNeeds) or not value.amounts:
        return write_corrected(value, system)
    if len(value.amounts) <= FEW_FABRICS or len({amount.form for _, amount in value.amounts}) > 1:
        return say_erratum("cloth_takes", amounts=join_words(_list_amounts(value, system)))
    ends = sorted((amount for _, amount in value.amounts), key=lambda amount: amount.amount)
    least, most = (write_corrected(amount, system) for amount in (ends[0], ends[-1]))
    return say_erratum("cloth_each" if least != most else "cloth_same", least=least, most=most, count=len(ends))


def say_remedy(line: Correction, system: System) -> str:
    """Return what to do if it is cut or sewn already."""
    facts = {name: _say_needs(value, system) for name, value in line.facts}
    return say_erratum(f"remedy_{line.remedy}", **facts).rstrip()


def list_errata(errata: Errata) -> tuple[str, ...]:
    """Return the errata as lines of text: the editions, then one line per correction."""
    lines = [_say_title(errata), _say_editions(errata)]
    lines += [say_erratum("dated", date=errata.date)] if errata.date else []
    if not errata.corrections:
        return (*lines, say_erratum("none"))
    lines += [said] if (said := _say_agrees(errata)) else []
    return (*lines, "", *(say_correction(line, errata.system) for line in errata.corrections))


def _say_title(errata: Errata) -> str:
    return say_erratum("title", title=errata.title)


def _say_editions(errata: Errata) -> str:
    return say_erratum(
        "from_to", old=errata.old_edition, new=errata.new_edition, old_short=errata.old_print[:SHORT],
        new_short=errata.new_print[:SHORT],
    )  # fmt: skip


def _say_agrees(errata: Errata) -> str:
    """Return that the old edition agrees with itself, with the tops that it gives; empty if that is not known."""
    tops = [write_size((top.width, top.length), errata.system) for top in errata.old_tops]
    return say_erratum("agrees", finished=join_words(tops)) if tops else ""


def say_correction(line: Correction, system: System) -> str:
    """Return one correction as a line of text."""
    facts = {
        "size": say_erratum("line_size", size=line.size) if line.size else "",
        "step": say_erratum("line_step", step=line.step) if line.step and line.part != "step" else "",
        "found": say_erratum("found", names=join_words(line.found_by)) if line.found_by else "",
    }
    old, new = write_old_and_new(line, system)
    key = "line_new" if line.old == "" else "line_gone" if line.new == "" else "line"
    key = "line_again" if line.remedy == "again" else key
    said = say_erratum(key, what=name_corrected(line), old=old, new=new, remedy=say_remedy(line, system), **facts)
    return said[:1].upper() + said[1:]


def list_errata_rows(errata: Errata) -> list[list[str]]:
    """Return the errata as rows for a machine, one cell for each of the columns of `errata.columns` in the strings."""
    system = errata.system
    return [
        [
            line.size, f"{line.step or ''}", line.part, line.subject, line.change, name_corrected(line),
            *write_old_and_new(line, system), list_exact(line.old), list_exact(line.new), say_remedy(line, system),
            ", ".join(line.found_by),
        ]
        for line in errata.corrections
    ]  # fmt: skip


def _write_cells(line: Correction, system: System) -> list[str]:
    """Return the cells of a line on the page; a long list of cloth stands in the widest."""
    (old, new), remedy = write_old_and_new(line, system), say_remedy(line, system)
    if line.remedy == "again":
        new, remedy = say_erratum("absent"), f"{new}. {remedy}"
    return [f"{line.step}" if line.step else "", name_corrected(line), old, new, remedy]


def write_errata_texts(errata: Errata) -> dict[str, object]:
    """Return the texts of the page of corrections: a table for each size, one row per correction."""
    system = errata.system
    return {
        "title": _say_title(errata),
        "editions": _say_editions(errata),
        "dated": say_erratum("dated", date=errata.date) if errata.date else "",
        "agrees": _say_agrees(errata) if errata.corrections else "",
        "how": ERRATA["how"] if errata.corrections else ERRATA["none"],
        "head": list(ERRATA["head"]),
        "sizes": [
            {
                "label": size,
                "rows": [_write_cells(line, system) for line in lines],
            }
            for size, lines in groupby(errata.corrections, key=lambda line: line.size)
        ],
    }  # fmt: skip
