"""The errors that a user's input can cause, each in three parts: what was found, what is needed, what to do."""

LIMIT = 600
"""Characters: a longer part of a message is shortened."""


class KitError(Exception):
    """The base of every error that a user's input can cause.

    Parameters
    ----------
    found
        What was found: the value, its unit, and the id or key of its place.
    needed
        What was needed instead.
    do
        What to do about it, as an instruction.

    Examples
    --------
    >>> print(KitError("the strip is cut 1/2 in wide", needed="more than two allowances", do="widen it"))
    The strip is cut 1/2 in wide. Needed: more than two allowances. Widen it.
    """

    def __init__(self, found: str, *, needed: str = "", do: str = "") -> None:
        self.found, self.needed, self.do = (_one_line(part) for part in (found, needed, do))
        super().__init__(self._sentence())

    def _sentence(self) -> str:
        parts = [_capital(self.found)]
        if self.needed:
            parts.append(f"Needed: {self.needed}")
        if self.do:
            parts.append(_capital(self.do))
        return " ".join(part if part.endswith("?") else part.rstrip(".") + "." for part in parts)

    def with_place(self, place: str) -> "KitError":
        """Return the same error with the place (a file, a key) put in front of what was found."""
        return type(self)(f"{place}: {self.found}", needed=self.needed, do=self.do)

    def __reduce__(self) -> "tuple[object, tuple[object, ...]]":
        return _rebuild, (type(self), self.found, self.needed, self.do)

    def _render_traceback_(self) -> list[str]:
        """Tell IPython to show the sentence and no traceback."""
        return [f"{type(self).__name__}: {self}"]


class LengthError(KitError):
    """Not a length, or a length outside the range that cloth allows."""


class StudyError(KitError):
    """A study file that cannot be read as a study."""


class PatchworkError(KitError):
    """Patches that do not make a top: gaps, overlaps, crossing outlines, edges too short to sew."""


class NoPlanError(KitError):
    """A sound design without a plan of the wanted kind."""


STILL = (
    "report this study: nothing is written of it, but its design, colours and pieces are still shown by the explorer, "
    "and a change of the key that the sentence names may give a plan that holds"
)
"""What to do about a plan that its own check refuses in every way."""


class CheckError(KitError):
    """A plan refused by its own check; the message names the patch or step and both figures."""


def _rebuild(kind: type[KitError], found: str, needed: str, do: str) -> KitError:
    return kind(found, needed=needed, do=do)


def _one_line(text: str) -> str:
    """Keep a message short and on one line, whatever the study file holds."""
    shown = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in " ".join(text.split()))
    return shown if len(shown) <= LIMIT else shown[: LIMIT - 20] + " ... (shortened)"


def _capital(text: str) -> str:
    """Begin a sentence with a capital, but leave the name of a file or key as it is."""
    first = text.split(" ", 1)[0].rstrip(":,;.")
    return text if "." in first else text[:1].upper() + text[1:]
