"""The audit: a form read, each size judged, the sizes compared, every figure with its verdict."""

import os

from kit.auditing.audit_lines import Audit, AuditLine
from kit.auditing.form_batches import judge_batches
from kit.auditing.form_cloth import judge_cloth
from kit.auditing.form_compare import compare_sizes
from kit.auditing.form_counts import judge_counts
from kit.auditing.form_entries import FormEntry, PatternForm, read_pattern_form
from kit.auditing.form_finish import judge_finish
from kit.auditing.form_pieces import judge_pieces
from kit.auditing.form_reading_terms import FormSize

IDLE = (
    "name",
    "shape",
    "unit",
    "way",
    "gives",
    "cuts",
    "makes",
    "units",
    "form",
    "width",
    "length",
    "one_way",
    "repeat",
    "overhang",
    "corners",
    "fold",
    "grain",
    "usable_width",
    "system",
    "seam_allowance",
    "round_cuts_to",
    "fabric",
)
"""Keys that say what is meant; they hold no figure that follows from others."""


def audit(path: str | os.PathLike[str]) -> Audit:
    """Audit a written pattern, line by line: what follows, what does not, and by how much.

    Each unit with shapes or rows is laid and sewn in the rehearsal; each cut size is grown from the finished one;
    counts go down from the top; each cloth is planned at the width that the pattern names; borders, backing and binding
    follow from the size. Sizes and systems are compared with one another.

    Parameters
    ----------
    path
        A form: TOML, or a table that ends in `.csv`; `kit.write_form` writes one of a pattern, as a model.

    Returns
    -------
    Audit
        `.lines`: each with `.where`, `.says`, `.found` and `.verdict`; it shows itself.

    Raises
    ------
    KitError
        A file that is not a form at all; what is wrong within one is a line of the audit.

    Notes
    -----
    Some tenths of a second for each size, most of it for the cloth.
    """
    return audit_form(read_pattern_form(path))


def audit_form(form: PatternForm) -> Audit:
    """Audit a form that was read.

    Parameters
    ----------
    form
        The form.
    """
    lines = [AuditLine(where, line, "", "", "not decidable", note) for line, where, note in form.faults]
    measures = next((entry for entry in form.entries if entry.kind == "measures"), None)
    names = list(dict.fromkeys(entry.size for entry in form.entries if entry.kind != "measures"))
    judged = []
    for name in names:
        size = FormSize(name, [entry for entry in form.entries if entry.size == name], measures)
        pieces = judge_pieces(size)
        judge_counts(size, pieces)
        judge_batches(size, pieces)
        judge_cloth(size, pieces)
        judge_finish(size, pieces)
        judged.append((size, pieces))
    compare_sizes(judged)
    for size, _ in judged:
        _tell_rest(size)
        lines += size.said
    if not names:
        lines.append(AuditLine("form", 0, "", "", "not decidable", "The form holds no size: write [[size]]"))
    return Audit(form.title, tuple(sorted(lines, key=lambda line: line.line)))


def _tell_rest(size: FormSize) -> None:
    """Say of every figure without a verdict that nothing decides it."""
    every: list[FormEntry] = [entry for held in size.entries.values() for entry in held]
    for entry in every:
        for key in entry.texts:
            if (
                key not in IDLE
                and (entry.kind, key) != ("batch", "finished")
                and (entry.line, entry.where, key) not in size.judged
            ):
                size.tell(entry, key, "not decidable", note="Nothing else in the form decides it")
