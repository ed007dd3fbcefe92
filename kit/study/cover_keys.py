"""The [cover] table of a study: what the maker says on the cover of a pattern and on its last page."""

from dataclasses import asdict
from typing import Annotated, Any

from pydantic import AfterValidator, Field, StringConstraints

from kit.designs.keys import Keys, check_printable
from kit.model.cover import CoverWords

MOST_LETTERS = 400
"""So many letters leave the cover its picture."""
Said = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=MOST_LETTERS),
    AfterValidator(check_printable),
]


class CoverKeys(Keys):
    """The [cover] table."""

    designer: Said | None = Field(default=None, description="Who made the design: on the cover")
    words: Said | None = Field(default=None, description="A sentence or two about the quilt: on the cover")
    contact: Said | None = Field(default=None, description="Where the designer is reached: on the last page")
    rights: Said | None = Field(default=None, description="What may be done with the pattern: on the last page")
    errata: Said | None = Field(default=None, description="Where corrections are found: on the last page")

    def cover_words(self) -> CoverWords:
        """Return the texts, empty where the table has none."""
        return CoverWords(**{name: value or "" for name, value in vars(self).items()})


def cover_keys(words: CoverWords) -> dict[str, Any]:
    """Return the [cover] table, empty where nothing is said."""
    kept = {name: value for name, value in asdict(words).items() if value}
    return {"cover": kept} if kept else {}
