"""Blocks on paper in sentences: their papers, what lies on each, the sewing, and how papers are joined."""

from collections.abc import Mapping, Sequence

from kit.lengths import write_length
from kit.model.foundations import FoundationPlan
from kit.model.making import Made
from kit.model.pattern import Sketch
from kit.output.words.foundation_words import say_foundation, say_join
from kit.output.words.strings import TEXTS, say_name

TELLS: Mapping[str, str] = TEXTS["making"]
HOW = ("how_3", "how_4", "how_5", "how_6", "how_7")


def say_about_papers(made: Made, plan: FoundationPlan) -> str:
    """Return how many papers a block has and what is printed of them."""
    count = len(plan.sections)
    papers = TELLS["paper_one"] if count == 1 else TELLS["paper_many"].format(count=count)
    if plan.mirrored:
        return TELLS["paper_about_mirror"].format(papers=papers, id=made.id, copies=plan.copies, mirrored=plan.mirrored)
    return TELLS["paper_about"].format(papers=papers, id=made.id)


def list_paper_steps(made: Made, plan: FoundationPlan, sketch: Sketch) -> list[str]:
    """Return the steps of a block on paper: what lies on each paper in order, how it is sewn, how papers are joined.

    Parameters
    ----------
    made, plan
        A block on paper, and its papers.
    sketch
        A sketch or a pattern; the sewing is told with its first block on paper and then referred to.
    """
    allowance = write_length(plan.allowance, sketch.study.measures.system)
    facts = {"name": say_name(made.name), "allowance": allowance, "copies": plan.copies}
    first = next(one for one in sketch.making.made if one.papers is not None)
    how = [say_foundation(key, **facts) for key in HOW]
    if first.id != made.id:
        how = [TELLS["paper_again"].format(id=first.id)]
    return [*_list_orders(made, plan), *how, *(say_join(join) for join in plan.joins)]


def _list_orders(made: Made, plan: FoundationPlan) -> Sequence[str]:
    """Return what lies on each paper, in the order of its numbers."""
    names = iter([made.blanks[use].id for use in made.uses])
    lines = []
    for section in plan.sections:
        pieces = [
            TELLS["paper_piece_short" if piece.line and piece.width < piece.height else "paper_piece"].format(
                number=piece.number, blank=next(names)
            )
            for piece in section.pieces
        ]
        lines.append(
            TELLS["paper_order"].format(paper=say_foundation("paper", name=section.name), pieces="; ".join(pieces))
        )
    return [*lines, TELLS["paper_slack"]]
