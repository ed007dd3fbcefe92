"""The study file: TOML text in, a frozen Study out, and back again. Files are data: nothing in one is executed."""

import hashlib
import os
import re
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from difflib import get_close_matches
from errno import EISDIR
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

import tomli_w
from pydantic import AfterValidator, BaseModel, Field, StringConstraints, ValidationError

from kit.designs import FAMILIES, Family
from kit.designs.keys import Keys, Length, Slot, check_printable
from kit.errors import KitError, StudyError
from kit.lengths import write_exact
from kit.model.fabrics import USABLE_WIDTH, Fabric, Form
from kit.model.patchwork import Patchwork
from kit.model.pattern import Measures
from kit.model.pictures import read_cloth
from kit.model.pressing import Wish
from kit.model.rules import PLAIN, Direction, Rules, Scale, Symmetry, Touching
from kit.model.sewing import SewingWishes

AS_USUAL = SewingWishes()
LARGEST = 1_000_000
"""Bytes: a longer study file is refused unread."""
COARSEST = 1.0
"""Inches: no cutting mat is coarser."""
NARROWEST = 4.0
"""Inches: narrower yardage is taken for a slip of the pen."""


Name = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200), AfterValidator(check_printable)
]


def _check_width(key: str, inches: float) -> None:
    if inches < NARROWEST:
        raise StudyError(
            f"`{key}` is {write_exact(inches)}", needed=f"at least {NARROWEST:g} in", do="write the width of the cloth"
        )


class MeasureKeys(Keys):
    """The [measures] table."""

    system: Literal["inch", "metric"] = "inch"
    seam_allowance: Length | None = None
    round_cuts_to: Length | None = None
    usable_width: Length = USABLE_WIDTH

    def measures(self) -> Measures:
        """Return the measures, with the allowance and rounding of the system where the study gives none."""
        metric = self.system == "metric"
        allowance = self.seam_allowance or (0.75 / 2.54 if metric else 0.25)
        step = self.round_cuts_to or (0.1 / 2.54 if metric else 0.125)
        if step > COARSEST:
            raise StudyError(
                f"`measures.round_cuts_to` is {write_exact(step, self.system)}",
                needed=f"at most {COARSEST:g} in",
                do='write for instance "1/8 in"',
            )
        _check_width("measures.usable_width", self.usable_width)
        return Measures(self.system, allowance, step, self.usable_width)


class FabricKeys(Keys):
    """One [[fabric]] table."""

    slot: Slot
    name: Name
    colour: Annotated[str, StringConstraints(pattern=r"^#[0-9a-fA-F]{6}$")] | None = None
    picture: Name | None = None
    spread: float | None = Field(default=None, ge=0, le=300)
    form: Form = "yardage"
    width: Length | None = None
    length: Length | None = None
    count: int | None = Field(default=None, ge=1, le=100_000)
    price: float | None = Field(default=None, ge=0, le=100_000)
    limit: int | None = Field(default=None, ge=1, le=100_000)
    one_way: bool = False

    def fabric(self, measures: Measures, folder: Path | None = None) -> Fabric:
        """Return the fabric, with the usable width of the study where the file gives none.

        A picture of the cloth is looked at for what the file does not say: its mean colour and its spread.
        """
        width = self.width
        colour, spread = self._see(folder)
        if width is None and self.form in ("strips", "squares", "remnant"):
            raise StudyError(
                f"Fabric `{self.name}` comes as {self.form} and has no width",
                needed="`width`, the cut width of a strip, the side of a square or the width of a remnant",
                do='add for instance width = "2 1/2 in"',
            )
        if self.form == "yardage" and width is not None:
            _check_width(f"width` of fabric `{self.name}", width)
        if self.form == "remnant" and self.length is None:
            raise StudyError(
                f"Fabric `{self.name}` is a remnant and has no length", needed="`length`", do='add length = "12 in"'
            )
        return Fabric(
            self.slot, self.name, colour, self.limit, self.form,
            width or (20.0 if self.form == "fat quarter" else measures.usable_width),
            self.length, self.count, self.price, self.one_way, picture=self.picture, spread=spread,
        )  # fmt: skip

    def _see(self, folder: Path | None) -> tuple[str, float | None]:
        """Return the colour and the spread, from the file or else from the picture."""
        if self.picture is None and self.colour is None:
            raise StudyError(
                f"Fabric `{self.name}` has no colour",
                needed="`colour` or `picture`",
                do='add for instance colour = "#dfe6ea"',
            )
        if self.picture is None or (self.colour is not None and self.spread is not None):
            return str(self.colour).lower(), self.spread
        if folder is None:
            raise StudyError(
                f"Fabric `{self.name}` has a picture, but this study lies in no folder",
                needed="a study file beside its pictures",
                do="save the study first, or give colour and spread",
            )
        cloth = read_cloth(folder, self.picture)
        spread = cloth.spread if self.spread is None else self.spread
        return (self.colour or cloth.colour).lower(), spread


