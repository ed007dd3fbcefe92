"""The [[colourway]] tables of a study: their keys, and the study in the fabrics of one of them."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import Field, StringConstraints

from kit.designs.keys import Keys
from kit.errors import StudyError
from kit.model.fabrics import Fabric
from kit.model.other_cloths import Colourway, OtherCloth
from kit.study.tables import Name

if TYPE_CHECKING:
    from kit.study.study_record import Study

MOST = 12
"""The most colourways of a study; each is planned and proved."""


class OtherClothKeys(Keys):
    """One [[colourway.fabric]] table."""

    in_place_of: Name = Field(description="Name of the fabric of the study whose place it takes")
    name: Name = Field(description="Its name, used once in a colourway")
    colour: Annotated[str, StringConstraints(pattern=r"^#[0-9a-fA-F]{6}$")] = Field(description="Its colour")
    price: float | None = Field(default=None, ge=0, le=100_000, description="Price per yard, metre or piece")


class ColourwayKeys(Keys):
    """One [[colourway]] table: the quilt in other fabrics."""

    title: Name = Field(description="Its title, used once in a study")
    fabric: tuple[OtherClothKeys, ...] = Field(min_length=1, max_length=2_000, description="The fabrics that differ")


def read_colourways(tables: Sequence[ColourwayKeys], fabrics: Sequence[Fabric]) -> tuple[Colourway, ...]:
    """Return the colourways of a study.

    Raises
    ------
    StudyError
        A title twice, a fabric that the study does not have, one replaced twice, or two of one name.
    """
    names = [fabric.name for fabric in fabrics]
    titles = [one.title for one in tables]
    for title in titles:
        if titles.count(title) > 1:
            raise StudyError(
                f"Two colourways have the title `{title}`", needed="a different title for each", do="rename one"
            )
    for one in tables:
        taken = [cloth.in_place_of for cloth in one.fabric]
        for name in taken:
            near = get_close_matches(name, names, n=1)
            if name not in names:
                raise StudyError(
                    f"Colourway `{one.title}` puts a cloth in place of `{name}`, which the study does not have",
                    needed="the name of a fabric",
                    do=f"is `{near[0]}` meant?" if near else "correct it or leave it out",
                )
            if taken.count(name) > 1:
                raise StudyError(
                    f"Colourway `{one.title}` puts two cloths in place of `{name}`",
                    needed="one for each fabric", do="leave one out",
                )  # fmt: skip
        called = [cloth.name for cloth in one.fabric] + [name for name in names if name not in taken]
        twice = next((name for name in called if called.count(name) > 1), None)
        if twice is not None:
            raise StudyError(
                f"Colourway `{one.title}` has two fabrics called `{twice}`",
                needed="a different name for each", do="rename one",
            )  # fmt: skip
    return tuple(
        Colourway(
            one.title,
            tuple(OtherCloth(cloth.in_place_of, cloth.name, cloth.colour.lower(), cloth.price) for cloth in one.fabric),
        )
        for one in tables
    )


def colourway_keys(colourways: Sequence[Colourway]) -> dict[str, Any]:
    """Return the [[colourway]] tables, empty where there are none."""
    tables = [
        {
            "title": one.title,
            "fabric": [
                {key: value for key, value in asdict(cloth).items() if value is not None} for cloth in one.cloths
            ],
        }
        for one in colourways
    ]
    return {"colourway": tables} if tables else {}


def put_in_colourway(study: "Study", colourway: Colourway, assignment: Mapping[str, str]) -> "Study":
    """Return the study in the fabrics of a colourway, every patch in the cloth that takes the place of its own.

    Parameters
    ----------
    study
        The study.
    colourway
        One of its colourways.
    assignment
        Patch id -> name of the study's fabric.
    """
    others = {cloth.in_place_of: cloth for cloth in colourway.cloths}
    named = {fabric.name: fabric.name for fabric in study.fabrics} | {old: new.name for old, new in others.items()}
    fabrics = []
    for fabric in study.fabrics:
        other = others.get(fabric.name)
        cloth = None if fabric.cloth is None else named.get(fabric.cloth, fabric.cloth)
        fabrics.append(
            replace(fabric, cloth=cloth) if other is None
            else replace(
                fabric, name=other.name, colour=other.colour, price=other.price, picture=None, spread=None, cloth=cloth
            )
        )  # fmt: skip
    rules = replace(
        study.rules,
        pins=tuple(sorted((patch, named[name]) for patch, name in assignment.items())),
        set_aside=tuple(named.get(name, name) for name in study.rules.set_aside),
    )
    wishes = study.finishing
    finishing = replace(
        wishes,
        backing_fabric=named.get(wishes.backing_fabric, wishes.backing_fabric),
        binding_fabric=named.get(wishes.binding_fabric, wishes.binding_fabric),
        bleeding=tuple(named.get(name, name) for name in wishes.bleeding),
    )
    return replace(
        study, edition=f"{study.edition}, {colourway.title}", fabrics=tuple(fabrics), rules=rules,
        finishing=finishing, editions=(), colourways=(),
    )  # fmt: skip
