"""What stands beside the picture of a shaped piece."""

from collections.abc import Sequence

from kit.lengths import System, write_length
from kit.model.blunt_points import BluntCut
from kit.model.cutting import Piece
from kit.output.words.sizes import describe_angles, describe_size
from kit.output.words.strings import say, say_hand, say_name

MARKED = {"30°", "45°", "60°"}
"""Angles that rulers are marked with (common practice, no source)."""


def head_shape(pieces: Sequence[Piece]) -> str:
    """Return the names of the pieces of one shape, with their hand: "B1, C1 blade, left".

    Parameters
    ----------
    pieces
        Pieces that are alike.
    """
    names = ", ".join(dict.fromkeys(say_name(piece.name) for piece in pieces))
    said = say("shape_head", pieces=", ".join(piece.id for piece in pieces), name=names)
    hand = pieces[0].hand
    return f"{said}, {say('hand_word', hand=say_hand(hand))}" if hand else said


def describe_shape(piece: Piece, system: System, blunt: BluntCut | None = None) -> str:
    """Return how a shape is cut: its size, and the angle, the template or the ruler.

    Parameters
    ----------
    piece
        The piece.
    system
        "inch" or "metric".
    blunt
        How it is cut with a blunt ruler, if the study asks for that.
    """
    size = describe_size(piece.kind, piece.rounded, system)
    size = size[:1].upper() + size[1:]
    if blunt:
        return say("shape_blunt", strip=write_length(blunt.rounded, system), size=size)
    if piece.kind == "template":
        return say("shape_template", size=size, piece=piece.id)
    if piece.kind in ("trapezoid", "parallelogram", "60° triangle"):
        angles = describe_angles(piece)
        return say("shape_angle" if set(angles.split(", ")) <= MARKED else "shape_marks", size=size, angles=angles)
    return say("shape_plain", size=size)
