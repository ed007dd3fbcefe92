"""The answer to a quick sum: it shows itself in words, with its working, its assumptions and a picture."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from html import escape
from types import MappingProxyType
from typing import TypeAlias

from kit.errors import KitError
from kit.lengths import System
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.svg import write_image, write_svg

Figure: TypeAlias = float | int | bool | str | tuple[float, ...]
"""A number: inches where it is a length, or a count, a part or an amount of money; several of them; or a word."""
PIXELS = 340.0
"""Width of a picture on a screen, pixels."""
_STYLE = (
    "max-width:640px;border:1px solid #c9c2b6;border-radius:6px;padding:10px 14px;margin:4px 0;line-height:1.4;"
    "background:#fffdf8;color:#26221f"
)


@dataclass(frozen=True)
class SumAnswer:
    """The answer to one question.

    Attributes
    ----------
    asked
        The question as it was understood.
    says
        The answer in sentences, the most important first.
    working
        How it follows, line by line.
    assumes
        What was taken for granted.
    figures
        Name -> figure: inches, counts, parts; also `answer["name"]`.
    system
        In which lengths are written.
    drawing
        Its picture; None where there is nothing to see.
    """

    asked: str
    says: tuple[str, ...]
    working: tuple[str, ...] = ()
    assumes: tuple[str, ...] = ()
    figures: Mapping[str, Figure] = field(default_factory=dict)
    system: System = "inch"
    drawing: Drawing | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "figures", MappingProxyType(dict(self.figures)))

    def __getitem__(self, name: str) -> Figure:
        """Return the figure of a name.

        Raises
        ------
        KitError
            No figure of that name.
        """
        if name not in self.figures:
            raise KitError(
                f"this answer has no figure `{name!s:.40}`",
                needed="one of its own",
                do=f"take {', '.join(self.figures)}",
            )
        return self.figures[name]

    @property
    def svg(self) -> str:
        """The picture as SVG text, empty without one."""
        return write_svg(self.drawing, width=PIXELS) if self.drawing else ""

    def __str__(self) -> str:
        lines = [self.asked, *(f"  {line}" for line in self.says)]
        for head, part in (("Working", self.working), ("Assumed", self.assumes)):
            lines += [f"{head}:", *(f"  {line}" for line in part)] if part else []
        return "\n".join(lines).replace("\N{NO-BREAK SPACE}", " ")

    def __repr__(self) -> str:
        return str(self)

    def _repr_html_(self) -> str:
        """Return the answer as one card; every text is escaped."""
        parts = [f'<div class="seamproof-sum" style="{_STYLE}"><div style="color:#5b544a">{escape(self.asked)}</div>']
        parts += [
            f'<div style="{"font-size:1.15em;font-weight:600" if not number else ""}">{escape(line)}</div>'
            for number, line in enumerate(self.says)
        ]
        if self.drawing:
            left, bottom, right, top = self.drawing.box
            wide = PIXELS * min(1.0, 1.2 * (right - left) / (top - bottom))
            parts.append(f'<div style="margin:8px 0">{write_image(self.drawing, width=wide)}</div>')
        for head, lines in (("Working", self.working), ("Assumed", self.assumes)):
            if lines:
                listed = "".join(f"<li>{escape(line)}</li>" for line in lines)
                parts.append(
                    f'<div style="margin-top:4px"><b>{head}</b></div><ul style="margin:0 0 4px 0">{listed}</ul>'
                )
        return "".join([*parts, "</div>"])
