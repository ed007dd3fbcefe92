"""The [finishing] table of a study file: the maker's choices of borders, backing, batting, binding, thread and money.

Every key may be left out; the usual value of the study's system then holds. The limit for gaps, the spacing and the
speeds of the quilting are keys of the study's quilting, not of this table.
"""

from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints, ValidationInfo, field_validator

from kit.designs.keys import Keys, check_printable
from kit.errors import LengthError, StudyError
from kit.lengths import YARD, System, find_system, read_length, write_exact
from kit.model.fabrics import Fabric
from kit.model.finishing import FinishingWishes, find_usual
from kit.model.finishing_ways import BackingWish, BattingWish, BindingGrain, BorderWish, Fold, JoinKind, ThreadMethod

NONE = "none"
"""The word for having no wide cloth."""
THREAD = 1_000_000.0
"""Inches: the most thread that a spool holds."""


def _read(value: object, *, zero_allowed: bool = False, longest: float = 500.0) -> float:
    """Read a length; a LengthError becomes pydantic's, which keeps the key's place beside it."""
    try:
        return read_length(value, zero_allowed=zero_allowed, longest=longest)
    except LengthError as error:
        raise ValueError(str(error)) from error


def _read_wide(value: object) -> object:
    return NONE if value == NONE else _read(value)


def _expect(example: str) -> BeforeValidator:
    """Return a validator of lists as long as the example."""
    parts = example.count(",") + 1

    def check(value: object) -> object:
        if not isinstance(value, list | tuple) or len(value) != parts:
            raise ValueError(f"it is not a list of {parts}: write for instance [{example}]")
        return value

    return BeforeValidator(check)


Length: TypeAlias = Annotated[float, BeforeValidator(_read)]
Measure: TypeAlias = Annotated[float, BeforeValidator(lambda value: _read(value, zero_allowed=True))]
Thread: TypeAlias = Annotated[float, BeforeValidator(lambda value: _read(value, longest=THREAD))]
Wide: TypeAlias = Annotated[float | Literal["none"], BeforeValidator(_read_wide)]
Words: TypeAlias = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200), AfterValidator(check_printable)
]
PieceOnHand: TypeAlias = Annotated[tuple[Length, Length], _expect('"26 in", "50 in"')]
Package: TypeAlias = Annotated[tuple[Words, Length, Length], _expect('"queen", "90 in", "108 in"')]
TestPiece: TypeAlias = Annotated[tuple[Length, Length, Length], _expect('"10 in", "13 in", "12 in"')]


def _key(description: str, **limits: Any) -> Any:
    return Field(default=None, description=description, **limits)


def _part(description: str) -> Any:
    return _key(description, ge=0, lt=0.5)


def _price(description: str) -> Any:
    return _key(description, ge=0, le=100_000)


def _time(description: str) -> Any:
    return _key(description, ge=0, le=10_000)


