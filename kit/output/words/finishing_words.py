"""The finishing in plain sentences, in the order of working, every figure from the plan."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TypeAlias

from kit.lengths import write_length, write_nearest, write_thread
from kit.model.finishing import FinishingPlan
from kit.model.finishing_figures import ThreadLine
from kit.model.finishing_parts import BorderPlan
from kit.model.pattern import Pattern
from kit.output.words.colour_words import say_colour
from kit.output.words.strings import say_finishing, say_name
from kit.output.words.thread_words import name_thread

Steps: TypeAlias = tuple[str, tuple[str, ...]]
"""A heading and the sentences under it."""


def list_finishing_steps(pattern: Pattern) -> tuple[Steps, ...]:
    """Return the finishing of a pattern: borders, backing, layers, quilting, binding, sleeve, label, washing.

    Parameters
    ----------
    pattern
        Every plan of a study.

    Returns
    -------
    tuple of (heading, tuple of sentences)
        In the order of working, without the parts that the quilt lacks. A cut length is rounded up to
        the study's step; a measured length is given to the nearest mark, with "about" if it falls between two.
    """
    return describe_finishing(pattern.finishing, len(pattern.quilting.runs))


def describe_finishing(plan: FinishingPlan, threads: int = 0) -> tuple[Steps, ...]:
    """Return the sentences of a finishing plan without its pattern.

    Parameters
    ----------
    plan
        The plan.
    threads
        The number of threads of the drawn quilting; zero if it is not planned.
    """
    parts = (
        ("borders", _say_borders(plan)), ("backing", _say_backing(plan)), ("layers", _say_layers(plan)),
        ("quilting", _say_quilting(plan, threads)), ("binding", _say_binding(plan)), ("sleeve", _say_sleeve(plan)),
        ("label", [say_finishing("label_lines", lines="; ".join(write_label(plan)))]), ("care", write_care(plan)),
    )  # fmt: skip
    made = ((say_finishing(heading), tuple(lines)) for heading, lines in parts)
    return tuple((heading, lines) for heading, lines in made if lines)


def write_label(plan: FinishingPlan) -> tuple[str, ...]:
    """Return the lines for the back; what the maker has not filled in is a line to write on."""
    label, blank = plan.label, say_finishing("label_blank")
    return (
        label.title,
        say_finishing("label_size", size=_near_size(label.finished, plan)),
        say_finishing("label_maker", maker=label.maker or blank),
        say_finishing("label_date", date=label.date or blank),
        say_finishing("label_care", fibre=say_name(label.fibre)),
    )


def write_care(plan: FinishingPlan) -> tuple[str, ...]:
    """Return the sentences of the care card: fibre, what the first wash takes, which fabrics bleed."""
    care = plan.care
    width, height = (100 * part for part in care.shrinkage)
    quilted, washed = (_near_size(size, plan) for size in (care.quilted, care.washed))
    return (
        say_finishing("care_fibre", fibre=say_name(care.fibre)),
        say_finishing("care_loss", width=width, height=height, quilted=quilted, washed=washed),
        say_finishing("care_bled", fabrics=", ".join(care.bleeding)) if care.bleeding else say_finishing("care_test"),
    )


def _cut(size: Iterable[float], plan: FinishingPlan) -> str:
    return " × ".join(_up(side, plan) for side in size)


def _up(inches: float, plan: FinishingPlan) -> str:
    """Return a length to cut, rounded up to the study's step."""
    return write_length(inches, plan.top.system, step=plan.top.step)


def _near(inches: float, plan: FinishingPlan) -> str:
    return write_nearest(inches, plan.top.system)


def _exact(inches: float, plan: FinishingPlan) -> str:
    return write_length(round(inches, 6), plan.top.system)


