"""Whole studies from a seed: every table and key of the study file, drawn together, and mutants of them.

The keys are read off the models of the study file themselves: a new key is drawn as soon as a model has it. Each value
of a table is drawn until its table takes it alone, so that what is refused, or fails, is mostly their combination.
"""

import types
from collections.abc import Mapping
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin

import annotated_types
import tomli_w
from pydantic import BeforeValidator, StringConstraints, ValidationError
from random_designs import FAMILIES, SETTINGS, Dice, draw_border, draw_settings, seed_dice
from random_units import draw_units, make_design

from kit.designs import FAMILIES as FAMILY_MODELS
from kit.designs.keys import Keys
from kit.errors import KitError
from kit.lengths import read_length
from kit.model.pattern import Measures
from kit.study.read_file import read_study
from kit.study.study_keys import StudyKeys

LEFT_OUT = ("title", "design", "unit", "fabric", "stash")
"""Drawn by hand, or naming a file outside the study."""
ALLOWANCES = ("1/4 in", "1/4 in", "1/4 in", "3/8 in", "1/8 in", "0.75 cm", "6 mm", "0.3 in", "1/2 in", "0.295 in")
WORDS = ("Fog", "Slate", "Herring grey", "Ölzeug", "Tide & Ebb", "Bollard #3", "Kelp_2", "Möwe", "Наст", "a")
DRAWS = 6
"""How often a value is drawn until its table takes it."""


def draw_whole(seed: int) -> dict[str, Any]:
    """Return the keys of a study: a design, cloth for its slots, and some keys of every other table."""
    dice = seed_dice(seed)
    measures = {"seam_allowance": dice.choice(ALLOWANCES), "system": dice.choice(("inch", "metric"))}
    for key in ("round_cuts_to", "usable_width", "round_sizes_to"):
        if dice.random() < 0.15:
            measures[key] = {"round_cuts_to": dice.choice(("1/8 in", "1/16 in", "1/4 in", "1 mm", "0.5 cm")),
                             "usable_width": dice.choice(("40 in", "42 in", "110 cm", "18 in")),
                             "round_sizes_to": dice.choice(("1/8 in", "0.5 cm", "1/4 in"))}[key]  # fmt: skip
    keys: dict[str, Any] = {"title": dice.choice(WORDS), "seed": seed, "measures": measures}
    allowance = read_length(measures["seam_allowance"])
    careless = dice.random() < 0.1
    slots: tuple[str, ...] = ()
    for _ in range(1 if careless else DRAWS):
        top = _draw_top(dice, allowance)
        slots = _list_slots(top, allowance)
        if slots:
            break
    slots = slots or ("tide",)
    keys |= top
    keys["fabric"] = [one for slot in slots for one in draw_cloth(dice, slot)]
    names = [one["name"] for one in keys["fabric"]]
    for table, field in StudyKeys.model_fields.items():
        if table in (*LEFT_OUT, "measures", "seed") or dice.random() < 0.45:
            continue
        for _ in range(1 if careless else 3 * DRAWS):
            value = _draw_value(dice, table, field.annotation, field.metadata, slots=slots, names=names)
            if value is not None and (careless or _is_read(keys | {table: value})):
                keys[table] = value
                break
    if dice.random() < 0.1:
        keys["edition"] = {"number": "2", "other": _draw_edition(dice)}
    return keys


def _is_read(keys: Mapping[str, Any]) -> bool:
    """Return True if the keys can stand together in a file, whatever comes of them."""
    try:
        read_study(tomli_w.dumps(keys))
    except KitError:
        return False
    return True


def _draw_top(dice: Dice, allowance: float) -> dict[str, Any]:
    if dice.random() < 0.15:
        return draw_units(dice)
    family = dice.choice(sorted(FAMILIES))
    few = 2 if family in ("braid", "turned frame", "bargello") else 3
    design = {"family": family, "columns": dice.randint(1, few), "rows": dice.randint(1, few)}
    design |= FAMILIES[family](dice, allowance)
    for setting in (dice.choice(SETTINGS), *((dice.choice(SETTINGS),) if dice.random() < 0.1 else ())):
        design |= draw_settings(dice, allowance)[setting]
    design["border"] = [draw_border(dice, allowance) for _ in range(dice.choice((0, 0, 1, 1, 2)))]
    return {"design": design}


def _draw_edition(dice: Dice) -> dict[str, Any]:
    return dice.choice(
        (
            {"measures": {"system": "metric"}}, {"design": {"columns": dice.randint(1, 2)}},
            {"design": {"rows": 1}, "seed": 3}, {"cutting": {"make": "one by one"}}, {},
        )
    )  # fmt: skip