class FinishingKeys(Keys):
    """The [finishing] table."""

    overhang_sides: Measure | None = _key("Backing and batting beyond the top, at each side")
    overhang_ends: Measure | None = _key("The same at the upper and the lower end")

    border_join: JoinKind | None = _key("How border strips are joined")
    border_cloth: BorderWish | None = _key("Which way border strips are cut")
    mitre_extra: Length | None = _key("Extra length of a mitred border strip, trimmed later")
    ease_limit: float | None = _part("Part of an edge that may be eased in: 0.01 is one in a hundred")
    measured_widths: tuple[Length, ...] | None = _key("Measured widths inside the last border, raw edges included")
    measured_heights: tuple[Length, ...] | None = _key("Measured heights, at both edges and through the middle")

    backing: BackingWish | None = _key(
        "How the backing is made: the way its seams run, one diagonal cut, wide cloth, pieces on hand"
    )
    backing_fabric: Words | None = _key("Name of the backing fabric")
    backing_width: Length | None = _key("Usable width of its cloth")
    backing_allowance: Length | None = _key("Seam allowance of the backing")
    backing_one_way: bool | None = _key("Whether its print has a top")
    wide_width: Wide | None = _key('Usable width of wide cloth, or "none"')
    on_hand: tuple[PieceOnHand, ...] | None = _key("Width and length of each piece that may be sewn together")

    batting: BattingWish | None = _key("How the batting is bought")
    batting_packages: tuple[Package, ...] | None = _key("Name, width and length of each package")
    batting_rolls: tuple[Length, ...] | None = _key("Widths of batting off the roll")

    binding_fabric: Words | None = _key("Name of the fabric that the binding is of")
    binding_finished: Length | None = _key("Width of the binding that shows")
    binding_cut: Length | None = _key("Cut width of binding strips that are there already")
    binding_fold: Fold | None = _key("Folded in two, or with its edge turned under")
    binding_grain: BindingGrain | None = _key(
        "Along the cloth, on the bias out of one square, or on the bias off the bolt"
    )
    binding_join: JoinKind | None = _key("How binding strips are joined")
    binding_width: Length | None = _key("Usable width of its cloth")
    binding_loft: Measure | None = _key("Length that one layer of binding takes around the edge")
    binding_extra: Length | None = _key("Length for corners and closing")
    join_clear: Measure | None = _key("Least distance of joins from the corners")
    left_over_first: bool | None = _key("Whether cloth left over from the top is used first")

    sleeve: bool | None = _key("Whether the quilt has a hanging sleeve")
    sleeve_short: Measure | None = _key("How much shorter than the quilt the sleeve is")
    sleeve_height: Length | None = _key("Its finished height")
    date: Words | None = _key("Date on the label; left out, a line to fill in")

    thread: ThreadMethod | None = _key("How thread is estimated")
    stitch_length: Length | None = _key("Length of one stitch of the quilting")
    layers_thickness: Length | None = _key("Thickness of the layers when sewn")
    thread_ratio: float | None = _key("Length of thread for each length of seam", ge=2, le=10)
    thread_test: TestPiece | None = _key("Measured test piece: seam, needle thread, bobbin thread")
    thread_waste: float | None = _part("Part added for starts, stops and tension")
    bobbin_length: Thread | None = _key("Thread on a full bobbin")
    spool_length: Thread | None = _key("Thread on a spool")

    cut_seconds: float | None = _time("Seconds for one cut")
    seam_seconds: float | None = _time("Seconds for one seam, pressing included")
    basting_minutes: float | None = _time("Minutes of basting for a square yard, or metre in a metric study")
    binding_speed: Length | None = _key("Length of binding sewn on in a minute")
    hand_speed: Length | None = _key("Length of binding closed by hand in a minute")

    draw_in: float | None = _part("Part of the size lost by quilting; left out, it follows the lines, at least 0.02")
    wash_width: float | None = _part("Part of the width lost in the first wash")
    wash_height: float | None = _part("Part of the height lost in the first wash")
    prewash: float | None = _part("Part that cloth loses in a wash before cutting")
    squaring_up: Measure | None = _key("Length lost in squaring up one length of cloth")
    fibre: Words | None = _key("Fibre of top, batting and backing, for label and care card")
    bleeding: tuple[Words, ...] | None = _key("Names of fabrics that bled when tested")

    backing_price: float | None = _price("Price of backing per yard, or per metre in a metric study")
    wide_price: float | None = _price("The same of wide cloth")
    binding_price: float | None = _price("The same of binding")
    batting_price: float | None = _price("Price of a package of batting")
    batting_roll_price: float | None = _price("Price of batting off the roll per yard or metre")
    spool_price: float | None = _price("Price of a spool")
    hour_rate: float | None = _price("Money for an hour of work")
    quilting_rate: float | None = _price("Money per square inch of quilting, or per cm² in a metric study")
    quilting_minimum: float | None = _price("The least charge for quilting")
    binding_rate: float | None = _price("Money for an inch of binding, or centimetre in a metric study")
    margin: float | None = _key("Part added to the cost: 0.25 is a quarter", ge=0, le=10)
    deposit: float | None = _key("Part of the price due at the start", ge=0, le=1)
    for_sale: bool | None = _key("Whether the quilt is made for sale")

    @field_validator("*", mode="after")
    @classmethod
    def _keep_within(cls, value: object, info: ValidationInfo) -> object:
        """Refuse lengths that nobody cuts, and lists longer than a page."""
        low, high = RANGES.get(str(info.field_name), (0.0, THREAD))
        for inches in _list_lengths(value):
            if not low <= inches <= high:
                shown, least, most = (write_exact(length, find_system()) for length in (inches, low, high))
                raise ValueError(f"{shown} is out of range: write {least} to {most}")
        if isinstance(value, tuple) and len(value) > LONGEST_LIST:
            raise ValueError(f"a list of {len(value)} is too long: write at most {LONGEST_LIST}")
        return value

    def wishes(self, system: System, fabrics: Sequence[Fabric]) -> FinishingWishes:
        """Return the wishes, with the usual value for every key that the file leaves out.

        Raises
        ------
        StudyError
            A fabric that the study does not have.
        KitError
            Wishes that contradict one another.
        """
        for key, name in self._list_names():
            names = [fabric.name for fabric in fabrics]
            if name not in names:
                near = get_close_matches(name, names, n=1)
                raise StudyError(
                    f"`finishing.{key}` names the fabric `{name}`, which the study does not have",
                    needed="the name of a fabric",
                    do=f"is `{near[0]}` meant?" if near else "correct it or add the fabric",
                )
            form = next(fabric.form for fabric in fabrics if fabric.name == name)
            if key != "bleeding" and form != "yardage":
                raise StudyError(
                    f"`finishing.{key}` names `{name}`, which comes as {form}",
                    needed="a fabric in yardage",
                    do=f"name another, or leave {key} out and give the cloth on hand",
                )
        given = {key: getattr(self, key) for key in self.model_fields_set if getattr(self, key) is not None}
        if given.get("wide_width") == NONE:
            given["wide_width"] = None
        return replace(find_usual(system), **given)

    def _list_names(self) -> list[tuple[str, str]]:
        one = [(key, getattr(self, key)) for key in ("backing_fabric", "binding_fabric") if getattr(self, key)]
        return [*one, *(("bleeding", name) for name in self.bleeding or ())]


