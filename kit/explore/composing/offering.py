"""Lists of controls filled again: what was chosen stays chosen where it is still there, in one message to the page."""

from collections.abc import Mapping
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError

Options = tuple[Any, ...]


def foresee(choice: widgets.Dropdown, options: Options, usual: Any = ...) -> Any:
    """Return what a list will have chosen once it is given these options.

    Parameters
    ----------
    choice
        The list.
    options
        Values, or pairs of label and value.
    usual
        What is chosen when the options change; left out: what was chosen, or the first.
    """
    values = [one[1] if isinstance(one, tuple) else one for one in options]
    if choice.options == options or (usual is ... and choice.value in values):
        return choice.value
    if usual is not ... and usual in values:
        return usual
    return values[0] if values else None


def offer(choice: widgets.Dropdown, options: Options, usual: Any = ...) -> None:
    """Offer options, where they are others."""
    if choice.options == options:
        return
    value = foresee(choice, options, usual)
    with choice.hold_sync():
        choice.options = options
        if options and choice.value != value:
            choice.value = value


def say_plainly(error: KitError, name: str, labels: Mapping[str, str]) -> KitError:
    """Return an error of the keys of a unit with the labels of the screen in place of the keys.

    Examples
    --------
    >>> error = KitError("`unit.a.times` is 3", needed="a corner of 120°", do="change `times`")
    >>> print(say_plainly(error, "a", {"times": "“Copies”"}))
    “Copies” is 3. Needed: a corner of 120°. Change “Copies”.
    """
    text = str(error)
    for key, label in labels.items():
        text = text.replace(f"`unit.{name}.{key}`", label).replace(f"`{key}`", label)
        text = text.replace(f"{key} = ", f"{label} ").replace(f"{key} =", label)
    return KitError(text)


def put(field: Any, value: str) -> None:
    """Put a value into a field, where it is another."""
    if field.value != value:
        field.value = value
