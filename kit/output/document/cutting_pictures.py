"""The pictures among the cutting: strip sets, how angled pieces are cut, and strips that are cut by a drawing."""

from collections.abc import Iterator

from kit.lengths import write_length
from kit.model.pattern import Pattern
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.picture_sizes import STANDARD, Rooms
from kit.output.pictures.set_picture import draw_strip_sets
from kit.output.pictures.strip_picture import draw_angled_cuts, draw_named_strips, turns_round
from kit.output.pictures.svg import measure_ratio, write_svg
from kit.output.words.cutting_words import ANGLED
from kit.output.words.strings import say


def list_drawn_strips(pattern: Pattern, rooms: Rooms = STANDARD) -> list[dict[str, object]]:
    """Return each picture with its heading and its lines: strip sets, then angled cuts, then the drawn strips."""
    folded = any(strip.folded for plan in pattern.cutting.cloths for strip in plan.strips)
    cut = {one.piece for plan in pattern.cutting.cloths for strip in plan.strips for one in strip.cuts}
    turned = any(piece.kind in ANGLED and turns_round(piece) for piece in pattern.making.pieces if piece.id in cut)
    footed = {made.id for made in pattern.making.made if made.segments}
    found: list[dict[str, object]] = []
    for name, drawing in draw_strip_sets(pattern, rooms).items():
        picture = {"file": f"set-{name}.svg", "alt": drawing.title, "ratio": measure_ratio(drawing)}
        lines = [say("set_how_foot" if name in footed else "set_how")]
        found.append({"label": "", "heading": say("set_head", id=name), "lines": lines, "picture": picture})
    for file, name, drawing in _draw(pattern):
        lines = (
            []
            if name
            else [
                say("angled_how"),
                say("angled_turns" if turned else "angled_alike"),
                say("angled_layers" if folded else "angled_stack"),
            ]
        )
        heading = say("drawing_head", name=name, size=_measure(drawing, pattern)) if name else say("angled_head")
        picture = {"file": file, "alt": drawing.title, "ratio": measure_ratio(drawing)}
        found.append({"label": "", "heading": heading, "lines": lines, "picture": picture})
    return found


def draw_drawn_strips(pattern: Pattern, rooms: Rooms = STANDARD) -> dict[str, str]:
    """Return the same pictures as SVG, by the names of their files."""
    sets = {f"set-{name}.svg": write_svg(drawing) for name, drawing in draw_strip_sets(pattern, rooms).items()}
    return sets | {file: write_svg(drawing) for file, _, drawing in _draw(pattern)}


def _draw(pattern: Pattern) -> Iterator[tuple[str, str, Drawing]]:
    """Yield file, name and picture; the name is empty for that of angled cuts."""
    angled = draw_angled_cuts(pattern)
    if angled is not None:
        yield "angled-cuts.svg", "", angled
    for number, (name, drawing) in enumerate(draw_named_strips(pattern).items(), start=1):
        yield f"strip-{number}.svg", name, drawing


def _measure(drawing: Drawing, pattern: Pattern) -> str:
    left, bottom, right, top = drawing.box
    return " × ".join(write_length(side, pattern.study.measures.system) for side in (top - bottom, right - left))
