"""Triangles cut off strips with a blunt ruler, in words."""

from kit.lengths import write_length, write_nearest
from kit.model.pattern import Sketch
from kit.output.words.strings import say


def list_blunt(sketch: Sketch) -> list[str]:
    """Return a sentence for each piece of each fabric that a study asks to have cut with a blunt ruler.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    system = sketch.study.measures.system
    return [
        say(
            "note_blunt", strips=one.strips, strips_word=say("strip" if one.strips == 1 else "strips"),
            fabric=one.fabric, strip=write_length(one.rounded, system), count=one.count, piece=one.piece,
            true=write_length(one.true_strip, system), length=write_nearest(one.length, system), each=one.each,
        )
        for one in sketch.making.blunt
    ]  # fmt: skip