class ColouringKeys(Keys):
    """The [colouring] table: rules and wishes for the placement of prints."""

    touching: Touching = "edges"
    apart: int = Field(default=1, ge=1, le=50)
    once_in_unit: bool = False
    pairs: bool = False
    pins: dict[Name, Name] = Field(default={}, max_length=20_000)
    set_aside: tuple[Name, ...] = Field(default=(), max_length=2_000)
    difference: float | None = Field(default=None, gt=0, le=100)
    gradient: Direction | None = None
    gradient_by: Scale = "lightness"
    symmetry: Symmetry | None = None
    spread: bool = False
    no_stripes: bool = False

    def rules(self, fabrics: tuple[Fabric, ...]) -> Rules:
        """Return the rules, once every fabric that they name is seen to be there."""
        names = [fabric.name for fabric in fabrics]
        pinned = [(f"pins.{patch}", name) for patch, name in self.pins.items()]
        for where, name in [*pinned, *(("set_aside", name) for name in self.set_aside)]:
            if name not in names:
                near = get_close_matches(name, names, n=1)
                raise StudyError(
                    f"`colouring.{where}` names the fabric `{name}`, which is not there",
                    needed="the name of a fabric",
                    do=f"is `{near[0]}` meant?" if near else "correct it or add the fabric",
                )
        values = {name: getattr(self, name) for name in type(self).model_fields}
        return Rules(**{**values, "pins": tuple(sorted(self.pins.items()))})


class SewingKeys(Keys):
    """The [sewing] table: how seams are pressed, and whether patches are split so that none is partial."""

    pressing: Wish = "nest"
    partial_seams: Literal["sew", "split"] = "sew"


class StudyKeys(Keys):
    """The whole file but for the design, whose keys its family knows."""

    title: Name
    edition: Name = "1"
    seed: int = Field(default=0, ge=0, le=2**53)
    measures: MeasureKeys = MeasureKeys()
    design: dict[str, Any]
    fabric: tuple[FabricKeys, ...] = Field(default=(), max_length=2_000)
    colouring: ColouringKeys = ColouringKeys()
    sewing: SewingKeys = SewingKeys()


@dataclass(frozen=True)
class Study:
    """A study: what a quilt follows from. Lengths in inches.

    Attributes
    ----------
    title, edition
        As the file has them.
    seed
        What every random choice follows from.
    measures
        System, allowance, rounding, usable width.
    design
        The family with its keys.
    fabrics
        In the order of the file.
    rules
        What is asked of the placement of prints.
    sewing
        What is asked of the sewing.
    """

    title: str
    edition: str
    seed: int
    measures: Measures
    design: Family
    fabrics: tuple[Fabric, ...]
    rules: Rules = PLAIN
    sewing: SewingWishes = AS_USUAL

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the study's canonical text."""
        return hashlib.sha256(write_study(self).encode()).hexdigest()

    def make_patchwork(self) -> Patchwork:
        """Return the verified patchwork of the design, once every slot is seen to have a fabric.

        Raises
        ------
        KitError
            A design that cannot be built, or a slot without fabric.
        """
        patchwork = self.design.patchwork(self.measures.seam_allowance).verify()
        filled = [fabric.slot for fabric in self.fabrics]
        for slot in patchwork.slots:
            if slot not in filled:
                near = get_close_matches(slot, filled, n=1)
                hint = f" (is `{near[0]}` meant?)" if near else ""
                raise StudyError(
                    f"No fabric fills slot `{slot}`{hint}",
                    needed=f"a fabric for each of the slots {', '.join(f'`{s}`' for s in patchwork.slots)}",
                    do=f'add a [[fabric]] with slot = "{slot}"',
                )
        return patchwork


def open_study(path: str | os.PathLike[str]) -> Study:
    """Read a study file.

    Parameters
    ----------
    path
        A TOML file of at most a megabyte, UTF-8.

    Returns
    -------
    Study
        Checked through: every key known, every length with its unit, the design buildable, every slot filled.

    Raises
    ------
    StudyError
        Names the file, the key, what it holds, what is allowed and what to do.
    """
    place = Path(path)
    try:
        study = read_study(_read_text(place), place=place.name, folder=place.parent)
        study.make_patchwork()
    except StudyError as error:
        raise (error if error.found.startswith(place.name) else error.with_place(place.name)) from None
    except KitError as error:
        raise StudyError(f"{place.name}: {error.found}", needed=error.needed, do=error.do) from None
    return study


