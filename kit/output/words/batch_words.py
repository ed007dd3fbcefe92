"""Units made several at a time, in sentences: their cloth, the sewing and cutting apart, and the trimming."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from kit.lengths import write_length, write_nearest
from kit.model.making import Made
from kit.model.pattern import Sketch
from kit.model.sewing import SewingPlan, Step
from kit.output.words.loop_words import list_segments, write_sets
from kit.output.words.paper_words import list_paper_steps, say_about_papers
from kit.output.words.sizes import describe_size
from kit.output.words.strings import TEXTS, say_name

SLIVER = 1 / 32
"""Inches: smaller amounts are not measured."""
TELLS: Mapping[str, str] = TEXTS["making"]


def say_making(key: str, **facts: object) -> str:
    """Return a house string about making with its facts filled in."""
    return TELLS[key].format(**facts)


@dataclass(frozen=True)
class MadeLines:
    """One kind of unit in words: its id, a heading, a summary, the instructions, and the segments that they list."""

    id: str
    heading: str
    about: str
    lines: tuple[str, ...]
    items: tuple[str, ...] = ()


def list_making(sketch: Sketch) -> tuple[MadeLines, ...]:
    """Return the making of each kind of unit, in the order of the plan.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    return tuple(_write(made, sketch) for made in sketch.making.made)


