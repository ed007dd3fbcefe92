"""Controls of the explorer: each sets one quantity of the study and has its name, with its unit.

A control knows its place in the study's keys and turns its setting into the text of a study file.
"""

from collections.abc import Callable, Mapping
from typing import Any

import ipywidgets as widgets

from kit.errors import LengthError
from kit.explore.quantities import Quantity, read_value
from kit.lengths import CM, System, read_length, write_exact

WIDE = widgets.Layout(width="412px")
SLIDING = widgets.Layout(width="340px")
STYLE = {"description_width": "238px"}


def make_control(
    quantity: Quantity, keys: Mapping[str, Any], system: System, changed: Callable[[Quantity, Any], None]
) -> widgets.Widget:
    """Return the widget for a quantity, set from the keys; `changed` receives the value for the study file."""
    value = read_value(quantity, keys)
    label = quantity.label
    if quantity.kind == "count":
        control = widgets.IntSlider(
            value=int(value),
            min=int(quantity.low),
            max=max(int(quantity.high), int(value)),
            description=label,
            continuous_update=True,
            layout=WIDE,
            style=STYLE,
        )
    elif quantity.kind == "length":
        return _make_length(quantity, float(value), system, changed)
    elif quantity.kind == "choice":
        control = widgets.Dropdown(options=quantity.choices, value=value, description=label, layout=WIDE, style=STYLE)
    else:
        control = widgets.Checkbox(value=bool(value), description=label, indent=True, layout=WIDE, style=STYLE)

    control.observe(lambda change: changed(quantity, change["new"]), names="value")
    return control


def _make_length(
    quantity: Quantity, inches: float, system: System, changed: Callable[[Quantity, Any], None]
) -> widgets.HBox:
    """Return a slider by the ruler's steps (or by millimetres) and a field for a length in any notation.

    Each follows the other; only the one changed by the user sets the study.
    """
    slider = _make_slider(quantity, inches, system)
    field = widgets.Text(
        value=_write_field(inches, system),
        continuous_update=False,
        tooltip=f"{quantity.label}: type a length with its unit, for instance 2 1/2 in or 6.5 cm",
        layout=widgets.Layout(width="86px"),
    )
    following = False

    def slide(change: Mapping[str, Any]) -> None:
        nonlocal following
        if following:
            return
        following = True
        text = _write_inches(change["new"], system)
        field.value = "0" if text is None else write_exact(read_length(text), system)
        following = False
        changed(quantity, text)

    def write(change: Mapping[str, Any]) -> None:
        nonlocal following
        if following:
            return
        text = change["new"].strip()
        off = quantity.optional and text in ("", "0", "0 in", "0 cm")
        try:
            value = 0.0 if off else read_length(text)
        except LengthError:
            changed(quantity, text)
            return
        following = True
        slider.value = value / CM if system == "metric" else value
        following = False
        changed(quantity, None if off else text)

    slider.observe(slide, names="value")
    field.observe(write, names="value")
    return widgets.HBox([slider, field])


def _write_field(inches: float, system: System) -> str:
    return write_exact(inches, system) if inches else "0"


def _make_slider(quantity: Quantity, inches: float, system: System) -> widgets.FloatSlider:
    metric = system == "metric"
    scale, unit = (1 / CM, "cm") if metric else (1.0, "in")
    step = 0.1 if metric else quantity.step
    return widgets.FloatSlider(
        value=round(inches * scale, 6),
        min=0 if quantity.optional else round(quantity.low * scale, 1 if metric else 5),
        max=round(max(quantity.high, inches) * scale, 1 if metric else 5),
        step=step,
        readout=False,
        description=f"{quantity.label} ({unit}{', 0 = off' if quantity.optional else ''})",
        layout=SLIDING,
        style=STYLE,
    )


def _write_inches(value: float, system: System) -> str | None:
    if value == 0:
        return None
    return f"{value:g} {'cm' if system == 'metric' else 'in'}"
