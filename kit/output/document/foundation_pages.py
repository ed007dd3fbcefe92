"""Printed foundations: what to cut, how to sew on paper, and the papers at full size."""

from kit.geometry.outlines import measure_box
from kit.lengths import System
from kit.model.foundations import FoundationPlan
from kit.output.document.document import PAPERS, check_wish, choose_layout, typeset
from kit.output.document.parts import Parts
from kit.output.pictures.foundation_papers import FoundationPage, PaperForm, lay_out_papers
from kit.output.words.foundation_words import WORDS, label_paper, say_foundation, write_foundation_texts


def set_foundations(
    plan: FoundationPlan,
    paper: str = "Letter",
    system: System = "inch",
    *,
    scale: float = 1.0,
    mirrored: bool = True,
    tints: dict[str, str] | None = None,
    form: PaperForm = "paper",
) -> bytes:
    """Return the foundations of a block as PDF, to print at full size.

    Parameters
    ----------
    plan
        From `foundation_plan`, checked by `check_foundation_plan`.
    paper
        "Letter" or "A4"; the papers fit within the area common to both.
    system
        "inch" or "metric", of the measures in words.
    scale
        The block's size, 1 as designed; the allowance stays as it is. The rectangles are listed only at size 1.
    mirrored
        As seen from the back, for sewing on the printed side.
    tints
        A light colour for each slot, "#rrggbb", as a guide to the cloth; None leaves the papers white.
    form
        "paper", which is sewn through; "freezer paper", which is ironed on and folded back; "templates", every piece
        by itself, to cut cloth round.

    Raises
    ------
    KitError
        An unknown paper, form or system, a scale under a tenth or over ten.

    Notes
    -----
    The same plan gives the same bytes.
    """
    check_wish("paper", paper, tuple(PAPERS))
    check_wish("system", system, ("inch", "metric"))
    left, bottom, right, top = measure_box(plan.block)
    size = (right - left) * scale, (top - bottom) * scale
    sheets = [
        _write_page(page, plan, tints or {}, image=image)
        for image in (False, True)
        if (plan.mirrored if image else plan.copies > plan.mirrored)
        for page in lay_out_papers(plan, scale=scale, mirrored=mirrored != image, form=form)
    ]
    texts = write_foundation_texts(plan, size, system, scale=scale, mirrored=mirrored, form=form)
    data: dict[str, object] = {
        **texts,
        "cloth": texts["cloth"] if scale == 1 and form != "templates" else [],
        "f": {key: text for key, text in WORDS.items() if isinstance(text, str)},
        "sheets": sheets,
    }
    return typeset(Parts(data, {}), choose_layout(paper), "foundations.typ")


def _write_page(page: FoundationPage, plan: FoundationPlan, tints: dict[str, str], *, image: bool) -> dict[str, object]:
    """Return a page of papers as plain data; `image` for those of mirror images of the block."""
    tile = say_foundation("tile", part=page.part, parts=page.parts, across=page.across) if page.parts > 1 else ""
    slots = {piece.patch: piece.slot for section in plan.sections for piece in section.pieces}
    return {
        "tile": tile,
        "papers": [
            {
                "cut": paper.cut,
                "seam": paper.seam,
                "lines": paper.lines,
                "dots": paper.dots,
                "numbers": [{"at": number.at, "words": number.words} for number in paper.numbers],
                "tints": [
                    {"points": outline, "fill": tints[slots[number.patch]]}
                    for outline, number in zip(paper.patches, paper.numbers, strict=True)
                    if slots[number.patch] in tints
                ],
                "label": {"at": paper.label, "words": label_paper(plan, paper.section, image=image)},
            }
            for paper in page.papers
        ],
        "crosses": page.crosses,
        "squares": [{"at": one.corner, "side": one.side, "label": one.label} for one in page.squares],
    }
