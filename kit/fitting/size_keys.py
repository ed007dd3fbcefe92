"""The keys of a study that a search for a size may change: counts, and lengths on the ruler or in strips.

Keys are named as in the study file, with dots: `unit.arm.pairs`, `strip_cut`, `unit.whole.border.2.finished`.
Borders are counted from 1, and `design.` may be left out.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from pydantic import BaseModel

from kit.designs import FAMILIES, list_unit_models
from kit.designs.units.unit_lengths import read_sum
from kit.errors import LengthError
from kit.lengths import CM, take_length, write_exact
from kit.study import Study, study_keys

STRIPS = ("strip", "strips")
TABLES_OF_UNITS = frozenset({"family", "top", "strip_cut", "lengths"})
"""Keys of a study of units that set nothing out."""


@dataclass(frozen=True)
class SizeKey:
    """One key of the search.

    Attributes
    ----------
    key
        Its place in the study's keys: "unit.arm.pairs", "design.strip_cut".
    own
        The study's own value: a count, inches, or a number of strips.
    held
        The value as the study file has it; None where it is left out.
    measure
        "count", "length", or the name that a text of the study counts: "strips", or a shared length.
    numbers
        The values to try, ascending.
    metric
        Whether lengths are written in centimetres.
    """

    key: str
    own: float
    held: Any
    measure: str
    numbers: tuple[float, ...] = ()
    metric: bool = False

    @property
    def name(self) -> str:
        """The key as one writes it: without `design.`."""
        return self.key.removeprefix("design.")

    def write(self, number: float) -> int | str:
        """Return a value as the study file holds it."""
        if abs(number - self.own) < 1e-9 and self.held is not None:
            return self.held  # type: ignore[no-any-return]  # as it was written
        if self.measure == "count":
            return round(number)
        if self.measure == "length":
            return f"{round(number / CM, 6):g} cm" if self.metric else write_exact(number, "inch")
        word = self.measure if self.measure not in STRIPS else "strip" if number <= 1 else "strips"
        return f"{write_exact(number, 'inch').removesuffix(' in')} {word}"


def list_size_keys(study: Study) -> dict[str, SizeKey]:
    """Return every key of a study's design and units that holds a count or a length, without values to try.

    Parameters
    ----------
    study
        A study without overrides: one edition.
    """
    keys, metric = study_keys(study), study.measures.system == "metric"
    found: dict[str, SizeKey] = {}
    places: list[tuple[type[BaseModel], Mapping[str, Any], str]] = [
        (FAMILIES[study.design.family], keys["design"], "design.")
    ]
    for name, model in list_unit_models(study.design).items():
        held = keys["unit"][name]
        alone = {"columns": 1, "rows": 1} if "family" in held or "block" in held else {}
        places.append((model, {**alone, **held}, f"unit.{name}."))
    for model, held, place in places:
        for key, value in _walk(model, held, place):
            one = _read_own(key, value, metric=metric)
            if one is not None:
                written = look_up(keys, key)
                found[key] = one if written is not None else SizeKey(key, one.own, None, one.measure, (), metric)
    for name, text in keys["design"].get("lengths", {}).items():
        one = _read_own(f"design.lengths.{name}", text, metric=metric)
        if one is not None:
            found[one.key] = one
    return found


def _walk(model: type[BaseModel], held: Mapping[str, Any], place: str) -> Iterator[tuple[str, Any]]:
    """Yield the keys of a table that take a count or a length, with their values or defaults."""
    for name, field in model.model_fields.items():
        value = held.get(name)
        kinds = set(_list_kinds(field.annotation))
        inner = next((kind for kind in kinds if isinstance(kind, type) and issubclass(kind, BaseModel)), None)
        if inner is not None:
            tables = value if isinstance(value, list) else [value]
            for number, table in enumerate(tables, 1):
                if isinstance(table, Mapping):
                    yield from _walk(
                        inner, table, f"{place}{name}.{number}." if table is not value else f"{place}{name}."
                    )
        elif Ellipsis not in kinds and kinds & {int, float}:
            yield f"{place}{name}", field.default if value is None else value


def _list_kinds(annotation: Any) -> Iterator[Any]:
    parts = get_args(annotation)
    if not parts or getattr(annotation, "__origin__", None) is Literal:
        yield annotation
    for part in parts:
        yield from _list_kinds(part)


def _read_own(key: str, value: Any, *, metric: bool) -> SizeKey | None:
    """Return a key with its value, None if that is neither a count nor a length that stands by itself."""
    if isinstance(value, int) and not isinstance(value, bool):
        return SizeKey(key, value, value, "count", (), metric)
    if isinstance(value, float):
        return SizeKey(key, value, None, "length", (), metric)
    if not isinstance(value, str):
        return None
    try:
        terms = read_sum(value)
        if len(terms) != 1 or terms[0].kind == "edge":
            return None
        (term,) = terms
        if term.kind == "length":
            return SizeKey(key, take_length(value), value, "length", (), metric)
    except LengthError:
        return None
    return SizeKey(key, term.times, value, term.name, (), metric)


def look_up(keys: Mapping[str, Any], key: str) -> Any:
    """Return what the keys of a study hold at a dotted key, None where a table or the key is left out.

    Parameters
    ----------
    keys
        Of the whole study.
    key
        Its full name.
    """
    place: Any = keys
    for part in key.split("."):
        place = place[int(part) - 1] if isinstance(place, list) else place.get(part) if place is not None else None
    return place


def find_top_keys(study: Study) -> dict[str, str]:
    """Return where the counts and lengths of the top stand: across, down, block, sashing and border, where it has them.

    The top is the setting of the study or, where the study sets nothing out, the unit that is the top.
    """
    design, units = study.design, getattr(study.design, "units", None)
    keys = study_keys(study)
    place, table = "design.", keys["design"]
    if units is not None and not set(table) - TABLES_OF_UNITS:
        place, table = f"unit.{design.top}.", keys["unit"][design.top]  # type: ignore[attr-defined]  # units have it
    found = {}
    model = list_unit_models(design).get(design.top) if place != "design." else type(design)  # type: ignore[attr-defined]
    counts = tuple(getattr(model, "count_keys", ("across", "down")))
    for name, key in zip(("across", "down"), counts, strict=True):
        found[name] = f"{place}{key}"
    if getattr(model, "size_key", None):
        found["block"] = f"{place}{model.size_key}"  # type: ignore[union-attr]
    for between in ("bars", "sashing"):
        if between in table:
            found["sashing"] = f"{place}{between}.finished"
    borders = table.get("border", [])
    if borders and borders[-1].get("pieces", "plain") == "plain":
        found["border"] = f"{place}border.{len(borders)}.finished"
    return found