def _list_slots(keys: Mapping[str, Any], allowance: float) -> tuple[str, ...]:
    """Return the slots of a design; one that cannot be built has a slot of its own invention."""
    try:
        design = make_design(dict(keys)) if "unit" in keys else keys["design"]
        return FAMILY_MODELS[design["family"]].model_validate(design).patchwork(allowance).slots
    except (KitError, ValidationError):
        return ()


def draw_cloth(dice: Dice, slot: str) -> list[dict[str, Any]]:
    """Return one to three cloths of a slot: the plain keys, and some of all the others."""
    cloth = []
    model = StudyKeys.model_fields["fabric"].annotation
    (keys, _) = get_args(model)
    for number in range(dice.choice((1, 1, 1, 2, 3))):
        one: dict[str, Any] = {"slot": slot, "name": f"{slot} {number}", "colour": f"#{dice.randrange(16**6):06x}"}
        form = dice.choice(("yardage",) * 6 + ("strips", "squares", "fat quarter", "fat eighth", "remnant"))
        one |= {"form": form, "width": dice.choice(_usual_widths(form))}
        if form == "remnant" or dice.random() < 0.1:
            one["length"] = dice.choice(("20 in", "40 in", "1 m", "3 yd", "9 in"))
        for key, field in keys.model_fields.items():
            if key in one or key in ("picture", "length", "cloth") or dice.random() > 0.06:
                continue
            for _ in range(DRAWS):
                value = _draw_value(dice, key, field.annotation, field.metadata, slots=(slot,), names=(f"{slot} 0",))
                if value is not None and _is_cloth(keys, one | {key: value}):
                    one[key] = value
                    break
        cloth.append(one)
    return cloth


def _is_cloth(model: type[Keys], one: Mapping[str, Any]) -> bool:
    try:
        model.model_validate(one).fabric(Measures())
    except (ValidationError, KitError):
        return False
    return True


def _usual_widths(form: str) -> tuple[str, ...]:
    if form in ("strips", "squares"):
        return ("2 1/2 in", "5 in", "10 in", "6.5 cm")
    return ("20 in", "9 in") if form == "remnant" else ("42 in", "40 in", "110 cm", "44 in")


def _draw_value(
    dice: Dice, key: str, kind: Any, marks: Any = (), *, slots: tuple[str, ...] = (), names: Any = (), depth: int = 0
) -> Any:
    """Return a value for a key by its annotation; None where nothing can be drawn."""
    marks = list(marks)
    while get_origin(kind) is not None and hasattr(kind, "__metadata__"):
        marks += kind.__metadata__
        kind = get_args(kind)[0]
    if key in ("fabric", "cloth", "set_aside") or key.endswith("_fabric"):
        names = tuple(names)
        return (
            dice.choice(names)
            if kind is str and names
            else None
            if kind is str
            else _draw_inner(dice, key, kind, marks, slots=slots, names=names, depth=depth)
        )
    return _draw_inner(dice, key, kind, marks, slots=slots, names=names, depth=depth)


def _draw_inner(  # noqa: C901, PLR0912  one branch for each kind of annotation
    dice: Dice, key: str, kind: Any, marks: list[Any], *, slots: tuple[str, ...], names: Any, depth: int
) -> Any:
    again = {"slots": slots, "names": names, "depth": depth + 1}
    origin, inner = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        choices = [one for one in inner if one is not type(None)]
        return _draw_value(dice, key, dice.choice(choices), marks, **again)
    if origin is Literal:
        return dice.choice(inner)
    if isinstance(kind, type) and issubclass(kind, Keys):
        return _draw_table(dice, kind, **again)
    if origin is tuple:
        if inner[-1] is Ellipsis:
            most = 1 if dice.random() < 0.5 else 3
            values = [_draw_value(dice, key, inner[0], **again) for _ in range(dice.randint(1, most))]
        else:
            values = [_draw_value(dice, key, one, **again) for one in inner]
        return None if None in values else values
    if origin is dict or kind is dict:
        return {dice.choice((*slots, "x")): _draw_value(dice, key, inner[1], **again)} if inner else {}
    if any(isinstance(mark, BeforeValidator) for mark in marks) and kind is float:
        return _draw_length(dice)
    if kind is bool:
        return dice.random() < 0.5
    low, high = _read_range(marks)
    if kind is int:
        return dice.choice(
            (low, low + 1, dice.randint(low, min(high, low + 12)), dice.randint(low, min(high, low + 90)))
        )
    if kind is float:
        return dice.choice((float(low), low + (min(high, low + 40) - low) * dice.randint(0, 20) / 20))
    if kind is str:
        patterns = [mark.pattern for mark in marks if isinstance(mark, StringConstraints) and mark.pattern]
        if patterns and "#" in str(patterns[0]):
            return f"#{dice.randrange(16**6):06x}"
        return dice.choice((*slots, *names, *WORDS)) if key not in ("slot", "slots") else dice.choice((*slots, "tide"))
    return None


