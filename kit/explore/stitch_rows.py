"""The ways of stitching on screen: for each wish its place, way, spacing and thread."""

from collections.abc import Callable, Sequence
from math import cos, pi, sin
from typing import Any

import ipywidgets as widgets

from kit.explore.controls import make_control
from kit.explore.quantities import Quantity
from kit.lengths import System
from kit.model.quilting_wishes import WAYS, find_usual_quilting
from kit.output.words.quilting_words import WAY_NAMES

KeyValues = dict[str, Any]
Corners = tuple[tuple[float, float], ...]

SPACED = {
    "outline": "From the edge", "motif": "From the edge", "serpentine": "Half a wave", "loops": "Loop to loop",
    "pebbles": "Across a pebble", "clamshells": "Half a shell", "feathers": "Along a plume's foot",
    "leaves": "Leaf and hook", "cable": "Two thirds of a link", "chain": "Two thirds of a link",
    "drawn line": "Half its height",
}  # fmt: skip
"""The name of the spacing if it is not the distance from one line to the next."""
UNSPACED = ("ditch", "corner curves")
ANGLED = ("grid", "crosshatch")
WHOLE = ("ditch", "corner curves")
"""Ways for seams or single patches: touching patches cannot be one region for them."""
WITHIN = {"area": "the whole of it", "inside": "inside the lines above", "around": "around the lines above"}
TURNS = {(1, 1): "every one", (1, 2): "first, third ...", (2, 2): "second, fourth ..."}
OWN = "as in the study"
LABEL = {"description_width": "130px"}


def _stretch(least: int) -> widgets.Layout:
    """Return the layout for all the room available, at least this many pixels."""
    return widgets.Layout(flex=f"1 1 {least}px", width="auto", min_width=f"{least}px")


def _span() -> widgets.Layout:
    """Return the layout of a field that has a line of a row to itself."""
    return widgets.Layout(width="auto", min_width="120px")


def _draw_petals(count: int) -> Corners:
    turns = [2 * pi * k / (6 * count) for k in range(6 * count)]
    return tuple((round((1 + 0.4 * cos(count * t)) * cos(t), 3), round((1 + 0.4 * cos(count * t)) * sin(t), 3))
                 for t in turns)  # fmt: skip


MOTIFS: dict[str, Corners] = {
    "leaf": ((0, 0), (3, 0.5), (6, 3), (8, 8), (3, 6), (0.5, 3)),
    "drop": ((4, 0), (7, 2), (7, 5), (5, 7), (4, 11), (3, 7), (1, 5), (1, 2)),
    "four points": ((0, 0), (2, 1), (4, 0), (3, 2), (4, 4), (2, 3), (0, 4), (1, 2)),
    "four petals": _draw_petals(4),
    "five petals": _draw_petals(5),
}
"""First closed curves, our own; a study may hold any other."""
DRAWN: dict[str, Corners] = {
    "ripple": ((0, 0), (1, 1), (2, 1.6), (3, 1), (4, 0), (5, -1), (6, -1.6), (7, -1), (8, 0)),
    "wave and loop": (
        (0, 0), (2, 0), (4, 1), (5.2, 3), (4.4, 4.6), (2.8, 4.2), (2.8, 2.4), (4.4, 1), (6.6, 0.2), (9, 0),
    ),
}  # fmt: skip
"""First open lines from left to right, our own; a study may hold any other."""

FIGURES = {"motif": MOTIFS, "drawn line": DRAWN}


