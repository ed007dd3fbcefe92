"""Reading a study: TOML text in, a frozen Study out. Files are data: nothing in one is executed."""

import os
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from kit.designs import FAMILIES, Family, check_units, take_in_drawing
from kit.designs.explaining import explain_refusal, show_value
from kit.errors import KitError, StudyError
from kit.lengths import use_system
from kit.model.sewing import SewingWishes
from kit.study.colourway_keys import read_colourways
from kit.study.overrides import Edition, freeze_edition, lay_over, split_editions
from kit.study.pack_keys import read_fabrics
from kit.study.round_sizes import round_design
from kit.study.stash_in_study import take_from_stash
from kit.study.study_keys import StudyKeys
from kit.study.study_record import Study
from kit.study.tables import MeasureKeys, find_narrowest
from kit.study.text_file import read_text
from kit.study.write_file import study_keys


def open_study(path: str | os.PathLike[str]) -> Study:
    """Read a study file.

    Parameters
    ----------
    path
        A TOML file of at most a megabyte, UTF-8.

    Returns
    -------
    Study
        Fully checked: every key known, every length with its unit, the design buildable, every slot filled.

    Raises
    ------
    StudyError
        Names the file, the key, its value, the allowed values and what to do.
    """
    place = Path(path)
    try:
        study = read_study(read_text(place), place=place.name, folder=place.parent)
        study.make_patchwork()
        for edition in study.editions:
            _build_edition(study, edition, place.name)
    except StudyError as error:
        raise (error if error.found.startswith(place.name) else error.with_place(place.name)) from None
    except KitError as error:
        raise StudyError(f"{place.name}: {error.found}", needed=error.needed, do=error.do) from None
    return study


def _build_edition(study: Study, edition: Edition, place: str) -> None:
    """Build the top of an edition, so that a study with an impossible edition is refused when opened."""
    try:
        read_edition(study, edition.name, edition.overrides(), place=place).make_patchwork()
    except KitError as error:
        raise error if error.found.startswith(place) else error.with_place(f"edition `{edition.name}`") from None


def read_study(text: str, *, place: str = "study", folder: Path | None = None) -> Study:
    """Read a study from TOML text without building the design. Pictures of cloth are in the folder or below it.

    Raises
    ------
    StudyError
        Names the place, the key and the remedy.
    """
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise StudyError(f"{place} is not TOML: {error}", needed="key = value lines", do="correct that line") from None
    except ValueError:
        raise StudyError(
            f"{place} holds a number of thousands of digits", needed="numbers for a quilt", do="correct that number"
        ) from None
    except RecursionError:
        raise StudyError(f"{place} nests its tables too deeply", needed="a study file", do="flatten it") from None
    return study_from_keys(raw, place=place, folder=folder)


def study_from_keys(raw: Mapping[str, Any], *, place: str = "study", folder: Path | None = None) -> Study:
    """Make a study from the keys of a study file, as TOML reads them.

    Raises
    ------
    StudyError
        Names the place, the key and the remedy.
    """
    plain, found = split_editions(raw, place)
    study = _read_plain(plain, place, folder)
    if not found:
        return study
    kept = []
    for name, overrides in found.items():
        one = read_edition(study, name, overrides, place=place, folder=folder)
        if "fabric" in overrides:  # the pictures of cloth are already read: keep their colours
            overrides["fabric"] = study_keys(one)["fabric"]
        kept.append(freeze_edition(name, overrides, f"{place}: edition `{name}`"))
    return replace(study, editions=tuple(kept))


def read_edition(
    study: Study, name: str, overrides: Mapping[str, Any], *, place: str = "study", folder: Path | None = None
) -> Study:
    """Return the study of an edition: the keys of `study` with the overrides laid over them.

    Raises
    ------
    StudyError
        Names the edition, the key and the remedy.
    """
    here = f"{place}: edition `{name}`"
    base = study_keys(replace(study, editions=()))
    measures = overrides.get("measures")
    system = measures.get("system") if isinstance(measures, Mapping) else None
    if system is not None and system != study.measures.system:
        usual = study_keys(replace(study, measures=MeasureKeys(system=study.measures.system).measures()))["measures"]
        for key in ("seam_allowance", "round_cuts_to"):
            if base["measures"][key] == usual[key]:
                del base["measures"][key]
    if "fabric" in overrides and study.measures.usable_width == find_narrowest(study.fabrics):
        del base["measures"]["usable_width"]  # it follows the cloth of the edition, like that of a study
    plain = lay_over(base, overrides, here)
    plain["edition"] = f"{study.edition}, {name}"
    return _read_plain(plain, here, folder)


