"""The [[pack]] tables of a study, and fabrics that are cut from the cloth of another."""

from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, StringConstraints

from kit.designs.keys import Keys, Length, Slot
from kit.errors import StudyError
from kit.lengths import write_exact
from kit.model.fabrics import Fabric
from kit.model.packs import MOST_IN_PACK, ClothPack
from kit.model.pattern import Measures
from kit.study.tables import MOST_SHRINKAGE, FabricKeys, Name

MOST_PACKS_ON_HAND = 1_000
PLAIN = "#b9a68f"
"""The colour of a pack of many prints that the file gives none."""
OWN = ("slot", "name", "colour", "limit", "cloth")
"""The keys of a fabric that is cut from the cloth of another."""


class PackKeys(Keys):
    """One [[pack]] table: several prints as one purchase, cut as one pile."""

    name: Name = Field(description="Its name, used once in a study")
    slots: tuple[Slot, ...] = Field(min_length=1, max_length=50, description="The parts of the design that it fills")
    form: Literal["strips", "squares", "fat quarter", "fat eighth"] = Field(description="What is in it")
    width: Length | None = Field(
        default=None, description="Cut width of a strip, side of a square, width of the cloth of fat quarters"
    )
    length: Length | None = Field(default=None, description="Length of each strip")
    count: int = Field(ge=1, le=MOST_IN_PACK, description="Pieces in one pack")
    prints: int | None = Field(default=None, ge=1, le=MOST_IN_PACK, description="How many prints are in it")
    set_aside: int = Field(
        default=0, ge=0, le=MOST_IN_PACK, description="Pieces of each pack left out, too like another part"
    )
    packs: int | None = Field(
        default=None, ge=1, le=MOST_PACKS_ON_HAND, description="Packs on hand; left out: as many as needed"
    )
    price: float | None = Field(default=None, ge=0, le=100_000, description="Price of one pack")
    colour: Annotated[str, StringConstraints(pattern=r"^#[0-9a-fA-F]{6}$")] = Field(
        default=PLAIN, description="The colour in which its parts are drawn"
    )
    one_way: bool = Field(default=False, description="Its prints have a top")
    nap: bool = Field(default=False, description="It looks different upside down")
    shrinkage: float = Field(default=0.0, ge=0, le=MOST_SHRINKAGE, description="Part lost in washing, 0.03 for 3 %")
    washed: bool | None = Field(default=None, description="Whether it is washed before cutting")

    def list_fabrics(self) -> list[Fabric]:
        """Return the fabric of its first slot, and one for each other slot that is cut from the same cloth.

        Raises
        ------
        StudyError
            A pack without a width, with more set aside or more prints than it holds, or with a slot named twice.
        """
        if self.width is None and self.form in ("strips", "squares"):
            raise StudyError(
                f"Pack `{self.name}` holds {self.form} and has no width",
                needed="`width`, the cut width of a strip or the side of a square", do='add width = "2 1/2 in"',
            )  # fmt: skip
        if self.length is not None and self.form != "strips":
            raise StudyError(
                f"Pack `{self.name}` holds {self.form} and has a length", needed="a length for strips alone",
                do="remove `length`",
            )  # fmt: skip
        twice = next((slot for slot in self.slots if self.slots.count(slot) > 1), None)
        if twice is not None:
            raise StudyError(
                f"Pack `{self.name}` names the slot `{twice}` twice", needed="each slot once", do="remove one of them"
            )
        width = self.width or 20.0
        pack = ClothPack(self.form, width, self.count, self.prints, self.set_aside, self.price)
        first = Fabric(
            self.slots[0], self.name, self.colour.lower(), form=self.form, width=width, length=self.length,
            count=None if self.packs is None else self.packs * pack.usable, one_way=self.one_way, nap=self.nap,
            shrinkage=self.shrinkage, washed=self.washed, pack=pack,
        )  # fmt: skip
        others = [
            replace(first, slot=slot, name=name_further(self.name, slot), cloth=self.name) for slot in self.slots[1:]
        ]
        return [first, *others]


def name_further(pack: str, slot: str) -> str:
    """Return the name of the fabric that a pack gives to a further slot."""
    return f"{pack}, {slot}"


def read_fabrics(
    fabrics: Sequence[FabricKeys], packs: Sequence[PackKeys], measures: Measures, folder: Path | None
) -> tuple[Fabric, ...]:
    """Return the fabrics of a study: those with a cloth of their own, those cut from another's, and those of packs.

    Raises
    ------
    StudyError
        A fabric that names a cloth which is not there, which is cut from another itself, or keys that only a cloth of
        its own has; a pack that contradicts itself.
    """
    names = [entry.name for entry in fabrics]
    known: dict[str, Fabric] = {}
    for entry in fabrics:
        if entry.cloth is None:
            known.setdefault(entry.name, entry.fabric(measures, folder))
    found = []
    for entry in fabrics:
        if entry.cloth is None:
            found.append(known[entry.name] if entry.name in known else entry.fabric(measures, folder))
            continue
        root = known.get(entry.cloth)
        if root is None or entry.cloth == entry.name:
            chained = entry.cloth in names
            near = get_close_matches(entry.cloth, known, n=1)
            raise StudyError(
                f"Fabric `{entry.name}` is cut from the cloth `{entry.cloth}`, "
                + ("which is cut from another itself" if chained else "which the study does not have"),
                needed="the name of a fabric with a cloth of its own",
                do=f"is `{near[0]}` meant?" if near else "correct it or add the fabric",
            )
        odd = next((key for key in type(entry).model_fields if key not in OWN and key in entry.model_fields_set), None)
        if odd is not None:
            raise StudyError(
                f"Fabric `{entry.name}` is cut from `{entry.cloth}` and has a `{odd}` of its own",
                needed="one cloth with one set of facts", do=f"write `{odd}` at `{entry.cloth}` alone",
            )  # fmt: skip
        colour = (entry.colour or root.colour).lower()
        found.append(
            replace(root, slot=entry.slot, name=entry.name, colour=colour, limit=entry.limit, cloth=entry.cloth)
        )
    for pack in packs:
        found += pack.list_fabrics()
    return tuple(found)


def pack_keys(fabrics: Sequence[Fabric], measures: Measures) -> list[dict[str, Any]]:
    """Return the [[pack]] tables of the fabrics that packs give."""
    tables = []
    for fabric in fabrics:
        pack = fabric.pack
        if pack is None or fabric.cloth is not None:
            continue
        slots = [fabric.slot, *(one.slot for one in fabrics if one.pack is not None and one.cloth == fabric.name)]
        kept: dict[str, Any] = {
            "name": fabric.name, "slots": slots, "form": pack.form,
            "width": write_exact(fabric.width, measures.system), "count": pack.count,
        }  # fmt: skip
        if fabric.length is not None:
            kept["length"] = write_exact(fabric.length, measures.system)
        if fabric.count is not None:
            kept["packs"] = fabric.count // pack.usable
        facts: dict[str, Any] = {"prints": pack.prints, "set_aside": pack.set_aside or None, "price": pack.price}
        facts |= {"one_way": fabric.one_way or None, "nap": fabric.nap or None, "washed": fabric.washed}
        facts |= {"shrinkage": fabric.shrinkage or None, "colour": None if fabric.colour == PLAIN else fabric.colour}
        tables.append(kept | {key: value for key, value in facts.items() if value is not None})
    return tables


def describe_pack_keys() -> tuple[tuple[str, str], ...]:
    """Return every key of a [[pack]] table and its meaning."""
    return tuple((name, str(field.description)) for name, field in PackKeys.model_fields.items())
