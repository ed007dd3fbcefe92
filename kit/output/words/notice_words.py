"""Sentences of notices: what a plan assumes, warns of or advises, in the words of the house."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from string import Formatter
from types import MappingProxyType
from typing import Any

from kit.lengths import System, write_decimal, write_length, write_nearest, write_thread
from kit.model.notices import Notice
from kit.output.words.strings import TEXTS, hear, say_finishing

NOTICES: Mapping[str, str] = MappingProxyType(TEXTS["notice"])
"""The sentence of each kind; after the colon in its braces stands how a figure is written (see `WRITERS`)."""

MOST = 8
"""Patches that a sentence names."""


def say_notice(notice: Notice, system: System = "inch") -> str:
    r"""Return the sentence of a notice, without its full stop.

    Parameters
    ----------
    notice
        From a plan.
    system
        In which lengths are written.

    Examples
    --------
    >>> from kit.model.notices import notice
    >>> say_notice(notice("set-squaring", length=0.5)).replace("\xa0", " ")
    'Strip sets: ½ in of each for squaring up its ends'
    """
    facts = dict(notice.figures)
    hear(f"notice.{notice.kind}", facts)
    return _Writer(system).vformat(NOTICES[notice.kind], (), facts)


def say_notices(notices: Iterable[Notice], system: System = "inch") -> tuple[str, ...]:
    """Return the sentence of each notice."""
    return tuple(say_notice(one, system) for one in notices)


def _quote(names: Sequence[str]) -> str:
    """Return the first names between backticks, and how many more there are."""
    shown = ", ".join(f"`{name}`" for name in names[:MOST])
    return say_finishing("and_more", names=shown, count=len(names) - MOST) if len(names) > MOST else shown


def _say_both(width: float, height: float) -> str:
    across, along = (write_decimal(f"{100 * part:.2g}") for part in (width, height))
    return (
        say_finishing("each_way", part=across)
        if across == along
        else say_finishing("either_way", width=across, height=along)
    )


WRITERS: Mapping[str, Callable[[Any, System], str]] = {
    "length": write_length,
    "nearest": write_nearest,
    "wound": lambda inches, system: write_thread(inches, system, "held"),
    "names": lambda names, _: ", ".join(names),
    "quoted": lambda names, _: _quote(names),
    "both": lambda parts, _: _say_both(*parts),
    "joined": lambda notices, system: "; ".join(say_notices(notices, system)),
    "or": lambda notices, system: str(TEXTS["making"]["or"]).join(say_notices(notices, system)),
    "notice": say_notice,
    "units": lambda unit, _: str(TEXTS["units"][unit]),
}
"""How a figure is written.

"length" is exact on the ruler or says so, "nearest" is the ruler's nearest mark, "wound" is thread as it is sold;
"names" stand with commas, "quoted" is the first few of them between backticks; "both" is a part of the width and one of
the height; "joined" and "or" hold notices, "notice" holds one; "units" is a
kind of unit.
"""


class _Writer(Formatter):
    """Fills in figures; "percent" is a part of one in hundredths, with a format of its own after a comma."""

    def __init__(self, system: System) -> None:
        self.system = system

    def format_field(self, value: Any, format_spec: str) -> str:
        how, _, more = format_spec.partition(",")
        if how == "percent":
            return write_decimal(format(100 * value, more or "g"))
        if how in WRITERS:
            return WRITERS[how](value, self.system)
        said = format(value, format_spec)
        return write_decimal(said) if isinstance(value, float) else said