def _read_text(path: Path) -> str:
    name = path.name or str(path)
    try:
        if path.exists() and not path.is_file():
            kind = "a folder" if path.is_dir() else "no file"
            raise StudyError(f"{name} is {kind}", needed="a study file", do="name a file that ends in .toml")
        data = path.read_bytes() if path.stat().st_size <= LARGEST else None
    except FileNotFoundError:
        near = get_close_matches(path.name, [p.name for p in path.parent.glob("*.toml")], n=1)
        do = f"is {near[0]} meant?" if near else "check the name and the folder"
        raise StudyError(f"{name} is not there", needed="a study file", do=do) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise StudyError(f"{name} cannot be read ({why})", needed="a readable file", do="check it") from None
    if data is None:
        raise StudyError(f"{name} is over a megabyte", needed="a study file of text", do="check that it is the one")
    if not data.strip():
        raise StudyError(f"{name} is empty", needed="a title, a [design] and fabrics", do="copy a study that is there")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise StudyError(
            f"{name} is not UTF-8 text (byte {error.start})", needed="a text file", do="save it as UTF-8"
        ) from None


def read_study(text: str, *, place: str = "study", folder: Path | None = None) -> Study:
    """Read a study from TOML text; the design is not yet built. Pictures of cloth lie in the folder or below it.

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
            f"{place} holds a number of thousands of digits", needed="numbers of a quilt", do="correct that number"
        ) from None
    except RecursionError:
        raise StudyError(f"{place} nests its tables too deeply", needed="a study file", do="flatten it") from None
    return study_from_keys(raw, place=place, folder=folder)


def study_from_keys(raw: Mapping[str, Any], *, place: str = "study", folder: Path | None = None) -> Study:
    """Make a study of the keys of a study file, as TOML reads them.

    Raises
    ------
    StudyError
        Names the place, the key and the remedy.
    """
    try:
        keys = StudyKeys.model_validate(raw)
    except ValidationError as error:
        raise _explain(error, StudyKeys, place, "") from None
    family = keys.design.get("family")
    if not isinstance(family, str) or family not in FAMILIES:
        near = get_close_matches(str(family), FAMILIES, n=1)
        held = "missing" if family is None else _show(family)
        raise StudyError(
            f"{place}: `design.family` is {held}" + (f" (is `{near[0]}` meant?)" if near else ""),
            needed=", ".join(FAMILIES),
            do="name one of these families",
        )
    try:
        design = FAMILIES[family].model_validate(keys.design)
    except ValidationError as error:
        raise _explain(error, FAMILIES[family], place, "design.") from None
    try:
        measures = keys.measures.measures()
        fabrics = tuple(entry.fabric(measures, folder) for entry in keys.fabric)
    except KitError as error:
        raise StudyError(f"{place}: {error.found}", needed=error.needed, do=error.do) from None
    names = [fabric.name for fabric in fabrics]
    for name in names:
        if names.count(name) > 1:
            raise StudyError(
                f"{place}: two fabrics are called `{name}`", needed="a name of its own for each", do="rename one"
            )
    try:
        rules = keys.colouring.rules(fabrics)
    except KitError as error:
        raise StudyError(f"{place}: {error.found}", needed=error.needed, do=error.do) from None
    sewing = SewingWishes(**vars(keys.sewing))
    return Study(keys.title, keys.edition, keys.seed, measures, design, fabrics, rules, sewing)


def _explain(error: ValidationError, model: type[BaseModel], place: str, prefix: str) -> StudyError:
    """Return one thing that pydantic found, an unknown key first, in the words of the kit."""
    found = min(error.errors(), key=lambda entry: entry["type"] != "extra_forbidden")
    path = [part for part in found["loc"] if not (isinstance(part, str) and part.startswith("function-"))]
    key = _shorten(prefix + ".".join(str(part + 1) if isinstance(part, int) else str(part) for part in path))
    value = _show(found.get("input"))
    kind = found["type"]
    if kind == "extra_forbidden":
        known = _known_keys(model, path[:-1])
        near = get_close_matches(str(path[-1])[:60], known, n=1)
        return StudyError(
            f"{place}: unknown key `{key}`",
            needed="one of " + ", ".join(known),
            do=f"write `{near[0]}`" if near else "correct or remove it",
        )
    if kind == "missing":
        return StudyError(f"{place}: `{key}` is missing", needed=f"`{key}`", do=f"add the key `{path[-1]}`")
    if kind == "value_error":
        cause = str(found["ctx"]["error"]) if "ctx" in found else found["msg"]
        return StudyError(f"{place}: `{key}`: {cause}")
    if kind == "string_pattern_mismatch":
        return StudyError(
            f"{place}: `{key}` is {value}", needed="a colour of the form #rrggbb", do='write for instance "#dfe6ea"'
        )
    return StudyError(f"{place}: `{key}` is {value}", needed=_say(found["msg"]), do="correct that value")


_WORDS = (
    (r"^Input should be ", ""),
    (r"^String should have ", "a text of "),
    (r"^Tuple should have (.*?) items? after validation.*", r"a list of \1"),
    (r"(?<!\S)greater than or equal to ", "at least "),
    (r"(?<!\S)less than or equal to ", "at most "),
    (r"a valid dictionary.*", "a table of keys"),
    (r"a valid tuple", "a list"),
    (r"a valid string", "a text in quotes"),
    (r"a valid integer.*", "a whole number"),
)
"""What pydantic says, and what the kit says for it."""


def _say(text: str) -> str:
    for pattern, plain in _WORDS:
        text = re.sub(pattern, plain, text)
    return text


def _known_keys(model: type[BaseModel], path: list[int | str]) -> list[str]:
    """Return the keys that are known at a place of the file."""
    for part in path:
        if isinstance(part, str) and part in model.model_fields:
            model = _find_model(model.model_fields[part].annotation) or model
    return list(model.model_fields)


def _find_model(kind: Any) -> type[BaseModel] | None:
    """Return the table of keys that an annotation holds: itself, or within a union or a list."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind
    return next((model for part in get_args(kind) if (model := _find_model(part))), None)


