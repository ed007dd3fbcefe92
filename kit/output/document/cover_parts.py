"""The cover and the last page of the printed pattern as plain data."""

from typing import TypeAlias

from kit.geometry.outlines import measure_area
from kit.lengths import write_nearest
from kit.model.pattern import Pattern
from kit.output.document.dates import find_date
from kit.output.pictures.cover_picture import draw_bound
from kit.output.pictures.picture_sizes import Room, choose_pen
from kit.output.pictures.svg import measure_ratio, write_svg
from kit.output.words.colour_words import say_colour
from kit.output.words.strings import say

COVER = "cover.svg"
"""File of the picture on the cover."""
Data: TypeAlias = dict[str, object]

SHOWN = 4
"""Fabrics that the words for the cover's picture name."""
ANGLED = ("trapezoid", "parallelogram", "60° triangle")
"""Shapes cut at an angle from a strip."""


def write_cover(pattern: Pattern) -> Data:
    """Return the cover: the picture, the finished size in both systems, what is counted, the skills, the designer."""
    used = sum(1 for count in pattern.colouring.uses.values() if count)
    said = pattern.study.cover
    counts = say("counts", patches=len(pattern.patchwork.patches), kinds=len(pattern.cut_list.pieces), fabrics=used)
    top = draw_bound(pattern)
    facts = {"size": write_finished(pattern), "counts": counts, "fabrics": _tell_fabrics(pattern)}
    alt = say("cover_alt", title=pattern.study.title, **facts)
    return {
        "picture": {"file": COVER, "alt": alt, "ratio": measure_ratio(top)},
        "sizes": [say("top_finished", size=write_finished(pattern), other=_write_other(pattern))],
        "counts": counts,
        "skill": _name_skill(pattern),
        "skills": say("skills", list=", ".join(list_skills(pattern))),
        "edition": say("edition", edition=pattern.study.edition),
        "designer": say("designed_by", name=said.designer) if said.designer else "",
        "words": said.words,
    }


def _tell_fabrics(pattern: Pattern) -> str:
    """Return the fabrics that cover most of the top, each with the word for its colour and its share of the area."""
    colours = {fabric.name: fabric.colour for fabric in pattern.study.fabrics}
    areas: dict[str, float] = {}
    for patch in pattern.patchwork.patches:
        fabric = pattern.colouring.assignment[patch.id]
        areas[fabric] = areas.get(fabric, 0.0) + measure_area(patch.outline)
    whole = sum(areas.values())
    return ", ".join(
        say("cover_share", name=name, colour=say_colour(colours[name]), share=f"{100 * area / whole:.0f}")
        for name, area in sorted(areas.items(), key=lambda one: -one[1])[:SHOWN]
    )


def draw_cover(pattern: Pattern, room: Room) -> dict[str, str]:
    """Return the picture on the cover as SVG by the name of its file, its lines as fine as the page allows."""
    drawing = draw_bound(pattern)
    return {COVER: write_svg(drawing, pen=choose_pen(drawing, room))}


def write_finished(pattern: Pattern) -> str:
    """Return the finished size of the top, width first."""
    system = pattern.study.measures.system
    return " × ".join(write_nearest(side, system) for side in pattern.patchwork.finished)


def _write_other(pattern: Pattern) -> str:
    other = "metric" if pattern.study.measures.system == "inch" else "inch"
    return " × ".join(write_nearest(side, other) for side in pattern.patchwork.finished)  # type: ignore[arg-type]


def _name_skill(pattern: Pattern) -> str:
    plan = pattern.sewing
    if plan.set_in_seams:
        return say("skill_set_in", count=_count_seams(plan.set_in_seams))
    if plan.partial_seams:
        return say("skill_partial", count=_count_seams(plan.partial_seams))
    return say("skill_bias" if any(any(piece.bias) for piece in pattern.cut_list.pieces) else "skill_straight")


def _count_seams(count: int) -> str:
    return say("seam_one") if count == 1 else say("seam_many", count=count)


def list_skills(pattern: Pattern) -> list[str]:
    """Return what this quilt takes by hand, the commonest first."""
    made = {one.unit for one in pattern.making.made}
    kinds = {piece.kind for piece in pattern.making.pieces}
    steps = {step.kind for step in pattern.sewing.steps}
    wanted = {
        "rotary": kinds != {"template"},
        "strip_sets": "strip set" in made,
        "triangles": bool(made - {"strip set", "block"}),
        "angles": bool(kinds & set(ANGLED)),
        "templates": "template" in kinds,
        "bias": any(any(piece.bias) for piece in pattern.cut_list.pieces),
        "paper": "block" in made,
        "trim": "trim" in steps,
        "partial": bool(pattern.sewing.partial_seams),
        "set_in": bool(pattern.sewing.set_in_seams),
    }
    return [say(f"skills_{name}") for name, found in wanted.items() if found]


def write_colophon(pattern: Pattern) -> list[str]:
    """Return the lines of the last page: who made it, its edition and its fingerprint."""
    study, facts = pattern.study, dict(pattern.colophon)
    said, dated = study.cover, find_date(pattern)
    wanted = {"designer": said.designer, "contact": said.contact, "rights": said.rights, "errata_at": said.errata}
    return [
        *(say(f"colo_{name}", text=text) for name, text in wanted.items() if text),
        say("colo_edition", edition=study.edition, title=study.title),
        *([say("colo_date", date=dated)] if dated else []),
        say("colo_print", fingerprint=facts.get("fingerprint", "")),
        say("colo_seed", seed=study.seed),
        say("colo_kit", version=facts.get("seamproof", "")),
    ]
