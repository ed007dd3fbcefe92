"""Papers to print: the foundations of a block, and those of the units that a pattern has on paper, each checked."""

import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from kit.checks.foundation_check import check_foundation_plan
from kit.checks.paper_print_check import PrintedPaper, check_printed_papers
from kit.geometry.outlines import Outline
from kit.lengths import MM, System
from kit.model.foundations import FoundationPlan
from kit.model.pattern import Pattern
from kit.output.document.document import Paper, save
from kit.output.document.foundation_pages import set_foundations
from kit.output.pictures.drawing import name_fabrics
from kit.output.pictures.foundation_papers import PaperForm, lay_out_papers
from kit.output.words.strings import use_language


def write_foundations(  # noqa: PLR0913  each is a quantity of its own, named at the call
    plan: FoundationPlan,
    path: str | os.PathLike[str],
    paper: Paper = "Letter",
    system: System = "inch",
    *,
    scale: float = 1.0,
    mirrored: bool = True,
    tints: dict[str, str] | None = None,
    form: PaperForm = "paper",
    language: str = "English",
) -> Path:
    """Write the paper foundations of a block as PDF: the rectangles to cut, how to sew, and the papers at full size.

    The plan is sewn on its papers first; nothing is written if it does not give the block.

    Parameters
    ----------
    plan
        From `foundation_plan`.
    path
        The file to write; no other file is written.
    paper
        "Letter" or "A4".
    system
        "inch" or "metric", of the measures in words.
    scale
        The block's size, 1 as designed; the allowance stays as it is, and the rectangles are listed only at size 1.
    mirrored
        As seen from the back, for sewing on the printed side; False for those who trace the lines to the other side.
    tints
        A light colour for each slot, "#rrggbb", as a guide to the cloth.
    form
        "paper", which is sewn through; "freezer paper", which is ironed on and folded back; "templates", every piece
        by itself.
    language
        "English" or "German".

    Returns
    -------
    Path
        What was written.

    Raises
    ------
    KitError
        A plan that does not give the block, an unknown paper, form, system or language, a scale under a tenth or over
        ten, a file that cannot be written.

    Notes
    -----
    The same plan gives the same bytes.
    """
    check_foundation_plan(plan)
    _check_pages(plan, scale, form, mirrored=mirrored)
    with use_language(language):
        made = set_foundations(plan, paper, system, scale=scale, mirrored=mirrored, tints=tints, form=form)
    return save(made, path)


def list_paper_files(pattern: Pattern, page: Paper, language: str = "English") -> Iterator[tuple[str, bytes]]:
    """Yield the papers of each unit that a pattern has on paper: its id, and the pages to print as PDF.

    The letters of the cloth are those of the pattern.

    Parameters
    ----------
    pattern
        Every plan of a study.
    page
        "Letter" or "A4".
    language
        As for `write_document`.
    """
    letters = tuple(name_fabrics(pattern).items())
    for made in pattern.making.made:
        if made.papers is not None:
            _check_pages(made.papers, 1.0, "paper", mirrored=True)
            with use_language(language):
                data = set_foundations(replace(made.papers, letters=letters), page, pattern.study.measures.system)
            yield made.id, data


def _check_pages(plan: FoundationPlan, scale: float, form: PaperForm, *, mirrored: bool) -> None:
    """Refuse pages whose papers, turned over, are not the block; templates are pieces by themselves."""
    if form == "templates":
        return
    papers = [
        PrintedPaper(
            paper.section,
            {int(number.words.split()[0]): _lift(outline)
             for number, outline in zip(paper.numbers, paper.patches, strict=True)},
            _lift(paper.cut),
        )
        for page in lay_out_papers(plan, scale=scale, mirrored=mirrored, form=form)
        for paper in page.papers
    ]  # fmt: skip
    check_printed_papers(plan, papers, scale, mirrored=mirrored)


def _lift(outline: Outline) -> Outline:
    """Return an outline on a page, millimetres downwards, as inches upwards."""
    return tuple((x * MM, -y * MM) for x, y in outline)
