"""Colourways: the same quilt in other fabrics, each cloth in the place of one of the study's."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OtherCloth:
    """One cloth of a colourway; it is bought and cut as the one whose place it takes.

    Attributes
    ----------
    in_place_of
        Name of the study's fabric.
    name, colour
        Its own.
    price
        Price per yard, metre or piece; None: not known.
    """

    in_place_of: str
    name: str
    colour: str
    price: float | None = None


@dataclass(frozen=True, slots=True)
class Colourway:
    """A [[colourway]] table of a study: a title, and the cloths that differ; the others stay."""

    title: str
    cloths: tuple[OtherCloth, ...]
