"""The command `kit audit`: a form audited, its verdicts printed, its corrections written; or the form of a study."""

import argparse
from collections.abc import Sequence

from kit.auditing.audit_form import audit
from kit.auditing.corrected_table import write_corrections
from kit.auditing.form_writing import write_form
from kit.pipeline import make_pattern
from kit.study import editions, open_study

ABOUT = "Audit the form of a written pattern, line by line; exit 1 if a figure is wrong."


def answer_audit(words: Sequence[str]) -> int:
    """Answer `kit audit FORM`: print every line that is not proved; return 1 if something is to be corrected.

    Parameters
    ----------
    words
        What follows `kit audit`.

    Raises
    ------
    KitError
        A file that is not a form, or a place that cannot be written to.
    """
    parser = argparse.ArgumentParser(prog="kit audit", description=ABOUT)
    parser.add_argument("form", help="a form, TOML or CSV; with --form-of the file to write")
    parser.add_argument("--form-of", metavar="STUDY", help="write the form of a study instead, as a model")
    parser.add_argument("--corrections", metavar="FILE", help="write the corrections as a page (.html) or table (.csv)")
    parser.add_argument("--every", action="store_true", help="print the proved lines too")
    asked = parser.parse_args(list(words))
    if asked.form_of:
        print(write_form([make_pattern(one) for one in editions(open_study(asked.form_of))], asked.form))
        return 0
    found = audit(asked.form)
    print(found)
    if asked.every:
        print(*(line for line in found.lines if line.verdict == "proved"), sep="\n")
    if asked.corrections:
        print(write_corrections(found, asked.corrections))
    return 0 if found.passes else 1
