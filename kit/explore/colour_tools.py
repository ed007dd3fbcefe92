"""Placing prints by hand: click a patch to pin it, give it another fabric, swap two, and ask for rules and wishes."""

from collections.abc import Callable
from html import escape
from typing import Any, get_args

import ipywidgets as widgets

from kit.model.pattern import Sketch
from kit.model.rules import Direction, Symmetry

KeyValues = dict[str, Any]

WIDE = widgets.Layout(width="390px")
STYLE = {"description_width": "178px"}
NOTHING = "–"
PLAIN: dict[str, Any] = {
    "touching": "edges", "apart": 1, "once_in_unit": False, "pairs": False, "difference": 0, "gradient": NOTHING,
    "symmetry": NOTHING, "spread": False, "no_stripes": False,
}  # fmt: skip
"""What a study says that does not name the rule or the wish."""


class ColourTools(widgets.VBox):
    """Buttons and fields for the placement of prints; they set the study's [colouring] table.

    Parameters
    ----------
    keys
        Returns the keys of the study; their "colouring" table is changed in place.
    sketch
        Returns the last sketch of these keys.
    changed
        Called after each change.
    give_up
        Called when a change could not be built: puts the keys back.
    """

    def __init__(
        self, keys: Callable[[], KeyValues], sketch: Callable[[], Sketch], changed: Callable[[], None],
        give_up: Callable[[], None],
    ) -> None:  # fmt: skip
        super().__init__()
        self.add_class("seamproof-colour-tools")
        self._keys, self._sketch, self._changed, self._give_up = keys, sketch, changed, give_up
        self._clicked: list[str] = []
        self._quiet = False
        self.said = widgets.HTML()
        self.patch = widgets.Text(description="Patch", continuous_update=False, style=STYLE, layout=WIDE)
        self.before = widgets.Text(description="Patch before it", continuous_update=False, style=STYLE, layout=WIDE)
        self.fabric = widgets.Dropdown(description="Fabric", style=STYLE, layout=WIDE)
        self.patch.observe(lambda _: self._offer_fabrics(), names="value")
        self.buttons = {
            name: widgets.Button(description=name, tooltip=tip, layout=widgets.Layout(width="190px"))
            for name, tip in (
                ("Pin it", "Keep the fabric of this patch, whatever else changes"),
                (
                    "Give it this fabric",
                    "Pin this patch to the chosen fabric; as few other patches as possible change",
                ),
                ("Swap these two", "Exchange the fabrics of the two patches and pin both"),
                ("Drop its pin", "Let this patch change again"),
                ("Drop all pins", "Let every patch change again"),
            )
        }
        for name, act in (
            ("Pin it", self.pin),
            ("Give it this fabric", self.give),
            ("Swap these two", self.swap),
            ("Drop its pin", self.drop),
            ("Drop all pins", self.drop_all),
        ):
            self.buttons[name].on_click(lambda _, act=act: act())
        self.rules = self._make_rules()
        hint = widgets.HTML("<div>Click a patch in the picture; the previous one is kept for a swap.</div>")
        rows = widgets.HBox(list(self.buttons.values()), layout=widgets.Layout(flex_flow="row wrap"))
        self.children = (hint, self.patch, self.before, self.fabric, rows, self.said, *self.rules.values())

    # ---- clicking ----------------------------------------------------------------------------------------------

    def click(self, *patches: str) -> None:
        """Take the clicked patches, the last of them last."""
        self._clicked = (self._clicked + list(patches))[-2:]
        self.before.value = self._clicked[0] if len(self._clicked) > 1 else ""
        self.patch.value = self._clicked[-1]

    def follow(self) -> None:
        """Show the rules and wishes as the keys hold them, and what is true of the patch now."""
        self._quiet = True
        table = self._table()
        for key, field in self.rules.items():
            value = table.get(key, PLAIN[key])
            if key in ("apart", "difference"):
                field.max = max(field.max, value)
            field.value = value
        self._quiet = False
        self._offer_fabrics()

    def _offer_fabrics(self) -> None:
        """Offer the fabrics of the patch's slot, and show its present fabric."""
        sketch = self._sketch()
        patch = sketch.patchwork.by_id.get(self.patch.value.strip())
        if patch is None:
            self.fabric.options = ()
            self._say(f"There is no patch `{self.patch.value}`." if self.patch.value else "")
            return
        aside = self._table().get("set_aside", [])
        self.fabric.options = [f.name for f in sketch.study.fabrics if f.slot == patch.slot and f.name not in aside]
        here = sketch.colouring.assignment[patch.id]
        if here in self.fabric.options:
            self.fabric.value = here
        pinned = " It is pinned." if patch.id in self._table().get("pins", {}) else ""
        self._say(f"{patch.id}: {here}, slot {patch.slot}.{pinned}")

    # ---- what the buttons do -----------------------------------------------------------------------------------

    def pin(self) -> None:
        """Pin the patch to its present fabric."""
        patch = self._find(self.patch)
        if patch:
            self._pin({patch: self._sketch().colouring.assignment[patch]})

    def give(self) -> None:
        """Pin the patch to the chosen fabric."""
        patch = self._find(self.patch)
        if patch and self.fabric.value:
            self._pin({patch: self.fabric.value})

    def swap(self) -> None:
        """Exchange the fabrics of the two patches and pin both."""
        one, other = self._find(self.before), self._find(self.patch)
        if not one or not other:
            return
        sketch = self._sketch()
        slots = {sketch.patchwork.by_id[patch].slot for patch in (one, other)}
        if len(slots) > 1 or one == other:
            self._say("Two patches of one slot can be swapped; click one, then the other.")
            return
        assignment = sketch.colouring.assignment
        self._pin({one: assignment[other], other: assignment[one]})

    def drop(self) -> None:
        """Drop the pin of the patch."""
        pins = dict(self._table().get("pins", {}))
        pins.pop(self.patch.value.strip(), None)
        self._put("pins", pins)

    def drop_all(self) -> None:
        """Drop every pin."""
        self._put("pins", {})

    def _find(self, field: widgets.Text) -> str | None:
        name = str(field.value).strip()
        if name in self._sketch().patchwork.by_id:
            return name
        self._say(f"There is no patch `{name}`; click one in the picture." if name else "Click a patch first.")
        return None

    def _pin(self, pins: dict[str, str]) -> None:
        self._put("pins", {**self._table().get("pins", {}), **pins}, own=frozenset(pins))

    def _put(self, name: str, value: Any, own: frozenset[str] = frozenset()) -> None:
        """Set a key of the [colouring] table, update the placement, and say how much changed."""
        last, before, table = self._sketch(), self._sketch().colouring.assignment, dict(self._table())
        table[name] = value
        kept = {key: each for key, each in table.items() if each not in (None, {}, [], False, NOTHING)}
        self._keys().pop("colouring", None)
        if kept:
            self._keys()["colouring"] = kept
        self._changed()
        if self._sketch() is last:
            self._give_up()
            self._say("That is not possible; the placement is unchanged.")
            return
        colouring = self._sketch().colouring
        moved = sum(before.get(patch) != fabric for patch, fabric in colouring.assignment.items() if patch not in own)
        wishes = "; ".join(f"{w.name}: {w.count} of {w.total} fall short" for w in colouring.wishes)
        self._say(
            f"{moved} other patches changed. Forbidden pairs: {colouring.violations} (proven least"
            f" {colouring.bound}). {wishes}"
        )

    def _table(self) -> KeyValues:
        table: KeyValues = self._keys().get("colouring", {})
        return table

    def _say(self, text: str) -> None:
        self.said.value = f'<div role="status">{escape(text)}</div>'

    # ---- rules and wishes --------------------------------------------------------------------------------------

    def _make_rules(self) -> dict[str, Any]:
        """Return a field for each rule and wish, set as in the study."""
        wide = {"style": STYLE, "layout": WIDE}

        def choose(label: str, options: list[str]) -> widgets.Dropdown:
            return widgets.Dropdown(options=options, description=label, **wide)

        def tick(label: str) -> widgets.Checkbox:
            return widgets.Checkbox(description=label, indent=False, layout=WIDE)

        fields: dict[str, Any] = {
            "touching": choose("No print twice across", ["edges", "corners"]),
            "apart": widgets.BoundedIntText(min=1, max=50, description="No repeat within steps", **wide),
            "once_in_unit": tick("Once at most in a block or column"),
            "pairs": tick("Left and right pieces as mirror pairs of one strip"),
            "difference": widgets.BoundedFloatText(
                min=0, max=100, step=1, description="Neighbours differ by at least",
                tooltip="As an eye tells colours apart (CIEDE2000): 0 is the same colour, 100 black beside white",
                style={"description_width": "238px"}, layout=WIDE,
            ),
            "gradient": choose("Dark to light", [NOTHING, *get_args(Direction)]),
            "symmetry": choose("Symmetry", [NOTHING, *get_args(Symmetry)]),
            "spread": tick("Prints far from themselves"),
            "no_stripes": tick("No three alike in a line"),
        }  # fmt: skip
        for key, field in fields.items():
            field.observe(lambda change, key=key: self._ask(key, change["new"]), names="value")
        return fields

    def _ask(self, key: str, value: Any) -> None:
        if not self._quiet:
            self._put(key, None if value == PLAIN[key] else value)
