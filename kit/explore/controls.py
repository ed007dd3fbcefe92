"""Controls of the screens: each sets one quantity of the study and has its name, with its unit.

A control knows its place in the study's keys, turns its setting into the text of a study file, and follows the keys
when something else changes them. It speaks only when it is moved or written into, and what it holds is never rounded: a
slider stands at the stop nearest to its length, and the length itself stands beside it.
"""

from collections.abc import Callable, Mapping
from math import ceil
from typing import Any

import ipywidgets as widgets

from kit.errors import LengthError
from kit.explore.quantities import Quantity, is_shown, read_held, read_value
from kit.explore.typed_lengths import UNIT, read_typed
from kit.lengths import CM, System, read_length, write_exact

WIDE = widgets.Layout(width="412px")
STYLE = {"description_width": "238px"}
OFF = ("", "0", "0 in", "0 cm")
"""Texts that switch a length off."""
NOISE = 1e-6
"""A page may send a stop with its last digits changed; this much is not a move."""

FileKeys = Mapping[str, Any]
Changed = Callable[[Quantity, Any], None]


def make_control(
    quantity: Quantity, keys: FileKeys, system: System, changed: Changed
) -> "LengthControl | CountControl | ChoiceControl | FlagControl":
    """Return the control of a quantity, set from the keys; `changed` receives the value for the study file."""
    if quantity.kind == "length":
        return LengthControl(quantity, keys, system, changed)
    if quantity.kind == "count":
        return CountControl(quantity, keys, changed)
    return (ChoiceControl if quantity.kind == "choice" else FlagControl)(quantity, keys, changed)


class LengthControl(widgets.HBox):
    """A slider by the ruler's steps (or by millimetres) and a field for a length in any notation.

    Each follows the other. A length between two stops is held as it is: the field shows it, and the slider stands at
    the nearest stop and says nothing until it is moved to another.

    Attributes
    ----------
    slider, field
        The two widgets.
    inches
        What is held.
    """

    def __init__(self, quantity: Quantity, keys: FileKeys, system: System, changed: Changed) -> None:
        self.quantity, self._system, self._changed = quantity, system, changed
        self._quiet, self._typed, self.inches = False, "", 0.0
        self._scale = 1 / CM if system == "metric" else 1.0
        low, high = (size * self._scale for size in (quantity.low, quantity.high))
        places = 1 if system == "metric" else 5
        unit = f"{UNIT[system]}{', 0 = off' if quantity.optional else ''}"
        self.slider = widgets.FloatSlider(
            value=round(low, places),
            min=0 if quantity.optional else round(low, places),
            max=round(high, places),
            step=0.1 if system == "metric" else quantity.step,
            readout=False,
            description=f"{quantity.label} ({unit})",
            layout=widgets.Layout(width="340px"),
            style=STYLE,
        )
        self.field = widgets.Text(
            continuous_update=False,
            tooltip=f"{quantity.label}: type a length with its unit, for instance 2 1/2 in or 6.5 cm; a number alone"
            f" is in {UNIT[system]}",
            layout=widgets.Layout(width="86px"),
        )
        super().__init__([self.slider, self.field])
        self.add_class("seamproof-length")
        self.follow(keys)
        self.slider.observe(self._slide, names="value")
        self.field.observe(self._write, names="value")

    def follow(self, keys: FileKeys) -> None:
        """Show what the keys hold."""
        self.layout.display = None if is_shown(self.quantity, keys) else "none"
        text = read_held(self.quantity, keys)
        try:
            inches = self.quantity.first if text is None else read_length(text, zero_allowed=True)
        except LengthError:  # written by hand a moment ago, and refused
            self._show(None, str(text))
        else:
            self._show(float(inches), self._typed)

    def _show(self, inches: float | None, text: str) -> None:
        """Show a length, in the notation of the text if that says it; None for a text that is not a length."""
        self._quiet = True
        if inches is not None:
            self.inches = inches
            self._stop = self._find_stop(inches * self._scale)
            self.slider.max = max(self.slider.max, self._stop)
            self.slider.value = self._stop
            text = text if text and _says(text, inches) else write_exact(inches, self._system) if inches else "0"
        self.field.value = text
        self._quiet = False

    def _find_stop(self, value: float) -> float:
        """Return the stop nearest to a value on the slider, beyond its end if need be."""
        low, high, step = self.slider.min, self.slider.max, self.slider.step
        if value > high + NOISE:
            return round(float(low + ceil((value - low) / step - NOISE) * step), 6)
        return float(min(high, round(low + max(0, round((value - low) / step)) * step, 6)))

    def _slide(self, change: Mapping[str, Any]) -> None:
        if self._quiet or abs(change["new"] - self._stop) < NOISE:
            return
        stop = self._find_stop(change["new"])
        value = stop if abs(stop - change["new"]) < NOISE else change["new"]
        text = f"{value:.6f}".rstrip("0").removesuffix(".") + f" {UNIT[self._system]}"
        self._typed = ""
        inches = read_length(text, zero_allowed=True)
        self._show(inches, "")
        self._changed(self.quantity, None if self.quantity.optional and not inches else text)

    def _write(self, change: Mapping[str, Any]) -> None:
        if self._quiet:
            return
        text = change["new"].strip()
        if self.quantity.optional and text in OFF:
            self._typed = ""
            self._show(0.0, "")
            self._changed(self.quantity, None)
            return
        try:
            inches, text = read_typed(text, self._system)
        except LengthError:
            self._changed(self.quantity, text)
            return
        self._typed = text
        self._show(inches, text)
        self._changed(self.quantity, text)


