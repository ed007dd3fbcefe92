"""The words of the screen for a size: what was typed with its unit, and a way to the size in a line."""

from kit.errors import LengthError
from kit.explore.typed_lengths import read_typed
from kit.lengths import System, write_length
from kit.model.fits import Option
from kit.output.tables.comparing_tables import write_changes


def add_label_unit(text: str, system: System) -> str:
    """Return what was typed, a number alone with the unit of its label; what is not a length is left to the search."""
    try:
        return read_typed(text, system, zero_allowed=True)[1]
    except LengthError:
        return text


def describe_option(option: Option, system: System) -> str:
    """Return one way to a size in a line: its counts or what it changes, and the finished size."""
    width, height = (write_length(size, system) for size in option.finished)
    if option.changes:
        return f"{write_changes(option)}, {width} × {height}"
    down = "" if option.choice.down is None else f" by {option.choice.down}"
    return f"{option.choice.across}{down}, {width} × {height}"
