"""The parts of the printed pattern as plain data: texts and pictures for the typesetter."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from kit.lengths import write_buying, write_length, write_nearest
from kit.model.buying import find_own_way
from kit.model.cutting import ClothPlan
from kit.model.fabrics import Fabric
from kit.model.palette import describe_palette
from kit.model.pattern import Pattern
from kit.output.document.cover_parts import draw_cover, write_colophon, write_cover
from kit.output.document.cutting_pictures import (
    draw_drawn_strips,
    draw_shaped_pieces,
    list_drawn_strips,
    list_shaped_pieces,
)
from kit.output.document.dates import find_date, split_date, write_version
from kit.output.document.finishing_needs import list_finishing_needs
from kit.output.document.finishing_sections import Section, list_sections
from kit.output.document.map_parts import list_map_parts
from kit.output.document.sewing_parts import list_units
from kit.output.pictures.drawing import Drawing, draw_top, name_fabrics
from kit.output.pictures.fabric_map import is_shared
from kit.output.pictures.picture_sizes import STANDARD, Rooms, choose_pen
from kit.output.pictures.svg import measure_ratio, write_svg
from kit.output.pictures.templates import TemplatePage, lay_out_templates
from kit.output.proof.proof import ProofLine
from kit.output.words.batch_words import list_making_shared
from kit.output.words.buying_words import say_way
from kit.output.words.chain_words import list_chains, say_chain
from kit.output.words.cloth_names import list_together, name_cloth_parts
from kit.output.words.colour_words import say_colour
from kit.output.words.cutting_lines import FirstCut, Joined, SubCut
from kit.output.words.cutting_words import list_cutting
from kit.output.words.glossary import list_glossary
from kit.output.words.notes import list_cautions, list_enough, list_notes, list_tools
from kit.output.words.sizes import describe_finished, describe_size
from kit.output.words.strings import say, say_hand, say_name
from kit.output.words.strings import say_finishing as tell_finishing
from kit.progress import Progress, keep_quiet

Data: TypeAlias = dict[str, object]

REQUIRED = ("letter", "fabric", "role", "buy", "used")
"""Heads of the requirements."""
LISTED = ("piece", "shape", "role", "hand", "count", "finished_head", "cut")
"""Heads of the list of pieces."""


@dataclass(frozen=True)
class Parts:
    """The contents of a document.

    Attributes
    ----------
    data
        Texts and figures, ready for JSON.
    pictures
        File name -> SVG text.
    """

    data: Mapping[str, object]
    pictures: Mapping[str, str]


def list_parts(
    pattern: Pattern, proof: Iterable[ProofLine], progress: Progress = keep_quiet, rooms: Rooms = STANDARD
) -> Parts:
    """Return every part of the document of a pattern, in the trade's order.

    Parameters
    ----------
    pattern
        Every plan of a study.
    proof
        The lines of its proof sheet.
    progress
        Called as the pictures of the steps are drawn.
    rooms
        The room for the pictures.
    """
    units, pictures = list_units(pattern, progress, rooms)
    sections, (fabric_map, maps) = list_sections(pattern, rooms), list_map_parts(pattern, rooms)
    data: Data = {
        **list_supply_parts(pattern).data,
        "notes": list_notes(pattern),
        "enough": list_enough(pattern),
        "key": _list_key(pattern),
        "pieces": {"head": [say(word) for word in LISTED], "rows": _list_pieces(pattern)},
        "cutting": _list_cutting(pattern),
        "drawn": list_drawn_strips(pattern, rooms),
        "shapes": list_shaped_pieces(pattern, rooms),
        "sewing": [{"label": "", "units": units, "map": fabric_map}],
        "chains": _list_chains(pattern),
        "scrappy": is_shared(pattern),
        "borders": [_write_section(section) for section in sections if section.heading == tell_finishing("borders")],
        "finishing": [_write_section(section) for section in sections if section.heading != tell_finishing("borders")],
        "colouring": [
            {"label": "", "picture": _picture("outlines.svg", draw_top(pattern, "seams"), say("colour_alt"))}
        ],
        "colourways": [],
        "glossary": [list(entry) for entry in list_glossary(pattern)],
        "templates": [_write_template_page(page) for page in lay_out_templates(pattern)],
        "proof": [{"label": "", "lines": [_write_proof(line) for line in proof]}],
        "errata": say("colo_errata", short=pattern.colophon.get("fingerprint", "")[:8]),
    }
    tops = {
        **maps,
        "outlines.svg": draw_top(pattern, "seams"),
    }
    drawn = {name: write_svg(drawing, pen=choose_pen(drawing, rooms.map)) for name, drawing in tops.items()}
    drawn |= draw_cover(pattern, rooms.map)
    drawn |= draw_drawn_strips(pattern, rooms) | draw_shaped_pieces(pattern, rooms)
    drawn |= {section.name: write_svg(section.drawing, pen=section.pen) for section in sections if section.drawing}
    return Parts(data, {**drawn, **pictures})


def list_supply_parts(pattern: Pattern) -> Parts:
    """Return the parts of the document shared with a supply list, with the picture of the top."""
    data: Data = {
        "title": pattern.study.title,
        "cover": write_cover(pattern),
        "version": write_version(pattern),
        "dated": split_date(find_date(pattern)),
        "author": pattern.study.cover.designer,
        "requirements": {"head": [say(word) for word in REQUIRED], "rows": _list_requirements(pattern)},
        "tools": list_tools(pattern),
        "cautions": list_cautions(pattern),
        "colophon": write_colophon(pattern),
    }
    return Parts(data, draw_cover(pattern, STANDARD.map))


def list_fabric_rows(pattern: Pattern) -> list[dict[str, str]]:
    """Return a row per fabric: its letter, colour, colour in words, name, what is bought, and what of it is cut."""
    plans = {plan.supply.fabric: plan for plan in pattern.cutting.cloths}
    rows = []
    for entry in _list_key(pattern):
        facts = {key: str(value) for key, value in entry.items()}
        fabric = next(one for one in pattern.study.fabrics if one.name == facts["name"])
        plan = plans.get(fabric.cloth or fabric.name)
        buy, used = _write_need(fabric, plan, pattern) if plan else (say("none"),) * 2
        rows.append({**facts, "buy": buy, "used": used} if not fabric.cloth else {
            **facts, "buy": say("cut_with", name=fabric.cloth), "used": say("none"),
        })  # fmt: skip
    return rows


def _write_section(section: Section) -> Data:
    drawing = section.drawing
    return {
        "label": "",
        "heading": section.heading,
        "lines": list(section.lines),
        "picture": _picture(section.name, drawing, drawing.title) if drawing else None,
    }


def _write_proof(line: ProofLine) -> Data:
    return {"name": line.name, "figures": line.figures, "passed": say("pass" if line.passed else "fail")}


def _picture(name: str, drawing: Drawing, alt: str) -> Data:
    return {"file": name, "alt": alt, "ratio": measure_ratio(drawing)}


def _list_requirements(pattern: Pattern) -> list[list[str]]:
    plans = {plan.supply.fabric: plan for plan in pattern.cutting.cloths}
    letters = name_fabrics(pattern)
    rows = [
        [
            ", ".join(dict.fromkeys(letters[one.name] for one in list_together(pattern.study.fabrics, fabric.name))),
            *_name_parts(pattern, fabric.name),
            *_write_need(fabric, plans[fabric.name], pattern),
        ]
        for fabric in _order_fabrics(pattern)
        if fabric.name in plans
    ]
    rows += [
        [say("none"), name, say("need_role"), buy, used] for name, buy, used in list_finishing_needs(pattern.finishing)
    ]
    return rows


def _order_fabrics(pattern: Pattern) -> list[Fabric]:
    """Return the fabrics in the order of their letters."""
    slots = pattern.patchwork.slots
    return sorted(pattern.study.fabrics, key=lambda one: slots.index(one.slot) if one.slot in slots else len(slots))


def _name_parts(pattern: Pattern, name: str) -> tuple[str, str]:
    """Return the names of a cloth, and the parts of the design that it fills in the language of the document."""
    shown, parts = name_cloth_parts(pattern.study.fabrics, name)
    return shown, ", ".join(say_name(part) for part in parts.split(", "))


def _write_need(fabric: Fabric, plan: ClothPlan, pattern: Pattern) -> tuple[str, str]:
    """Return the amounts to buy, and the amounts cut."""
    system = pattern.study.measures.system
    if fabric.form == "yardage":
        need = plan.as_bought
        used = say("of_yardage", length=write_length(need, system, step=pattern.cut_list.step))
        return write_buying(need, system), used
    count = len(plan.strips)
    if fabric.pack is not None:
        return say_way(find_own_way(fabric.pack, count), system), say("of_units", count=count)
    facts = {"count": count, "width": write_length(fabric.width, system), "form": say_name(fabric.form)}
    facts["length"] = write_length(plan.piece_of_cloth[0], system)
    kind = fabric.form if fabric.form in ("strips", "squares") else "other"
    one = "_one" if count == 1 and kind != "other" else ""
    return say(f"{kind}_form{one}", **facts), say("of_units", count=count)


def _list_key(pattern: Pattern) -> list[Data]:
    letters = name_fabrics(pattern)
    used = {name for name, count in pattern.colouring.uses.items() if count}
    fabrics = [fabric for fabric in _order_fabrics(pattern) if fabric.name in used]
    return [
        {
            "letter": letters[fabric.name],
            "name": fabric.name,
            "role": say_name(fabric.slot),
            "colour": fabric.colour,
            "value": say("colour_value", colour=say_colour(fabric.colour), value=say_name(swatch.value)),
            "patches": str(pattern.colouring.uses[fabric.name]),
        }
        for fabric, swatch in zip(fabrics, describe_palette(fabrics), strict=True)
    ]


def _list_pieces(pattern: Pattern) -> list[list[str]]:
    system = pattern.study.measures.system
    return [
        [
            piece.id,
            say_name(piece.name),
            say_name(piece.slot),
            say_hand(piece.hand) if piece.hand else say("none"),
            str(piece.count),
            describe_finished(piece.kind, piece.finished, system, write_nearest) if piece.patches else say("none"),
            describe_size(piece.kind, piece.rounded, system),
        ]
        for piece in pattern.making.pieces
    ]


def _list_cutting(pattern: Pattern) -> list[Data]:
    """Return the cutting, then the units made several at a time; fabrics cut alike share lines."""
    letters = name_fabrics(pattern)
    order = [fabric.name for fabric in _order_fabrics(pattern)]
    alike: dict[tuple[tuple[FirstCut, ...], tuple[Joined, ...]], list[str]] = {}
    for lines in sorted(list_cutting(pattern), key=lambda one: order.index(one.fabric)):
        alike.setdefault((lines.first_cuts, lines.joined), []).append(lines.fabric)
    entries: list[Data] = []
    for (first_cuts, joined), names in alike.items():
        facts = [
            {"letter": letters[name], "name": shown, "role": parts}
            for name in names
            for shown, parts in (_name_parts(pattern, name),)
        ]
        many = ", ".join(say("cut_named", **fact) for fact in facts)
        heading = say("cut_fabric", **facts[0]) if len(names) == 1 else say("cut_fabrics", names=many)
        first = [{"text": first.text, "subs": _list_subs(first.sub_cuts)} for first in first_cuts]
        first += [{"text": one.text, "subs": _list_subs([one.sub_cut])} for one in joined]
        entries.append({"label": "", "heading": heading, "first": first, "items": []})
    entries += [
        {
            "label": "",
            "heading": made.heading,
            "first": [{"text": made.about, "subs": [{"text": line, "deep": 0} for line in made.lines]}],
            "items": list(made.items),
        }
        for made in list_making_shared(pattern)
    ]
    return entries


def _list_subs(lines: Iterable[SubCut]) -> list[Data]:
    """Return the lines under some strips, each with how deep it stands."""
    return [{"text": line.text, "deep": line.depth - 1} for line in lines]


def _list_chains(pattern: Pattern) -> list[Data]:
    """Return chain piecing as a list of one table."""
    lines = list_chains(pattern)
    minutes = f"{sum(line.minutes for line in lines):.0f}"
    return [
        {
            "label": "",
            "heading": say_chain("heading"),
            "intro": say_chain("intro", chains=len(pattern.chains), minutes=minutes),
            "head": [say_chain(f"head_{name}") for name in ("number", "sew", "seams", "minutes")],
            "rows": [[line.number, line.sew, f"{line.seams}", f"{line.minutes:.0f}"] for line in lines],
        }
    ]


def _write_template_page(page: TemplatePage) -> Data:
    return {
        "tile": say(
            "template_tile", piece=page.templates[0].piece, part=page.part, parts=page.parts, across=page.across
        )
        if page.parts > 1
        else "",
        "crosses": page.crosses,
        "squares": [{"side": one.side, "at": one.corner, "label": one.label} for one in page.squares],
        "templates": [
            {"cut": one.cut, "seam": one.seam, "grain": one.grain, "words": one.words, "at": one.at}
            for one in page.templates
        ],
    }