def _draw_table(dice: Dice, model: type[Keys], **more: Any) -> dict[str, Any]:
    """Return some keys of a table; each that is not required must be taken by the table beside those that are."""
    for _ in range(3 * DRAWS):
        table = _draw_keys(dice, model, **more)
        try:
            getattr(model.model_validate(table), "list_fabrics", list)()
        except (ValidationError, KitError):
            continue
        break
    return table


def _draw_keys(dice: Dice, model: type[Keys], **more: Any) -> dict[str, Any]:
    table: dict[str, Any] = {}
    share = dice.choice((0.1, 0.2, 0.4))
    fields = sorted(model.model_fields.items(), key=lambda one: not one[1].is_required())
    for key, field in fields:
        if not field.is_required() and dice.random() > share:
            continue
        for _ in range(DRAWS):
            value = _draw_value(dice, key, field.annotation, field.metadata, **more)
            if value is not None and (field.is_required() or _is_taken(model, table | {key: value})):
                table[key] = value
                break
    return table


def _is_taken(model: type[Keys], table: Mapping[str, Any]) -> bool:
    try:
        model.model_validate(table)
    except (ValidationError, KitError):
        return False
    return True


def _draw_length(dice: Dice) -> str:
    """Return a length as makers write it."""
    eighths = dice.choice((0, 1, 2, 4, 8, 12, 20, 40, 80, 160, 320, 480, dice.randint(1, 400)))
    return dice.choice(
        (f"{eighths / 8:g} in", f"{eighths / 8:g} in", f"{eighths // 8} {eighths % 8}/8 in", f"{eighths * 0.3:g} cm")
    )


def _read_range(marks: Any) -> tuple[int, int]:
    low, high = 0, 10**6
    for mark in marks:
        low = int(mark.ge) if isinstance(mark, annotated_types.Ge) else low
        low = int(mark.gt) + 1 if isinstance(mark, annotated_types.Gt) else low
        high = int(mark.le) if isinstance(mark, annotated_types.Le) else high
    return low, max(low, high)


HOSTILE: tuple[Any, ...] = (
    0, -1, 1, 2, 3, 10**9, 2**63, 0.5, -0.0, 1e308, float("nan"), float("inf"), True, False, "", " ", "0 in", "-3 in",
    "1e400 in", "1/0 in", "2 1/2", "9999 in", "0.0001 in", "1 yd", "5 mm", "none", "\u202e\u0000", "a" * 3000, "💥",
    "../x",
    "#ffffff", [], [[]], {}, {"a": {}}, ["1 in", "2 in"], [1, "x", {}], "whole", "90", "sash", "1 strip",
)  # fmt: skip
"""What a slip of the pen, another program or a prankster might write."""


def mutate(keys: dict[str, Any], seed: int) -> dict[str, Any]:
    """Return the keys with one to four values, types, nestings, sizes or names changed."""
    dice = seed_dice(seed)
    for _ in range(dice.randint(1, 4)):
        places = list(list_places(keys))
        holder, key = dice.choice(places)
        _change(dice, holder, key, keys)
    return keys


def list_places(value: Any) -> Any:
    """Yield every table or list, and each key in it, from the outside in."""
    if isinstance(value, dict | list):
        for key in list(value) if isinstance(value, dict) else range(len(value)):
            yield value, key
            yield from list_places(value[key])


def _change(dice: Dice, holder: Any, key: Any, keys: dict[str, Any]) -> None:
    value = holder[key]
    way = dice.randint(0, 8)
    if way == 0:
        del holder[key]
    elif way == 1 and isinstance(value, list) and value:
        holder[key] = value * dice.choice((2, 7, 60))
    elif way == 2 and isinstance(value, dict):
        holder[key] = [value]
    elif way == 3 and isinstance(value, int | float) and not isinstance(value, bool):
        holder[key] = value * dice.choice((-1, 0, 2, 10, 1000)) + dice.choice((0, 1))
    elif way == 4 and isinstance(value, str):
        holder[key] = dice.choice(
            (value * 2, value.upper(), value[::-1], value.replace("in", "cm"), value + " ", value[:3])
        )
    elif way == 5 and isinstance(holder, dict):
        holder[dice.choice((f"{key}_", "border", "slot", str(key).upper()))] = value
    elif way == 6:
        other, name = dice.choice(list(list_places(keys)))
        holder[key] = _copy(other[name])
    else:
        holder[key] = _copy(dice.choice(HOSTILE))


def _copy(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copy(one) for key, one in value.items()}
    return [_copy(one) for one in value] if isinstance(value, list) else value


@cache
def list_tables() -> tuple[str, ...]:
    """Return the tables that are drawn from the models of the study file."""
    return tuple(name for name in StudyKeys.model_fields if name not in LEFT_OUT)