def _say_borders(plan: FinishingPlan) -> Iterator[str]:
    for border in plan.borders:
        yield say_finishing("border_measure", number=border.number)
        yield _say_strips(border, plan)
        if border.corner == "cornerstones":
            yield say_finishing("border_stones")
        if border.corner == "mitred":
            yield say_finishing("border_mitred")
        sides, ends = (_near(plan.wishes.ease_limit * fit.length, plan) for fit in (border.sides, border.ends))
        yield say_finishing("border_ease", sides=sides, ends=ends)


def _say_strips(border: BorderPlan, plan: FinishingPlan) -> str:
    """Give the lengths of the strips, starting with those sewn first if it matters."""
    sides, ends = _up(border.lengths[0], plan), _up(border.lengths[2], plan)
    if border.corner != "butted":
        return say_finishing("border_pairs", number=border.number, sides=sides, ends=ends)
    first, then = "border_first", "border_last"
    if border.lengths[0] > border.sides.length:
        first, then = then, first
    return say_finishing(
        "border_sides",
        number=border.number,
        first=say_finishing(first),
        sides=sides,
        then=say_finishing(then),
        ends=ends,
    )


def _say_pieces(plan: FinishingPlan) -> Iterator[str]:
    """Say what is cut from each piece on hand, the first cuts first."""
    panels = plan.backing.chosen.panels
    for source in dict.fromkeys(panel.source for panel in panels if panel.source is not None):
        mine = Counter(_cut(panel.cut, plan) for panel in panels if panel.source == source)
        cuts = ", ".join(say_finishing("backing_part", count=count, size=size) for size, count in mine.items())
        yield say_finishing("backing_from", piece=_cut(plan.wishes.on_hand[source], plan), cuts=cuts)


def _say_backing(plan: FinishingPlan) -> Iterator[str]:
    way = plan.backing.chosen
    if way.way == "wide":
        yield say_finishing("backing_wide", width=_exact(way.cloth_width, plan))
    if way.way == "diagonal":
        covers = _cut(plan.backing.needed, plan)
        yield say_finishing("backing_diagonal", size=_cut(way.panels[0].cut, plan), covers=covers)
    elif any(panel.source is not None for panel in way.panels):
        yield from _say_pieces(plan)
        yield say_finishing("backing_selvage")
    else:
        for size, count in Counter(_cut(panel.cut, plan) for panel in way.panels).items():
            yield say_finishing("backing_one" if len(way.panels) == 1 else "backing_many", size=size, count=count)
        yield say_finishing("backing_selvage")
    if way.seams:
        allowance = _exact(plan.backing.allowance, plan)
        yield say_finishing(
            "backing_seam_one" if way.seams == 1 else "backing_seams", count=way.seams, allowance=allowance
        )
    yield say_finishing("backing_trim", size=_cut(plan.backing.needed, plan))
    if way.offcuts:
        yield say_finishing("backing_left", pieces="; ".join(_near_size(size, plan) for size in way.offcuts))
        if plan.sleeve is not None and plan.sleeve.offcut is not None:
            yield say_finishing("backing_sleeve")


def _near_size(size: Iterable[float], plan: FinishingPlan) -> str:
    return " × ".join(_near(side, plan) for side in size)


def _say_layers(plan: FinishingPlan) -> Iterator[str]:
    batting = plan.batting.chosen
    needed = _cut(plan.batting.needed, plan)
    if batting.way == "package":
        yield say_finishing(
            "batting_package", size=" × ".join(_exact(side, plan) for side in batting.size), needed=needed
        )
    else:
        width, length = batting.size
        yield say_finishing("batting_roll", length=_up(length, plan), width=_exact(width, plan), needed=needed)
    if batting.joins:
        yield say_finishing(
            "batting_join",
            joins=say_finishing("batting_join_one" if batting.joins == 1 else "batting_joins", count=batting.joins),
        )
    sides, ends = (_exact(reach, plan) for reach in plan.backing.overhang)
    yield say_finishing("layers_lay", sides=sides, ends=ends)
    yield say_finishing("layers_baste")


