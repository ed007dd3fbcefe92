"""The words of the trade that a pattern uses, each with its meaning."""

from kit.model.pattern import Pattern
from kit.output.words.strings import TEXTS


def list_glossary(pattern: Pattern) -> list[tuple[str, str]]:
    """Return each word that this pattern uses and a beginner may not know, with its meaning, in alphabetical order.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    made = {one.unit for one in pattern.making.made}
    steps = {step.kind for step in pattern.sewing.steps}
    pieces = pattern.making.pieces
    used = {
        "backing": True,
        "baste": True,
        "batting": True,
        "bias": any(any(piece.bias) for piece in pattern.cut_list.pieces),
        "binding": True,
        "chain_piecing": bool(pattern.chains),
        "geese": "geese" in made,
        "grain": any(piece.kind == "template" for piece in pieces),
        "half_square": "half-square" in made,
        "nest": any(step.press for step in pattern.sewing.steps),
        "paper": "block" in made,
        "partial": bool(pattern.sewing.partial_seams),
        "press": True,
        "sashing": any("sash" in piece.name for piece in pieces),
        "selvage": any(plan.supply.form == "yardage" for plan in pattern.cutting.cloths),
        "set_in": bool(pattern.sewing.set_in_seams),
        "strip_set": "strip set" in made,
        "template": any(piece.kind == "template" for piece in pieces),
        "trim": "trim" in steps,
    }
    words = TEXTS["glossary"]
    return sorted((words[f"{key}_word"], words[key]) for key, found in used.items() if found)
