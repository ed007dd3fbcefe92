"""The quilt as a sentence whose numbers can be moved: by arrow keys, by typing in any notation, by small buttons.

The numbers are the quantities of the controls: they read the same keys, send what they are given the same way, and so
have the same history.
"""

from collections.abc import Callable, Sequence
from contextlib import suppress
from html import escape
from math import ceil, floor

import ipywidgets as widgets

from kit.errors import KitError, LengthError
from kit.explore.controls import NOISE, Changed, FileKeys
from kit.explore.quantities import Quantity, is_shown, read_held, read_value
from kit.explore.typed_lengths import UNIT, read_typed
from kit.lengths import CM, System, read_length, write_exact

SENTENCES: dict[str, tuple[tuple[str, str, str], ...]] = {
    "braid": (("A quilt of", "columns", "columns,"), ("", "pairs", "pairs in each,"), ("", "length_finished", "long,"),
              ("from strips cut", "strip_cut", ","), ("columns finished", "column_finished", "wide.")),
    "log cabin": (("A quilt of", "columns", "by"), ("", "rows", "blocks,"), ("", "rounds", "rounds of logs"),
                  ("of", "log_finished", "finished"), ("about a centre of", "centre_finished", ".")),
    "strips": (("A quilt of", "columns", "by"), ("", "rows", "blocks, from strips cut"), ("", "strip_cut", ".")),
    "turned frame": (("A quilt of", "columns", "by"), ("", "rows", "turned frames: centres of"),
                     ("", "centre_finished", ""), ("and panels of", "panel_finished", ", finished.")),
    "grid blocks": (("A quilt of", "columns", "by"), ("", "rows", "blocks, of cells that finish"),
                    ("", "cell_finished", ".")),
    "flying geese": (("A quilt of", "columns", "by"), ("", "rows", "flights of"), ("", "geese", "geese, each finished"),
                     ("", "goose_finished", "high.")),
    "square in square": (("A quilt of", "columns", "by"), ("", "rows", "blocks of"),
                         ("", "block_finished", "finished,"), ("with", "rounds", "rounds of triangles.")),
    "eight-pointed star": (("A quilt of", "columns", "by"), ("", "rows", "stars of"),
                           ("", "block_finished", "finished.")),
    "chevron": (("A quilt of", "columns", "by"), ("", "rows", "pairs of columns,"), ("", "strips", "strips in each,"),
                ("from strips cut", "strip_cut", ","), ("columns finished", "column_finished", "wide.")),
    "bargello": (("A quilt of", "columns", "by"), ("", "rows", "panels,"), ("", "loops", "repeats of strips cut"),
                 ("", "strip_cut", ".")),
    "sixty degrees": (("A quilt of", "columns", "by"), ("", "rows", "panels, each"), ("", "across", "shapes in"),
                      ("", "down", "lines, edges finished"), ("", "edge_finished", ".")),
    "pinwheel": (("A quilt of", "columns", "by"), ("", "rows", "pinwheels of"), ("", "block_finished", "finished.")),
    "whirl": (("A quilt of", "columns", "by"), ("", "rows", "whirls: centres of"), ("", "centre_finished", ""),
              ("and rectangles of", "rectangle_finished", ", finished.")),
    "string panels": (("A quilt of", "columns", "by"), ("", "rows", "panels of"), ("", "panel_finished", "finished.")),
    "lines": (("A quilt of", "columns", "by"), ("", "rows", "drawings, squares of the grid finished"),
              ("", "grid_finished", ".")),
    "outlines": (("A quilt of", "columns", "by"), ("", "rows", "drawings.")),
}  # fmt: skip
"""Of each family the words before a number, the last step of its place in the keys, and the words after it."""
PUNCTUATION = (",", ".")
CLOSE = ' class="seamproof-close"'
MOST = 6
"""Figures of a count."""
KEYS = (
    "<style onload=\"const box = this.closest('.seamproof-sentence-box'); box && box.addEventListener('keydown', e => {"
    " const way = {ArrowUp: '.seamproof-more', ArrowDown: '.seamproof-less'}[e.key];"
    " const held = e.target.closest('.seamproof-number'); if (!way || !held || !e.target.matches('input')) return;"
    " e.preventDefault(); e.stopPropagation(); e.target.dispatchEvent(new Event('change', {bubbles: true}));"
    ' held.querySelector(way).click(); });">/* keys */</style>'
)
"""Arrows up and down in a number press its small buttons; what was typed before is taken first."""