class StitchRows(widgets.VBox):
    """The [[quilting.stitch]] tables of a study as rows for changing, adding and removing.

    Parameters
    ----------
    stitches
        The tables; the list is changed in place.
    parts
        The possible parts of a wish: "top", slots, names of patches.
    system
        "inch" or "metric", for writing lengths.
    changed
        Called after each change.
    """

    def __init__(
        self, stitches: list[KeyValues], parts: Sequence[str], system: System, changed: Callable[[], None]
    ) -> None:
        super().__init__()
        self._stitches, self._parts, self._system, self._changed = stitches, list(parts), system, changed
        self._add = widgets.Button(description="Add a way of stitching", icon="plus")
        self._add.layout = widgets.Layout(width="220px")
        self._add.on_click(lambda _: self._append())
        self._fill()

    def _append(self) -> None:
        """Add echo lines to the first part without its own wish."""
        named = {stitch["where"] for stitch in self._stitches}
        free = [part for part in self._parts if part not in named]
        spacing = "1.25 cm" if self._system == "metric" else "1/2 in"
        self._stitches.append({"where": (free or self._parts)[0], "way": "echo", "spacing": spacing})
        self._fill()
        self._changed()

    def _remove(self, stitch: KeyValues) -> None:
        self._stitches[:] = [other for other in self._stitches if other is not stitch]
        self._fill()
        self._changed()

    def _fill(self) -> None:
        self.children = (*(self._make_row(stitch) for stitch in self._stitches), self._add)

    def _put(self, stitch: KeyValues, key: str, value: Any) -> None:
        stitch.pop(key, None)
        if value is not None:
            stitch[key] = value
        if key == "way":
            self._suit(stitch)
            self._fill()
        self._changed()

    def _suit(self, stitch: KeyValues) -> None:
        """Remove the keys that a new way does not need, and add those that it does."""
        way = stitch["way"]
        if way in WHOLE:
            stitch.pop("together", None)
        if way not in ANGLED:
            stitch.pop("angle", None)
        if way != "echo":
            stitch.pop("rounds", None)
        stitch.pop("motif", None)
        if way in FIGURES:
            stitch["motif"] = [list(corner) for corner in next(iter(FIGURES[way].values()))]

    def _make_row(self, stitch: KeyValues) -> widgets.VBox:
        usual = find_usual_quilting(self._system).stitchings[0]
        parts = list(dict.fromkeys([stitch["where"], *self._parts]))
        named = [("the whole top" if part == "top" else part, part) for part in self._parts if part in parts]
        named += [(part, part) for part in parts if part not in self._parts]
        where = widgets.Dropdown(options=named, value=stitch["where"], layout=_stretch(124))
        where.tooltip = "Where: the whole top, or one part of it"
        ways = [(WAY_NAMES[way], way) for way in WAYS]
        way = widgets.Dropdown(options=ways, value=stitch["way"], layout=_stretch(110))
        way.tooltip = "Way of stitching"
        colour = stitch.get("colour", usual.colour)
        thread = widgets.ColorPicker(value=colour, concise=True, layout=widgets.Layout(flex="0 0 36px", width="36px"))
        thread.tooltip = "Colour of the thread"
        out = widgets.Button(icon="trash", layout=widgets.Layout(flex="0 0 40px"))
        out.tooltip = f"Take out the {WAY_NAMES[stitch['way']]} on {stitch['where']}"
        for key, control in (("where", where), ("way", way), ("colour", thread)):
            control.observe(lambda change, key=key: self._put(stitch, key, change["new"]), names="value")
        out.on_click(lambda _: self._remove(stitch))
        head = widgets.HBox([thread, where, way, out], layout=widgets.Layout(flex_flow="row wrap"))
        frame = widgets.Layout(border_left="3px solid #d8d2c8", margin="4px 0 8px 0", padding="0 0 0 4px")
        return widgets.VBox([head, *self._make_more(stitch, usual.spacing)], layout=frame)

    def _make_more(self, stitch: KeyValues, first: float) -> list[widgets.Widget]:
        """Return the further controls for the way of a row."""
        made: list[widgets.Widget] = []
        way = stitch["way"]
        if way not in UNSPACED:
            label = SPACED.get(way, "Between lines")
            spacing = Quantity(("spacing",), label, "length", 0.25, 4, 0.125, first=first)
            control = make_control(spacing, stitch, self._system, lambda _, value: self._put(stitch, "spacing", value))
            control.slider.continuous_update = False
            control.slider.layout, control.slider.style = _stretch(120), LABEL
            made.append(control)
        if way in ANGLED:
            held = float(stitch.get("angle", 45))
            angle = widgets.BoundedFloatText(
                value=held, min=min(-90.0, held), max=max(90.0, held), step=5, description="Degrees from level",
                style=LABEL, layout=_span(),
            )  # fmt: skip
            angle.observe(lambda change: self._put(stitch, "angle", float(change["new"])), names="value")
            made.append(angle)
        if way in FIGURES:
            made.append(self._make_motif(stitch))
        if way == "echo":
            rounds = widgets.BoundedIntText(
                value=int(stitch.get("rounds", 0)), min=0, max=1000, description="Lines (0: all)", style=LABEL,
                layout=_span(),
            )  # fmt: skip
            rounds.observe(lambda change: self._put(stitch, "rounds", change["new"] or None), names="value")
            made.append(rounds)
        if way != "ditch":
            made += self._make_share(stitch)
        if way not in WHOLE and stitch["where"] != "top":
            whole = widgets.Checkbox(
                value=bool(stitch.get("together")), description="Touching patches are one region", indent=False
            )
            whole.observe(lambda change: self._put(stitch, "together", change["new"] or None), names="value")
            made.append(whole)
        return made

    def _make_share(self, stitch: KeyValues) -> list[widgets.Widget]:
        """Return the controls of which part of each area, and which of the areas, a row takes."""
        made: list[widgets.Widget] = []
        if any(other["where"] == stitch["where"] for other in self._stitches[: self._stitches.index(stitch)]):
            within = widgets.Dropdown(
                options=[(told, key) for key, told in WITHIN.items()], value=stitch.get("within", "area"),
                description="Of each area", style=LABEL, layout=_span(),
            )  # fmt: skip
            within.observe(
                lambda change: self._put(stitch, "within", None if change["new"] == "area" else change["new"]),
                names="value",
            )
            made.append(within)
        held = stitch.get("turn", 1), stitch.get("turns", 1)
        options = [(told, key) for key, told in TURNS.items()]
        options += [] if held in TURNS else [(f"{held[0]} of every {held[1]}", held)]
        taken = widgets.Dropdown(options=options, value=held, description="Of the areas", style=LABEL, layout=_span())

        def put(change: dict[str, Any]) -> None:
            for key, value in zip(("turn", "turns"), change["new"], strict=True):
                stitch.pop(key, None)
                if value != 1:
                    stitch[key] = value
            self._changed()

        taken.observe(put, names="value")
        return [*made, taken]

    def _make_motif(self, stitch: KeyValues) -> widgets.Dropdown:
        held = tuple((float(x), float(y)) for x, y in stitch["motif"])
        figures = FIGURES[stitch["way"]]
        known = {tuple((float(x), float(y)) for x, y in corners): name for name, corners in figures.items()}
        options = [*figures] if held in known else [OWN, *figures]
        field = widgets.Dropdown(
            options=options,
            value=known.get(held, OWN),
            description="Motif" if stitch["way"] == "motif" else "Line",
            style=LABEL,
            layout=_span(),
        )

        def put(change: dict[str, Any]) -> None:
            corners = held if change["new"] == OWN else figures[change["new"]]
            self._put(stitch, "motif", [list(corner) for corner in corners])

        field.observe(put, names="value")
        return field