def list_making_shared(sketch: Sketch) -> tuple[MadeLines, ...]:
    """Return the making as it is printed: units that differ in their fabrics alone share their instructions.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    entries = []
    for _, found in groupby(sketch.making.made, key=_find_shared):
        alike = list(found)
        entries.append(_write(alike[0], sketch) if len(alike) == 1 else _write_shared(alike, sketch))
    return tuple(entries)


def _find_shared(made: Made) -> object:
    """Return what units made by the same words have in common."""
    if made.unit in ("strip set", "corners", "block") or (made.unit == "geese" and len(set(made.fabrics)) != 2):
        return made.id
    return made.unit, made.way, made.size, made.rising, made.over, tuple(made.sizes[use] for use in made.uses)


def _write_shared(alike: Sequence[Made], sketch: Sketch) -> MadeLines:
    first, last, count = alike[0], alike[-1], sum(len(made.units) for made in alike)
    ids = say_making("shared_ids", first=first.id, last=last.id)
    heading = say_making("heading", id=ids, count=count, units=name_unit(first, count), way=say_name(first.way))
    about = say_making("shared_about", makes=first.makes)
    each = []
    for made in alike:
        spare = say_making("spare", spare=made.spare) if made.spare else ""
        facts = {"count": len(made.units), "spare": spare, "batches": made.batches}
        each.append(say_making("shared_one", id=made.id, cloths=_list_cloths(made, sketch), **facts))
    names = [say_making(f"shared_{first.unit}_{min(role, 1)}".replace("-", "_")) for role in range(len(first.uses))]
    lines = [*each, *_write_steps(first, sketch, names), _write_trim(first, sketch)]
    lines += [say_making("bias")] if first.bias else []
    pictures = dict.fromkeys(name for made in alike for name in _name_pictures(made, sketch))
    lines += [say_making("press_shared")] if pictures else []
    return MadeLines(ids, heading, about, tuple(lines))


def _name_pictures(made: Made, sketch: Sketch) -> list[str]:
    """Return the units of the sewing plan in whose pictures the seams of a kind of unit are seen."""
    plan = getattr(sketch, "sewing", None)
    numbers = {number for number, _ in made.sewn}
    return list(dict.fromkeys(step.unit for step in plan.steps if step.number in numbers)) if plan else []


def name_unit(made: Made, count: int) -> str:
    """Return the name of a number of units."""
    if made.name:
        return say_name(made.name)
    return say_making(made.unit.replace("-", "_").replace(" ", "_") + ("_one" if count == 1 else ""))


def _write(made: Made, sketch: Sketch) -> MadeLines:
    count = len(made.units)
    spare = say_making("spare", spare=made.spare) if made.spare else ""
    facts = {"batches": made.batches, "makes": made.makes, "count": count, "spare": spare}
    about = say_making("about_once" if made.batches == 1 else "about", **facts)
    heading = say_making("heading", id=made.id, count=count, units=name_unit(made, count), way=say_name(made.way))
    if made.segments:
        system = sketch.study.measures.system
        lengths = say_making("and").join(write_length(length, system) for length in made.lengths)
        about = say_making("loop_come", sets=len(made.lengths), lengths=lengths, count=count)
        return MadeLines(made.id, heading, about, write_sets(made, sketch), list_segments(made, sketch))
    if made.papers is not None:
        about = say_about_papers(made, made.papers)
    lines = [_write_cloths(made, sketch), *_write_steps(made, sketch), _write_trim(made, sketch)]
    lines += [say_making("bias")] if made.bias else []
    if made.papers is not None:
        return MadeLines(made.id, heading, about, tuple(lines))
    pictures = _name_pictures(made, sketch)
    lines += [say_making("press", units=say_making("and").join(map(say_name, pictures)))] if pictures else []
    return MadeLines(made.id, heading, about, tuple(lines))


def _write_cloths(made: Made, sketch: Sketch) -> str:
    return say_making("take", cloths=_list_cloths(made, sketch))


def _list_cloths(made: Made, sketch: Sketch) -> str:
    system = sketch.study.measures.system
    cloths = [
        say_making("cloth", count=each, blank=blank.id, size=describe_size(blank.kind, blank.rounded, system),
             fabric=blank.fabric)
        for blank, each in zip(made.blanks, made.each, strict=True)
    ]  # fmt: skip
    return "; ".join(cloths)


def _write_steps(made: Made, sketch: Sketch, shared: Sequence[str] = ()) -> list[str]:
    system = sketch.study.measures.system
    allowance = write_length(sketch.cut_list.allowance, system)
    names = shared or [made.blanks[use].id for use in made.uses]
    way = made.way.replace(" ", "_")
    if made.papers is not None:
        return list_paper_steps(made, made.papers, sketch)
    if made.unit == "strip set":
        order = ", ".join(f"{name} {fabric}" for name, fabric in zip(names, made.fabrics, strict=True))
        left = write_length(made.left[0], system)
        facts = {"order": order, "segment": write_length(made.segment, system), "left": left}
        if made.slant == 90:
            return [say_making("strips", **facts)]
        end = say_making("slant_up" if made.slant < 90 else "slant_down")
        return [say_making("strips_slanted", **facts, angle=f"{min(made.slant, 180 - made.slant):.4g}°", end=end)]
    if made.unit == "corners":
        spots = [place for place, leg in enumerate(made.legs, start=1) if leg]
        pairs = zip(names[1:], spots, strict=True)
        corners = [say_making("corner", blank=name, place=say_making(f"place_{spot}")) for name, spot in pairs]
        wide = write_length(made.sizes[0][0], system)
        said = say_making("corner_flip", body=names[0], width=wide, corners=", ".join(corners), allowance=allowance)
        return [said]
    if made.unit == "geese" and made.way == "stitch and flip":
        return [say_making("goose_flip", goose=names[0], left=names[1], right=names[2], allowance=allowance)]
    if made.unit == "geese":
        return [
            say_making("geese_first", sky=names[1], goose=names[0], allowance=allowance),
            say_making("geese_second", sky=names[1], allowance=allowance),
        ]
    if made.unit == "half-rectangle":
        marked = say_making("rectangles_rising" if made.rising else "rectangles_falling")
        return [marked, say_making("rectangles_two", allowance=allowance)]
    if made.way == "stitch and flip":
        return [say_making("flip_square", allowance=allowance)]
    half = write_length(made.sizes[0][0] / 2, system)
    lines = [] if made.way == "four at a time" else [say_making("draw_both" if made.makes == 8 else "draw_one")]
    lines.append(say_making(way, allowance=allowance, half=half))
    return lines + ([say_making("quarters", allowance=allowance)] if made.unit == "quarter-square" else [])


def _write_trim(made: Made, sketch: Sketch) -> str:
    """Give the trimmed size of a unit, or only its size if nothing comes off."""
    system, allowance = sketch.study.measures.system, sketch.cut_list.allowance
    if made.slant != 90:
        return say_making("check_slanted", width=write_nearest(made.size[1] + 2 * allowance, system))
    size = " × ".join(write_nearest(side + 2 * allowance, system) for side in made.size)
    if made.over < 1e-6 or made.unit in ("strip set", "corners"):
        return say_making("check", size=size)
    kinds = {"geese": "trim_goose", "quarter-square": "trim_crossing", "half-rectangle": "trim_rectangle"}
    over = write_nearest(made.over, system) if made.over >= SLIVER else say_making("sliver")
    facts = {"over": over, "allowance": write_length(allowance, system)}
    return say_making(kinds.get(made.unit, "trim_diagonal"), size=size, **facts)


def _name(done: Mapping[str, int]) -> str:
    """Return the units that come ready, with their numbers if there are several kinds."""
    one = "ready_one" if len(done) == 1 else "ready_each"
    return ", ".join(say_making(one, id=name, count=count) for name, count in sorted(done.items()))


class ReadySteps:
    """Finds the seams in the steps of a plan that come ready from units made several at a time."""

    def __init__(self, made: Iterable[Made], plan: SewingPlan) -> None:
        self.owner = {patch: (one.id, unit) for one in made for unit in one.units for patch in unit}
        self.copies = {unit.name: unit.copies for unit in plan.units}

    def count(self, step: Step) -> dict[str, int]:
        """Return made id -> the number of copies of the step's unit with this seam sewn already."""
        done: dict[str, int] = {}
        patches = (*step.first, *step.second)
        if not self.owner or step.kind == "trim":
            return done
        copies = self.copies[step.unit]
        place = {patch: i for i, patch in enumerate(copies[0])}
        spots = [place[patch] for patch in patches]
        for copy in copies:
            owners = {self.owner.get(copy[i]) for i in spots}
            found = next(iter(owners)) if len(owners) == 1 else None
            if found is not None:
                done[found[0]] = done.get(found[0], 0) + 1
        return done

    def is_ready(self, step: Step) -> bool:
        """Return True if nothing is left to sew in a step."""
        return sum(self.count(step).values()) == len(self.copies[step.unit])

    def say(self, step: Step, said: str) -> str:
        """Return the sentence of a step: unchanged if all is sewn in it, otherwise with the units that come ready."""
        done = self.count(step)
        if not done:
            return said
        whole, ready = len(self.copies[step.unit]), sum(done.values())
        units = _name(done)
        if ready == whole:
            return say_making("ready_all", count=whole, units=units)
        return say_making("ready_some", done=ready, count=whole, left=whole - ready, units=units, said=said)

    def list_parts(self, steps: Sequence[Step]) -> list[tuple[str, frozenset[str]]]:
        """Return what comes sewn together into every copy of a unit: its batches, and its patches in the first copy."""
        parts: list[tuple[str, frozenset[str]]] = []
        for step in steps:
            if self.is_ready(step):
                patches = frozenset((*step.first, *step.second))
                met = [part for part in parts if part[1] & patches]
                parts = [part for part in parts if part not in met]
                parts.append((_name(self.count(step)), patches.union(*(part[1] for part in met))))
        return parts

    def say_unit(self, steps: Sequence[Step]) -> str:
        """Return the source of a unit that comes ready, or nothing if one of its steps is still to be sewn."""
        if not steps or not all(self.is_ready(step) for step in steps):
            return ""
        return say_making("unit_ready", units=_name(self.count(steps[-1])))
