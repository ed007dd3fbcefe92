"""What the maker says on the cover of a pattern and on its last page."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CoverWords:
    """The [cover] table of a study; every text is empty where the file has none.

    Attributes
    ----------
    designer
        Who made the design.
    words
        A sentence or two about the quilt.
    contact
        Where the designer is reached.
    rights
        What may be done with the pattern.
    errata
        Where corrections are found.
    """

    designer: str = ""
    words: str = ""
    contact: str = ""
    rights: str = ""
    errata: str = ""