class MovedNumber(widgets.HBox):
    """One number of a sentence, with the words on both sides of it.

    Parameters
    ----------
    quantity
        What it sets: a count or a length.
    words
        Those before it and after it.
    system
        Of the study.
    changed
        Called with the quantity and its value for the study file.
    refuse
        Called with the reason why something that was typed is not a count.

    Attributes
    ----------
    field, less, more
        The number itself and its small buttons.
    """

    def __init__(
        self,
        quantity: Quantity,
        words: tuple[str, str],
        system: System,
        changed: Changed,
        refuse: Callable[[str], None],
    ) -> None:
        self.quantity, self._system, self._changed, self._refuse = quantity, system, changed, refuse
        self._quiet, self._held = False, 0.0
        kind = "a whole number" if quantity.kind == "count" else f"a length; a number alone is in {UNIT[system]}"
        self.field = widgets.Text(continuous_update=False, layout=widgets.Layout(width="76px"))
        self.field.tooltip = f"{quantity.label}: type {kind}, or press the arrows up and down"
        self.less, self.more = self._make_step("−", -1), self._make_step("+", 1)
        before, after = (
            widgets.HTML(f"<span{CLOSE if text[:1] in PUNCTUATION else ''}>{escape(text)}</span>") for text in words
        )
        super().__init__([before, self.less, self.field, self.more, after])
        self.add_class("seamproof-number")
        self.field.observe(self._write, names="value")

    def _make_step(self, sign: str, way: int) -> widgets.Button:
        button = widgets.Button(description=sign, layout=widgets.Layout(width="26px"))
        button.tooltip = f"{'More' if way > 0 else 'Less'}: {self.quantity.label}"
        button.add_class("seamproof-more" if way > 0 else "seamproof-less")
        button.on_click(lambda _: self.step(way))
        return button

    def follow(self, keys: FileKeys) -> None:
        """Show what the keys hold."""
        self.layout.display = None if is_shown(self.quantity, keys) else "none"
        self._quiet = True
        if self.quantity.kind == "count":
            self._held = int(read_value(self.quantity, keys))
            self.field.value = str(self._held)
        else:
            self._follow_length(read_held(self.quantity, keys))
        self._quiet = False

    def _follow_length(self, text: str | None) -> None:
        if text is None:
            self._held = float(self.quantity.first)
            if self.quantity.optional:
                self.layout.display = "none"
        else:
            try:
                self._held = read_length(text, zero_allowed=True)
            except LengthError:  # written by hand a moment ago, and refused
                self.field.value = str(text)
                return
        self.field.value = write_exact(self._held, self._system) if self._held else "0"

    def step(self, way: int) -> None:
        """Go to the next number up or down: the next count, or the next step of the ruler."""
        quantity = self.quantity
        if quantity.kind == "count":
            value = int(self._held) + way
            if value >= quantity.low:
                self._changed(quantity, value)
            return
        scale, step = (1 / CM, 0.1) if self._system == "metric" else (1.0, quantity.step)
        place = self._held * scale / step
        stop = (floor(place + NOISE) + 1 if way > 0 else ceil(place - NOISE) - 1) * step
        if stop >= quantity.low * scale - NOISE and stop > 0:
            self._changed(quantity, f"{stop:.6f}".rstrip("0").removesuffix(".") + f" {UNIT[self._system]}")

    def _write(self, change: dict[str, str]) -> None:
        if self._quiet:
            return
        text = change["new"].strip()
        if self.quantity.kind == "count":
            self._write_count(text)
            return
        with suppress(LengthError):  # the study refuses it in words
            _, text = read_typed(text, self._system)
        self._changed(self.quantity, text)

    def _write_count(self, text: str) -> None:
        if text.isdecimal() and len(text) <= MOST:
            self._changed(self.quantity, int(text))
            return
        told = KitError(f"{self.quantity.label}: `{text:.40}` is not a count", needed="a whole number",
                        do="write for instance 3")  # fmt: skip
        self._quiet = True
        self.field.value = str(self._held)
        self._quiet = False
        self._refuse(str(told))


class NumberSentence(widgets.HBox):
    """A sentence of the quantities of a design.

    Parameters
    ----------
    quantities
        Of the design, as the controls have them.
    family
        Its family; of a study of units each number is told by its label.
    system, changed, refuse
        As for `MovedNumber`.

    Attributes
    ----------
    numbers
        In the order of the sentence.
    """

    def __init__(
        self, quantities: Sequence[Quantity], family: str, system: System, changed: Changed,
        refuse: Callable[[str], None],
    ) -> None:  # fmt: skip
        by_key = {quantity.path[-1]: quantity for quantity in quantities if quantity.path[0] == "design"}
        parts = [(before, by_key[key], after) for before, key, after in SENTENCES.get(family, ()) if key in by_key]
        if family not in SENTENCES:
            plain = [quantity for quantity in quantities if quantity.kind in ("count", "length")]
            parts = [(f"{quantity.label}", quantity, "." if n == len(plain) else ",") for n, quantity in
                     enumerate(plain, start=1)]  # fmt: skip
        self.numbers = [
            MovedNumber(quantity, (before, after), system, changed, refuse) for before, quantity, after in parts
        ]
        super().__init__([*self.numbers, widgets.HTML(KEYS, layout=widgets.Layout(display="none"))])
        self.add_class("seamproof-sentence-box")

    def follow(self, keys: FileKeys) -> None:
        """Show what the keys hold."""
        for number in self.numbers:
            number.follow(keys)
