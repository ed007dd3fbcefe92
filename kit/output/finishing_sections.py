"""The finishing part of the printed pattern: backing, layers, quilting, binding and sleeve in plain sentences."""

from collections.abc import Iterable
from dataclasses import dataclass

from kit.lengths import write_buying, write_length, write_nearest
from kit.model.finishing import FinishingPlan
from kit.model.pattern import Pattern
from kit.output.drawing import Drawing
from kit.output.finishing_drawings import draw_backing, draw_binding
from kit.output.quilting_view import draw_quilting
from kit.output.strings import say
from kit.output.words import write_size


@dataclass(frozen=True)
class Section:
    """One heading of the finishing: its sentences, one action each, and its picture where there is one."""

    heading: str
    lines: tuple[str, ...]
    name: str = ""
    drawing: Drawing | None = None


def list_sections(pattern: Pattern) -> tuple[Section, ...]:
    """Return the finishing in the order of working.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    plan = pattern.finishing
    sections = [
        Section(say("fin_backing"), _say_backing(plan), "backing.svg", draw_backing(plan)),
        Section(say("fin_layers"), _say_layers(plan)),
        Section(
            say("fin_quilting"), _say_quilting(pattern), "quilting.svg", draw_quilting(pattern, pattern.quilting)
        ),
        Section(say("fin_binding"), _say_binding(plan), "binding.svg", draw_binding(plan)),
    ]
    if plan.sleeve is not None:
        sections.append(Section(say("fin_sleeve"), _say_sleeve(plan)))
    sections.append(Section(say("fin_label"), (say("fin_label_line", lines="; ".join(plan.label.lines)),)))
    return tuple(sections)


def _write_cut(size: Iterable[float], plan: FinishingPlan) -> str:
    """Return a size to cut, rounded up as every cut size is."""
    return " × ".join(write_length(side, plan.top.system, step=plan.top.step) for side in size)


def _say_backing(plan: FinishingPlan) -> tuple[str, ...]:
    system, way = plan.top.system, plan.backing.chosen
    needed = _write_cut(plan.backing.needed, plan)
    if not way.seams:
        return (say("fin_backing_one", size=_write_cut(way.panels[0].cut, plan)),)
    sizes: dict[str, int] = {}
    for panel in way.panels:
        size = _write_cut(panel.cut, plan)
        sizes[size] = sizes.get(size, 0) + 1
    cut = [say("fin_backing_cut", count=count, size=size) for size, count in sizes.items()]
    allowance = write_length(plan.backing.allowance, system)
    sewn = say("fin_backing_sew" if way.seams > 1 else "fin_backing_sew_one", count=way.seams, allowance=allowance)
    return (*cut, say("fin_backing_trim"), sewn, say("fin_backing_size", size=needed))


def _say_layers(plan: FinishingPlan) -> tuple[str, ...]:
    system = plan.top.system
    sides, ends = (write_length(side, system) for side in plan.backing.overhang)
    batting = plan.batting.chosen
    lines = [say("fin_batting", size=_write_cut(plan.batting.needed, plan))]
    if batting.joins:
        lines.append(say("fin_batting_join" if batting.joins > 1 else "fin_batting_join_one", count=batting.joins))
    return (*lines, say("fin_layer", sides=sides, ends=ends), say("fin_baste"))


def _say_quilting(pattern: Pattern) -> tuple[str, ...]:
    system, plan = pattern.study.measures.system, pattern.quilting
    runs = len(plan.runs)
    return (
        say("fin_quilt_one" if runs == 1 else "fin_quilt", count=runs),
        say("fin_gap", gap=write_nearest(plan.gap.width, system), limit=_write_limit(pattern)),
    )


def _write_limit(pattern: Pattern) -> str:
    return write_length(pattern.finishing.wishes.batting_limit, pattern.study.measures.system)


def _say_binding(plan: FinishingPlan) -> tuple[str, ...]:
    system, part = plan.top.system, plan.binding
    width = write_length(part.cut, system)
    if part.square is not None:
        lines = [say("fin_binding_square", side=write_length(part.square, system), width=width)]
    else:
        cut = "fin_binding_cut" if part.grain == "straight" else "fin_binding_bias"
        lines = [say(cut, count=len(part.lengths), width=width)]
    if part.beyond:
        where = "fin_trim_outside" if part.beyond > 0 else "fin_trim_inside"
        lines.insert(0, say(where, distance=write_length(abs(part.beyond), system)))
    else:
        lines.insert(0, say("fin_trim_even"))
    lines.append(say(f"fin_join_{part.join}", length=write_nearest(part.total, system)))
    if part.fold == "double":
        lines.append(say("fin_fold"))
    lines.append(say("fin_sew_on", seam=write_length(part.seam, system)))
    lines.append(say("fin_clear", clear=write_nearest(part.clear, system)))
    lines.append(say("fin_close", finished=write_length(part.finished, system)))
    return tuple(lines)


def _say_sleeve(plan: FinishingPlan) -> tuple[str, ...]:
    sleeve, system = plan.sleeve, plan.top.system
    if sleeve is None:
        return ()
    size, finished = _write_cut(sleeve.cut, plan), write_size(sleeve.finished, system)
    if sleeve.offcut is not None:
        lines = [say("fin_sleeve_offcut", offcut=write_size(sleeve.offcut, system), size=size)]
    elif sleeve.joins:
        lines = [say("fin_sleeve_strips", count=sleeve.strips, size=size)]
    else:
        lines = [say("fin_sleeve_cut", cloth=write_buying(sleeve.bought, system), size=size)]
    return (*lines, say("fin_sleeve_sew", finished=finished))