LONGEST_LIST = 40
RANGES: dict[str, tuple[float, float]] = {
    "overhang_sides": (0, 24), "overhang_ends": (0, 24), "mitre_extra": (0.25, 24),
    "backing_width": (4, 500), "backing_allowance": (0.125, 2), "wide_width": (40, 200), "on_hand": (1, 500),
    "batting_packages": (10, 400), "batting_rolls": (10, 400),
    "binding_finished": (0.125, 2), "binding_cut": (0.5, 12), "binding_width": (4, 500), "binding_loft": (0, 1),
    "binding_extra": (1, 60), "join_clear": (0, 24), "sleeve_short": (0, 24), "sleeve_height": (1, 12),
    "stitch_length": (1 / 32, 1), "layers_thickness": (1 / 256, 1), "bobbin_length": (36, 36_000),
    "spool_length": (360, THREAD), "binding_speed": (0.1, 500), "hand_speed": (0.01, 100), "squaring_up": (0, 12),
}  # fmt: skip
"""Inches: the range of believable lengths; common practice, no source."""

LENGTHS = frozenset(RANGES) | {"measured_widths", "measured_heights", "thread_test"}
"""Keys that hold lengths."""


def _list_lengths(value: object) -> list[float]:
    """Return the numbers of a value, of a list or of a list of lists."""
    if isinstance(value, tuple):
        return [inches for part in value for inches in _list_lengths(part)]
    return [value] if isinstance(value, float) else []


def finishing_keys(wishes: FinishingWishes, system: System) -> dict[str, Any]:
    """Return the [finishing] table of wishes, empty where everything is as usual in the system."""
    usual = find_usual(system)
    kept = {}
    for key in FinishingKeys.model_fields:
        value = getattr(wishes, key)
        if value != getattr(usual, key):
            kept[key] = NONE if value is None else _write(value, system) if key in LENGTHS else _list(value)
    return {"finishing": kept} if kept else {}


def _write(value: Any, system: System) -> Any:
    """Return a length as text, and lists of them as lists; names stay as they are."""
    if isinstance(value, tuple):
        return [_write(part, system) for part in value]
    return value if isinstance(value, str) else _write_thread(value, system) or write_exact(value, system)


def _write_thread(inches: float, system: System) -> str:
    """Return a length beyond any cloth in yards or metres that read back, the unit of the system first."""
    if inches <= 500:
        return ""
    units = ((100 / 2.54, "m"), (YARD, "yd"))
    texts = [f"{inches / per:.6g} {unit}" for per, unit in (units if system == "metric" else units[::-1])]
    exact = (text for text in texts if read_length(text, longest=THREAD) == inches)
    return next(exact, f"{inches!r} in")


def _list(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def describe_finishing_keys(system: System = "inch") -> tuple[tuple[str, str, str], ...]:
    """Return every key of the [finishing] table: its name, its meaning, and its value when left out."""
    usual = find_usual(system)
    return tuple(
        (key, str(field.description), _show(key, getattr(usual, key), system))
        for key, field in FinishingKeys.model_fields.items()
    )


def _show(key: str, value: Any, system: System) -> str:
    """Return the usual value as text for a table."""
    if value is None or value in ("", ()):
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if key in LENGTHS:
        each = _as_list(_write(value, system))
        return ", ".join(" × ".join(one) if isinstance(one, list) else one for one in each)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]
