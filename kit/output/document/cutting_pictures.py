"""The pictures among the cutting: strip sets, angled cuts, shaped pieces, prints, and strips cut by a drawing."""

from collections.abc import Iterator
from dataclasses import replace

from kit.lengths import write_length
from kit.model.pattern import Pattern
from kit.output.pictures.drawing import Drawing, name_fabrics
from kit.output.pictures.foundation_picture import draw_foundations
from kit.output.pictures.picture_sizes import STANDARD, Rooms, choose_pen
from kit.output.pictures.piece_picture import draw_pieces
from kit.output.pictures.print_picture import draw_prints
from kit.output.pictures.set_picture import draw_strip_sets
from kit.output.pictures.strip_picture import draw_angled_cuts, draw_named_strips, turns_round
from kit.output.pictures.svg import measure_ratio, write_svg
from kit.output.words.batch_words import say_making
from kit.output.words.cutting_words import ANGLED
from kit.output.words.strings import say

PAPERS_HIGH = 40.0
"""Millimetres: about the height of the picture of papers."""


def list_drawn_strips(pattern: Pattern, rooms: Rooms = STANDARD) -> list[dict[str, object]]:
    """Return each picture with its heading and its lines: strip sets, angled cuts, prints, then the drawn strips."""
    return [
        {
            "label": "", "heading": heading, "lines": lines,
            "picture": {"file": file, "alt": drawing.title, "ratio": measure_ratio(drawing)},
        }
        for file, heading, lines, drawing in _draw(pattern, rooms)
    ]  # fmt: skip


def draw_drawn_strips(pattern: Pattern, rooms: Rooms = STANDARD) -> dict[str, str]:
    """Return the same pictures as SVG, by the names of their files."""
    return {file: write_svg(drawing) for file, _, _, drawing in _draw(pattern, rooms)}


def _draw(pattern: Pattern, rooms: Rooms) -> Iterator[tuple[str, str, list[str], Drawing]]:
    """Yield file, heading, lines and picture."""
    footed = {made.id for made in pattern.making.made if made.segments}
    for name, drawing in draw_strip_sets(pattern, rooms).items():
        how = say("set_how_foot" if name in footed else "set_how")
        yield f"set-{name}.svg", say("set_head", id=name), [how], drawing
    for made in pattern.making.made:
        if made.papers is not None:
            papers = replace(made.papers, letters=tuple(name_fabrics(pattern).items()))
            yield (
                f"papers-{made.id}.svg",
                say_making("paper_head", id=made.id),
                [say_making("paper_drawn")],
                (draw_foundations(papers, rooms.letter / PAPERS_HIGH)),
            )
    angled = draw_angled_cuts(pattern)
    if angled is not None:
        yield "angled-cuts.svg", say("angled_head"), _explain_angles(pattern), angled
    for number, one in enumerate(draw_prints(pattern), start=1):
        yield f"print-{number}.svg", one.heading, [one.line], one.drawing
    for number, (name, drawing) in enumerate(draw_named_strips(pattern).items(), start=1):
        yield f"strip-{number}.svg", say("drawing_head", name=name, size=_measure(drawing, pattern)), [], drawing


def list_shaped_pieces(pattern: Pattern, rooms: Rooms = STANDARD) -> list[dict[str, object]]:
    """Return the pictures of the shaped pieces as one section, none for a pattern without such pieces."""
    drawn = draw_pieces(pattern, rooms)
    if not drawn:
        return []
    blunt = [say("shapes_blunt")] if pattern.making.blunt else []
    return [
        {
            "label": "", "intro": " ".join([say("shapes_intro"), *blunt]),
            "pieces": [
                {
                    "heading": one.heading, "line": one.line, "high": one.room[1],
                    "picture": {
                        "file": _name_file(one.pieces[0]), "alt": one.drawing.title,
                        "ratio": measure_ratio(one.drawing),
                    },
                }
                for one in drawn
            ],
        }
    ]  # fmt: skip


def draw_shaped_pieces(pattern: Pattern, rooms: Rooms = STANDARD) -> dict[str, str]:
    """Return the same pictures as SVG, by the names of their files."""
    return {
        _name_file(one.pieces[0]): write_svg(one.drawing, pen=choose_pen(one.drawing, one.room))
        for one in draw_pieces(pattern, rooms)
    }


def _name_file(piece: str) -> str:
    return f"piece-{piece}.svg"


def _explain_angles(pattern: Pattern) -> list[str]:
    """Return what the picture of angled cuts shows."""
    folded = any(strip.folded for plan in pattern.cutting.cloths for strip in plan.strips)
    cut = {one.piece for plan in pattern.cutting.cloths for strip in plan.strips for one in strip.cuts}
    turned = any(piece.kind in ANGLED and turns_round(piece) for piece in pattern.making.pieces if piece.id in cut)
    return [
        say("angled_how"),
        say("angled_turns" if turned else "angled_alike"),
        say("angled_layers" if folded else "angled_stack"),
    ]


def _measure(drawing: Drawing, pattern: Pattern) -> str:
    left, bottom, right, top = drawing.box
    return " × ".join(write_length(side, pattern.study.measures.system) for side in (top - bottom, right - left))
