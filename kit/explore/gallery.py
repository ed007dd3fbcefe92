"""Pictures of designs side by side: a family with other keys, or all the studies of a folder."""

import os
import re
from base64 import b64encode
from collections.abc import Mapping, Sequence
from html import escape
from math import ceil, log10
from pathlib import Path
from typing import Any

import pandas as pd
from IPython.display import HTML

from kit.designs import FAMILIES
from kit.errors import KitError, PatchworkError
from kit.lengths import write_length
from kit.model.pattern import Sketch
from kit.output.pictures.colour_views import draw_view
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.svg import write_svg
from kit.pipeline import make_sketch
from kit.study import open_study, study_from_keys

TONES = {
    "light": "#eadfc4", "ground": "#efe8d8", "sky": "#dfe7e8", "plain": "#efe8d8", "setting": "#dccfae",
    "dark": "#27415c", "medium": "#7ea6b5", "border": "#33506b", "sashing": "#e2d6b8", "bar": "#33506b",
    "one": "#22364d", "two": "#2f5d7c", "three": "#5c90a3", "four": "#9dbfc1", "five": "#e6dcc0", "six": "#d9a86a",
    "start": "#22364d", "accent": "#e0b04f", "centre": "#c8603c", "string": "#7ea6b5", "middle": "#efe8d8",
    "filler": "#dccfae", "spacer": "#efe8d8", "cornerstone": "#c8603c", "path": "#e2d6b8",
}  # fmt: skip
"""Colours of the families' default slots; our own."""
OTHERS = ("#2f5d7c", "#c8603c", "#e0b04f", "#5f7d6a", "#7ea6b5", "#8d5a6e", "#d9c9a3", "#33506b", "#a8465a", "#4f7f7a")
"""Colours of all other slots, in turn."""
SCRAP_COLOURS = ("#2f5d7c", "#e0b04f", "#5f7d6a", "#7ea6b5", "#8d5a6e", "#33506b")
SCRAPS = {"blade", "rectangle", "string", "panel", "diamond", "hexagon", "shape"}
"""Slots with patches side by side: several fabrics each, or nothing would be visible."""
REASON = "max-width:280px;text-align:left;padding:6px 10px;margin-bottom:8px;border-left:4px solid #a8465a"
CARD = "margin:0 18px 16px 0;text-align:center;font-size:13px;line-height:1.35"


def show_family(family: str, *variants: Mapping[str, Any], pixels: float = 260.0, **common: Any) -> HTML:
    """Return still pictures of a family: with its defaults, or one for each set of keys.

    If keys do not go together, the reason takes the place of the picture.

    Parameters
    ----------
    family
        Its name in a study file.
    variants
        Keys of the [design] table, as in a study file.
    pixels
        Largest width and height of a picture, pixels.
    common
        Keys of all of them.

    Raises
    ------
    KitError
        An unknown family, or keys that cannot be read; names the key and the remedy.
    """
    shown = [(_try_example(family, {**common, **keys}), _write_keys(keys) or family) for keys in variants or ({},)]
    return _lay_out(shown, pixels)


def show_studies(paths: Sequence[str | os.PathLike[str]], pixels: float = 220.0) -> HTML:
    """Return a contact sheet: a still picture of each study, its title and its finished size below.

    Parameters
    ----------
    paths
        Study files.
    pixels
        Largest width and height of a picture, pixels.

    Raises
    ------
    KitError
        A file that is not a study.
    """
    sketches = [make_sketch(open_study(Path(path))) for path in paths]
    return _lay_out([(sketch, getattr(sketch.study, "title", "")) for sketch in sketches], pixels)


def _try_example(family: str, keys: Mapping[str, Any]) -> Sketch | str:
    """Return the sketch of a family with some keys, or the reason that there is none."""
    try:
        return make_example(family, keys)
    except PatchworkError as error:
        return str(error)


def make_example(family: str, keys: Mapping[str, Any]) -> Sketch:
    """Return the sketch of a family with some keys, a colour of ours in each slot.

    Raises
    ------
    KitError
        As `show_family`.
    """
    return make_sketch(study_from_keys(write_example(family, keys), place="This design"))


