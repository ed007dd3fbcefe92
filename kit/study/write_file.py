"""Writing a study: its keys and its TOML text."""

from dataclasses import asdict, fields
from typing import TYPE_CHECKING, Any

import tomli_w

from kit.lengths import write_exact
from kit.model.fabrics import Fabric, find_usual_squaring
from kit.model.pattern import Measures
from kit.model.rules import PLAIN, Rules
from kit.model.sewing import SewingWishes
from kit.study.colourway_keys import colourway_keys
from kit.study.cover_keys import cover_keys
from kit.study.cutting_keys import cutting_keys
from kit.study.finishing_keys import finishing_keys
from kit.study.pack_keys import pack_keys
from kit.study.quilting_keys import quilting_keys

if TYPE_CHECKING:
    from kit.study.study_record import Study

LENGTHS = (
    "width", "length", "repeat", "repeat_across", "motif_along", "motif_across", "squaring", "picture_width",
)  # fmt: skip
"""Keys of a fabric that hold a length."""


def write_study(study: "Study") -> str:
    """Return the study as TOML text that reads back as the same study."""
    return tomli_w.dumps(study_keys(study))


def study_keys(study: "Study") -> dict[str, Any]:
    """Return the keys of a study file, lengths as text; keys at their default are left out."""
    m = study.measures
    measures = {
        "system": m.system,
        "seam_allowance": write_exact(m.seam_allowance, m.system),
        "round_cuts_to": write_exact(m.round_cuts_to, m.system),
        "usable_width": write_exact(m.usable_width, m.system),
        **({} if m.round_sizes_to is None else {"round_sizes_to": write_exact(m.round_sizes_to, m.system)}),
    }
    design = study.design.model_dump(mode="json", exclude_none=True, exclude_defaults=True)
    units = design.pop("unit", {})
    return {
        "title": study.title,
        "edition": _edition_keys(study),
        **({"date": study.date} if study.date else {}),
        "seed": study.seed,
        **cover_keys(study.cover),
        "measures": measures,
        "design": {"family": study.design.family, **design},
        **({"unit": units} if units else {}),
        **({"stash": {"file": study.stash}} if study.stash else {}),
        "fabric": [_fabric_keys(fabric, m, whole=bool(study.stash)) for fabric in study.fabrics if fabric.pack is None],
        **_pack_tables(study),
        **_colouring_keys(study.rules),
        **colourway_keys(study.colourways),
        **_sewing_keys(study.sewing),
        **finishing_keys(study.finishing, m.system),
        **quilting_keys(study.quilting, m.system),
        **cutting_keys(study.cutting, study.cloth, m.system),
    }


def _pack_tables(study: "Study") -> dict[str, Any]:
    tables = pack_keys(study.fabrics, study.measures)
    return {"pack": tables} if tables else {}


def _edition_keys(study: "Study") -> str | dict[str, Any]:
    """Return the text of the edition, or the table of the editions with its number."""
    if not study.editions:
        return study.edition
    return {"number": study.edition} | {edition.name: edition.overrides() for edition in study.editions}


def _colouring_keys(rules: Rules) -> dict[str, Any]:
    """Return the [colouring] table, empty where everything is at its default."""
    values = {**vars(rules), "pins": dict(rules.pins), "set_aside": list(rules.set_aside)}
    plain = {**vars(PLAIN), "pins": {}, "set_aside": []}
    kept = {name: value for name, value in values.items() if value != plain[name]}
    return {"colouring": kept} if kept else {}


def _sewing_keys(wishes: SewingWishes) -> dict[str, Any]:
    """Return the [sewing] table, empty where everything is at its default."""
    kept = {name: value for name, value in asdict(wishes).items() if value != getattr(SewingWishes(), name)}
    return {"sewing": kept} if kept else {}


def _fabric_keys(fabric: Fabric, measures: Measures, *, whole: bool) -> dict[str, Any]:
    """Return the keys of a fabric; `whole`: with its form, so that it is not taken from the stash again."""
    if fabric.cloth is not None:
        limit = {} if fabric.limit is None else {"limit": fabric.limit}
        return {"slot": fabric.slot, "name": fabric.name, "colour": fabric.colour, **limit, "cloth": fabric.cloth}
    values = asdict(fabric)
    defaults = {f.name: f.default for f in fields(Fabric)}
    defaults["squaring"] = find_usual_squaring(fabric.form, measures.system)
    kept = {
        k: v
        for k, v in values.items()
        if k in ("slot", "name", "colour", "width", *(["form"] if whole else [])) or v != defaults[k]
    }
    for what in (
        "width",
        "length",
        "repeat",
        "repeat_across",
        "motif_along",
        "motif_across",
        "squaring",
        "picture_width",
    ):
        if kept.get(what) is not None:
            kept[what] = write_exact(kept[what], measures.system)
    return kept