def _say_quilting(plan: FinishingPlan, threads: int) -> Iterator[str]:
    if threads:
        yield say_finishing("quilting_one" if threads == 1 else "quilting_threads", count=threads)
    if plan.gap is not None:
        yield say_finishing("quilting_gap", gap=_near(plan.gap.gap, plan), limit=_exact(plan.gap.limit, plan))
    else:
        yield say_finishing("quilting_limit", limit=_exact(plan.wishes.batting_limit, plan))
    for line in plan.thread.lines:
        yield _say_thread(line, plan)
    if plan.thread.estimated:
        yield say_finishing("quilting_estimate", spacing=_exact(plan.wishes.quilting_spacing, plan))


def _say_thread(line: ThreadLine, plan: FinishingPlan) -> str:
    spools = say_finishing("spool_one" if line.spools == 1 else "spool_many", count=line.spools)
    bobbins = say_finishing("bobbin_one" if line.bobbins == 1 else "bobbin_many", count=line.bobbins)
    needle, bobbin = (write_thread(length, plan.top.system) for length in (line.needle, line.bobbin))
    told = replace(line, colour=say_colour(line.colour)) if line.colour.startswith("#") else line
    work = name_thread(told, plan)
    return say_finishing("quilting_thread", work=work, needle=needle, bobbin=bobbin, spools=spools, bobbins=bobbins)


def _say_binding(plan: FinishingPlan) -> Iterator[str]:
    part = plan.binding
    where = "even" if not part.beyond else "outside" if part.beyond > 0 else "inside"
    yield say_finishing(f"binding_trim_{where}", distance=_exact(abs(part.beyond), plan))
    yield from _say_cutting(plan)
    if len(part.lengths) == 1:
        yield say_finishing("binding_whole", total=_near(part.total, plan))
    elif part.square is None:
        yield say_finishing(f"binding_join_{part.join}", total=_near(part.total, plan))
    yield say_finishing("binding_fold" if part.fold == "double" else "binding_single")
    (closing,) = (join for join in part.joins if join.closing)
    side, corner = (say_finishing(f"binding_{what}_{closing.side}") for what in ("side", "corner"))
    yield say_finishing(
        "binding_begin", side=side, along=_near(closing.along, plan), corner=corner,
        clear=_near(part.clear, plan),
    )  # fmt: skip
    yield say_finishing("binding_sew", seam=_exact(part.seam, plan))
    yield say_finishing("binding_ends", overlap=_near(part.join_cost, plan))
    yield say_finishing("binding_close", finished=_exact(part.finished, plan))


def _say_cutting(plan: FinishingPlan) -> Iterator[str]:
    """Describe the cutting of the strips of the binding."""
    part = plan.binding
    width = _exact(part.cut, plan)
    bought = part.lengths[part.from_left_over :]
    if part.square is not None:
        yield say_finishing("binding_square", side=_exact(part.square, plan), width=width)
    elif part.grain != "straight":
        yield say_finishing("binding_bias", count=len(bought), width=width, length=_near(max(bought), plan))
    else:
        if part.from_left_over:
            lengths = ", ".join(_near(length, plan) for length in part.lengths[: part.from_left_over])
            yield say_finishing("binding_left_over", count=part.from_left_over, width=width, lengths=lengths)
        if bought:
            yield say_finishing("binding_strips", count=len(bought), width=width)
            if not part.from_left_over and part.lengths[0] < max(bought):
                yield say_finishing("binding_first", length=_near(part.lengths[0], plan))


def _say_sleeve(plan: FinishingPlan) -> Iterator[str]:
    sleeve = plan.sleeve
    if sleeve is None:
        return
    size = _cut(sleeve.cut, plan)
    if sleeve.offcut is not None:
        yield say_finishing("sleeve_offcut", size=size)
    elif sleeve.joins:
        yield say_finishing("sleeve_strips", count=sleeve.strips, height=_up(sleeve.cut[1], plan), size=size)
    else:
        yield say_finishing("sleeve_one", size=size)
    yield say_finishing("sleeve_sew", finished=" × ".join(_near(side, plan) for side in sleeve.finished))