def _shorten(text: str, limit: int = 80) -> str:
    return text if len(text) <= limit else f"{text[: limit - 3]}..."


def _show(value: object) -> str:
    if isinstance(value, str | int | float | bool):
        return _shorten(repr(value), 60)
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    return "a table" if isinstance(value, dict) else f"a {type(value).__name__}"


def write_study(study: Study) -> str:
    """Return the study as the TOML text that reads back as the same study."""
    return tomli_w.dumps(study_keys(study))


def study_keys(study: Study) -> dict[str, Any]:
    """Return the keys of a study file, lengths as text; what stands at its default is left out."""
    m = study.measures
    measures = {
        "system": m.system,
        "seam_allowance": write_exact(m.seam_allowance, m.system),
        "round_cuts_to": write_exact(m.round_cuts_to, m.system),
        "usable_width": write_exact(m.usable_width, m.system),
    }
    design = study.design.model_dump(mode="json", exclude_none=True, exclude_defaults=True)
    return {
        "title": study.title,
        "edition": study.edition,
        "seed": study.seed,
        "measures": measures,
        "design": {"family": study.design.family, **design},
        "fabric": [_fabric_keys(fabric, m) for fabric in study.fabrics],
        **_colouring_keys(study.rules),
        **_sewing_keys(study.sewing),
    }


def _colouring_keys(rules: Rules) -> dict[str, Any]:
    """Return the [colouring] table, empty where nothing is asked beyond what goes without saying."""
    values = {**vars(rules), "pins": dict(rules.pins), "set_aside": list(rules.set_aside)}
    plain = {**vars(PLAIN), "pins": {}, "set_aside": []}
    kept = {name: value for name, value in values.items() if value != plain[name]}
    return {"colouring": kept} if kept else {}


def _sewing_keys(wishes: SewingWishes) -> dict[str, Any]:
    """Return the [sewing] table, empty where everything stands at its default."""
    kept = {name: value for name, value in asdict(wishes).items() if value != getattr(SewingWishes(), name)}
    return {"sewing": kept} if kept else {}


def _fabric_keys(fabric: Fabric, measures: Measures) -> dict[str, Any]:
    values = asdict(fabric)
    for what in ("width", "length"):
        if values[what] is not None:
            values[what] = write_exact(values[what], measures.system)
    defaults = {f.name: f.default for f in fields(Fabric)}
    return {k: v for k, v in values.items() if k in ("slot", "name", "colour", "width") or v != defaults[k]}


def save_study(study: Study, path: str | os.PathLike[str]) -> str:
    """Write a study file; `open_study(save_study(study, path)) == study`.

    The text goes to a file beside it first and takes its place whole, so that nothing is lost half-way.

    Returns
    -------
    str
        The path.

    Raises
    ------
    StudyError
        When the file cannot be written.
    """
    place = Path(path)
    try:
        beside = place.with_name(place.name + ".part")
        if place.is_dir():
            raise IsADirectoryError(EISDIR, "it is a folder")
        beside.write_text(write_study(study), encoding="utf-8")
        beside.replace(place)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise StudyError(
            f"{place.name or place} cannot be written ({why})",
            needed="a folder that is there and may be written to",
            do="choose another folder or name",
        ) from None
    return str(place)
