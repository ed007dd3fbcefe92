"""Pages of the publishing loop: the form that a tester fills in, and the corrections of a pattern."""

from collections.abc import Mapping

from kit.model.findings import Questions
from kit.output.document.document import PAPERS, check_wish, choose_layout, typeset
from kit.output.document.parts import Parts
from kit.output.words.tester_words import WORDS, write_form_texts

STUMBLES = 12
"""Rows for stumbles on the form."""


def set_tester_form(asked: Questions, paper: str = "Letter") -> bytes:
    """Return the form for the testers of one size as PDF: sizes, cloth and minutes to fill in, a row for each stumble.

    Parameters
    ----------
    asked
        From `list_questions`.
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        An unknown paper.
    """
    check_wish("paper", paper, tuple(PAPERS))
    words = {key: text for key, text in WORDS.items() if isinstance(text, str)}
    data: dict[str, object] = {
        **write_form_texts(asked), "form": words, "rows": STUMBLES,
    }  # fmt: skip
    return typeset(Parts(data, {}), choose_layout(paper), "tester-form.typ")


def set_errata(texts: Mapping[str, object], paper: str = "Letter") -> bytes:
    """Return the corrections of a pattern as PDF.

    Parameters
    ----------
    texts
        From `write_errata_texts`.
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        An unknown paper.
    """
    check_wish("paper", paper, tuple(PAPERS))
    return typeset(Parts(dict(texts), {}), choose_layout(paper), "errata.typ")