def write_example(family: str, keys: Mapping[str, Any]) -> dict[str, Any]:
    """Return the keys of a study of a family with some keys, a colour of ours in each slot.

    Raises
    ------
    KitError
        As `show_family`.
    """
    design = {"family": family, **keys}
    units = {"unit": design.pop("unit")} if "unit" in design else {}
    raw = {"title": family, "design": design, **units, "fabric": [{"slot": "any", "name": "any", "colour": OTHERS[0]}]}
    study = study_from_keys(raw, place="This design")
    slots = study.lay_out().slots
    others = [slot for slot in slots if slot not in TONES]
    colours = TONES | {slot: OTHERS[n % len(OTHERS)] for n, slot in enumerate(others)}
    cloth = [(slot, SCRAP_COLOURS if _is_scrappy(slot) else (colours[slot],)) for slot in slots]
    raw["fabric"] = [
        {"slot": slot, "name": f"{slot} {n}", "colour": colour}
        for slot, found in cloth
        for n, colour in enumerate(found, start=1)
    ]
    return raw


def _is_scrappy(slot: str) -> bool:
    return slot.rsplit(" ", maxsplit=1)[-1] in SCRAPS


def list_keys(family: str) -> pd.DataFrame:
    """Return one row per key of a family: its meaning, and its value when left out.

    Raises
    ------
    KitError
        An unknown family.
    """
    if family not in FAMILIES:
        raise KitError(f"There is no family `{family:.60}`", needed=", ".join(FAMILIES), do="name one of these")
    model = FAMILIES[family]
    usual = model.model_validate({"family": family}).model_dump(mode="json", by_alias=True)
    rows = [
        {"Key": name, "What it says": field.description, "When left out": _write_usual(usual.get(name))}
        for name, field in model.model_fields.items()
        if name != "family"
    ]
    return pd.DataFrame(rows)


def _write_usual(value: object) -> str:
    if value in (None, [], (), {}):
        return "–"
    if isinstance(value, list | tuple):
        return ", ".join(str(one) for one in value)
    return {True: "true", False: "false"}.get(value, str(value)) if isinstance(value, bool) else str(value)


def _write_keys(keys: Mapping[str, Any]) -> str:
    """Write keys as in a study file, without the counts."""
    shown = {key: value for key, value in keys.items() if key not in ("columns", "rows", "unit")}
    lines = [f"{key} = {_write_value(value)}" for key, value in shown.items()]
    lines += [f"{name} = {_write_value(table)}" for name, table in keys.get("unit", {}).items()]
    return "\n".join(lines)


def _write_value(value: object) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_write_value(one)}" for key, one in value.items()) + " }" if value else "{}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_write_value(one) for one in value) + "]"
    return str(value).lower() if isinstance(value, bool) else f'"{value}"' if isinstance(value, str) else str(value)


def write_small_address(drawing: Drawing, width: float) -> str:
    """Return a picture as the address of an image, its places rounded for its small size: to a tenth of a pixel."""
    left, _, right, _ = drawing.box
    digits = max(0, ceil(log10(10 * width / (right - left))))
    text = re.sub(r"-?\d+\.\d+", lambda found: f"{float(found[0]):.{digits}f}", write_svg(drawing, width=width))
    return f"data:image/svg+xml;base64,{b64encode(text.encode()).decode()}"


def _write_small(drawing: Drawing, width: float) -> str:
    """Return a small picture with its words."""
    return f'<img alt="{escape(drawing.title)}" src="{write_small_address(drawing, width)}" style="max-width:100%"/>'


def _lay_out(shown: Sequence[tuple[Sketch | str, str]], pixels: float) -> HTML:
    cards = []
    for sketch, caption in shown:
        if isinstance(sketch, str):
            image, measure = f'<div style="{REASON}">{escape(sketch)}</div>', ""
        else:
            wide, high = sketch.patchwork.finished
            image = _write_small(draw_view(sketch, "colour"), pixels * min(1.0, wide / high))
            measure = " × ".join(write_length(side, sketch.study.measures.system) for side in (wide, high))
        lines = f'<div style="white-space:pre-line;max-width:{pixels + 60:.0f}px">{escape(caption)}</div>'
        cards.append(f'<div style="{CARD}">{image}{lines}<div style="color:#555">{escape(measure)}</div></div>')
    whole = f'<div style="display:flex;flex-wrap:wrap;align-items:flex-end">{"".join(cards)}</div>'
    return HTML(whole)