def _says(text: str, inches: float) -> bool:
    try:
        return read_length(text, zero_allowed=True) == inches
    except LengthError:
        return False


class CountControl(widgets.IntSlider):
    """A slider for a whole number."""

    def __init__(self, quantity: Quantity, keys: FileKeys, changed: Changed) -> None:
        self.quantity, self._quiet = quantity, False
        super().__init__(
            value=int(quantity.low), min=int(quantity.low), max=int(quantity.high), description=quantity.label,
            continuous_update=True, layout=widgets.Layout(width="412px"), style=STYLE,
        )  # fmt: skip
        self.follow(keys)
        self.observe(lambda change: None if self._quiet else changed(quantity, change["new"]), names="value")

    def follow(self, keys: FileKeys) -> None:
        """Show what the keys hold, beyond either end if need be."""
        self._quiet = True
        self.layout.display = None if is_shown(self.quantity, keys) else "none"
        value = int(read_value(self.quantity, keys))
        low, high = int(self.quantity.low), int(self.quantity.high)
        slider: Any = self
        slider.max = max(high, value, slider.max)
        slider.min = min(low, value, slider.min)
        slider.value = value
        self._quiet = False


class ChoiceControl(widgets.Dropdown):
    """A list of words."""

    def __init__(self, quantity: Quantity, keys: FileKeys, changed: Changed) -> None:
        self.quantity, self._quiet = quantity, False
        super().__init__(
            options=quantity.choices, description=quantity.label, layout=widgets.Layout(width="412px"), style=STYLE
        )
        self.follow(keys)
        self.observe(lambda change: None if self._quiet else changed(quantity, change["new"]), names="value")

    def follow(self, keys: FileKeys) -> None:
        """Show what the keys hold; a word of the study's own joins the list."""
        self._quiet = True
        self.layout.display = None if is_shown(self.quantity, keys) else "none"
        value = read_value(self.quantity, keys)
        choice: Any = self
        if value not in choice.options:
            choice.options = (*choice.options, value)
        self.value = value
        self._quiet = False


class FlagControl(widgets.Checkbox):
    """A box to tick."""

    def __init__(self, quantity: Quantity, keys: FileKeys, changed: Changed) -> None:
        self.quantity, self._quiet = quantity, False
        super().__init__(
            description=quantity.label, indent=True, layout=widgets.Layout(width="412px"), style=STYLE
        )  # fmt: skip
        self.follow(keys)
        self.observe(lambda change: None if self._quiet else changed(quantity, change["new"]), names="value")

    def follow(self, keys: FileKeys) -> None:
        """Show what the keys hold."""
        self._quiet = True
        self.layout.display = None if is_shown(self.quantity, keys) else "none"
        self.value = bool(read_value(self.quantity, keys))
        self._quiet = False