def join_units(keys: Mapping[str, Any], place: str = "study") -> dict[str, Any]:
    """Return the [design] table of a study's keys with the tables of its units in it.

    Raises
    ------
    StudyError
        Tables of units beside a family that has none.
    """
    design, units = dict(keys["design"]), keys.get("unit")
    if "unit" in design:
        raise StudyError(
            f"{place}: `design.unit` stands within [design]",
            needed="tables of units beside [design]",
            do="write [unit.NAME] in place of [design.unit.NAME]",
        )
    if units and design.get("family") != "units":
        raise StudyError(
            f"{place}: [unit.{next(iter(units))}] stands beside the family `{design.get('family')}`",
            needed='units beside family = "units"',
            do='write [design] family = "units" and its top, or take the unit out',
        )
    return {**design, "unit": units} if units else design


def _read_design(keys: Mapping[str, Any], family: str, place: str, folder: Path | None) -> Family:
    """Return the design of a family; refuse keys that it does not have."""
    try:
        return FAMILIES[family].model_validate(_take_in_units(take_in_drawing(keys, folder), folder))
    except ValidationError as error:
        raise explain_refusal(error, FAMILIES[family], place, "design.") from None
    except KitError as error:
        raise StudyError(f"{place}: {error.found}", needed=error.needed, do=error.do) from None


def _take_in_units(keys: Mapping[str, Any], folder: Path | None) -> Mapping[str, Any]:
    """Return the keys of a design with the outlines of drawings in place of their names, unit by unit."""
    units = keys.get("unit")
    if not isinstance(units, Mapping):
        return keys
    read = {}
    for name, table in units.items():
        try:
            read[name] = take_in_drawing(table, folder) if isinstance(table, Mapping) else table
        except KitError as error:
            raise error.with_place(f"unit `{name}`") from None
    return {**keys, "unit": read}


def _read_plain(raw: Mapping[str, Any], place: str, folder: Path | None) -> Study:
    """Make a study from keys without editions; what is refused is said in the lengths that the keys ask for."""
    measures = raw.get("measures")
    with use_system("metric" if isinstance(measures, Mapping) and measures.get("system") == "metric" else "inch"):
        return _read_keys(raw, place, folder)


def _read_keys(raw: Mapping[str, Any], place: str, folder: Path | None) -> Study:
    raw = take_from_stash(raw, place, folder)
    try:
        keys = StudyKeys.model_validate(raw)
    except ValidationError as error:
        raise explain_refusal(error, StudyKeys, place, "") from None
    family = keys.design.get("family")
    if not isinstance(family, str) or family not in FAMILIES:
        near = get_close_matches(str(family), FAMILIES, n=1)
        held = "missing" if family is None else show_value(family)
        raise StudyError(
            f"{place}: `design.family` is {held}" + (f" (is `{near[0]}` meant?)" if near else ""),
            needed=", ".join(FAMILIES),
            do="name one of these families",
        )
    design = _read_design(join_units(vars(keys), place), family, place, folder)
    check_units(design, place)
    try:
        measures = keys.measures.measures(find_narrowest(keys.fabric))
        fabrics = read_fabrics(keys.fabric, keys.pack, measures, folder)
    except KitError as error:
        raise StudyError(f"{place}: {error.found}", needed=error.needed, do=error.do) from None
    if measures.round_sizes_to is not None:
        whole = design.model_dump(mode="json", exclude_none=True)
        design = _read_design(round_design(whole, fabrics, measures.round_sizes_to), family, place, folder)
    names = [fabric.name for fabric in fabrics]
    for name in names:
        if names.count(name) > 1:
            raise StudyError(
                f"{place}: two fabrics are called `{name}`", needed="a different name for each", do="rename one"
            )
    try:
        rules = keys.colouring.rules(fabrics)
        finishing = keys.finishing.wishes(measures.system, fabrics)
        quilting = keys.quilting.wishes(measures.system)
        colourways = read_colourways(keys.colourway, fabrics)
    except KitError as error:
        raise StudyError(f"{place}: {error.found}", needed=error.needed, do=error.do) from None
    sewing = SewingWishes(**vars(keys.sewing))
    return Study(
        keys.title, keys.edition, keys.seed, measures, design, fabrics, rules, sewing, finishing, quilting,
        keys.cutting.wishes(), keys.cutting.cloth(measures.system), date=keys.date or "",
        stash=keys.stash.file if keys.stash else None, cover=keys.cover.cover_words(),
        folder=None if folder is None else str(folder),
        colourways=colourways,
    )  # fmt: skip
