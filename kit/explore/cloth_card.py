"""The card of one cloth beside the picture: its colour, its photograph, what it changes places with, what it lacks."""

import re
from collections.abc import Callable
from copy import deepcopy
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.explore.typed_lengths import read_typed
from kit.lengths import write_exact
from kit.model.pattern import Sketch
from kit.model.pictures import LARGEST_FILE, PICTURE_WIDTH, read_cloth
from kit.pipeline import make_sketch
from kit.study import study_from_keys
from kit.study.quilt_folder import make_folder

KeyValues = dict[str, Any]

STYLE, WIDE, SHORT = {"description_width": "130px"}, widgets.Layout(width="330px"), widgets.Layout(width="210px")
TURNS = [("as it was taken", 0), ("a quarter to the left", 90), ("upside down", 180), ("a quarter to the right", 270)]


class ClothCard(widgets.VBox):
    """The chosen fabric: nothing is shown until one is chosen.

    Parameters
    ----------
    keys
        Returns the keys of the study; its fabrics and pins are changed in place.
    sketch
        Returns the last sketch of these keys.
    changed
        Called after each change.
    attempt
        Does an action and says what went wrong.
    place
        Takes the folder of the pictures from now on; called without one it returns it, None where there is none.
    """

    def __init__(
        self, keys: Callable[[], KeyValues], sketch: Callable[[], Sketch], changed: Callable[[], None],
        attempt: Callable[[Callable[[], Any]], bool], place: Callable[..., Path | None],
    ) -> None:  # fmt: skip
        super().__init__()
        self.add_class("seamproof-cloth-card")
        self._keys, self._sketch, self._changed, self._attempt, self._place = keys, sketch, changed, attempt, place
        self.name, self.patch, self._quiet = "", "", False
        self.said = widgets.HTML()
        self.colour = widgets.ColorPicker(description="Colour", style=STYLE, layout=WIDE)
        self.photo = widgets.FileUpload(accept=".png,.jpg,.jpeg,.webp", description="Photo of the cloth")
        self.photo.layout.width = "190px"
        self.shows = widgets.Text(description="Photo shows, across", continuous_update=False, style=STYLE, layout=WIDE)
        self.turn = widgets.Dropdown(description="Photo turned", options=TURNS, style=STYLE, layout=WIDE)
        self.mirrored = widgets.Checkbox(description="Lay mirror images beside it", indent=False, layout=WIDE)
        self.other = widgets.Dropdown(description="Another cloth", style=STYLE, layout=WIDE)
        self.buttons = {
            name: widgets.Button(description=name, tooltip=tip, layout=SHORT)
            for name, tip in (
                ("Put it on this patch", "This patch alone is of the other cloth from now on"),
                ("Swap the two cloths", "Each takes all the places of the other"),
                ("Take the photo away", "Show the plain colour again"),
                ("Add what is missing", "As many strips, or as long a piece, as the quilt needs"),
            )
        }
        for (name, button), act in zip(
            self.buttons.items(), (self.give, self.swap, self.take_away, self.add_missing), strict=True
        ):
            button.add_class(f"seamproof-{name.split()[0].lower()}")
            button.on_click(lambda _, act=act: self._attempt(act))
        self.colour.observe(lambda change: self._put("colour", change["new"]), names="value")
        self.shows.observe(lambda change: self._attempt(lambda: self._put_width(change["new"])), names="value")
        self.turn.observe(lambda change: self._put("picture_turn", change["new"] or None), names="value")
        self.mirrored.observe(lambda change: self._put("picture_mirrored", change["new"] or None), names="value")
        self.photo.observe(lambda _: self._attempt(self.take_photo), names="value")

    def choose(self, name: str, patch: str = "") -> None:
        """Show the card of a fabric, chosen by itself or by one of its patches."""
        self.name, self.patch = name, patch
        self.follow()

    def follow(self) -> None:
        """Show what the keys hold of the chosen fabric."""
        fabric = self._find(self.name)
        if fabric is None:
            self.name, self.children = "", ()
            return
        self._quiet = True
        sketch, others = self._sketch(), [one["name"] for one in self._keys()["fabric"] if one["name"] != self.name]
        count = sketch.colouring.uses.get(self.name, 0)
        here = f"; patch {self.patch}" if self.patch else ""
        self.said.value = (
            f'<div role="status"><b>{escape(self.name)}</b>: {escape(fabric["slot"])}, {count} patches{escape(here)}'
            "</div>"
        )
        self.colour.value = fabric.get("colour", "#888888")
        self.shows.value = fabric.get("picture_width") or write_exact(PICTURE_WIDTH, sketch.study.measures.system)
        self.turn.value = fabric.get("picture_turn", 0)
        self.mirrored.value = fabric.get("picture_mirrored", False)
        if tuple(self.other.options) != tuple(others):
            self.other.options = others
            self.other.value = others[0] if others else None
        self._quiet = False
        give, swap, away, add = self.buttons.values()
        pictured = (self.shows, self.turn, self.mirrored, away) if "picture" in fabric else ()
        acts = [*([give] if self.patch else []), *([swap] if others else []), *([add] if self._list_short() else [])]
        row = widgets.HBox(acts, layout=widgets.Layout(flex_flow="row wrap"))
        self.children = (self.said, self.other, row, self.colour, self.photo, *pictured)

    # ---- what is done ------------------------------------------------------------------------------------------

    def give(self) -> None:
        """Put the other cloth on the chosen patch.

        Raises
        ------
        KitError
            A cloth of another slot.
        """
        other, here = self._find(self.other.value), self._find(self.name)
        if other is None or here is None or not self.patch:
            return
        if other["slot"] != here["slot"]:
            raise KitError(
                f"`{other['name']}` is for {other['slot']}, and this patch is of {here['slot']}",
                needed="cloth of one role", do="swap the two cloths, or add a fabric of that role",
            )  # fmt: skip
        self._keys().setdefault("colouring", {}).setdefault("pins", {})[self.patch] = other["name"]
        self.name = other["name"]
        self._changed()

    def swap(self, one: str = "", other: str = "") -> None:
        """Let two fabrics change places: each takes the slot, the patches and the pins of the other."""
        names = (one or self.name, other or str(self.other.value))
        keys = self._keys()
        fabrics = keys["fabric"]
        places = [number for name in names for number, fabric in enumerate(fabrics) if fabric["name"] == name]
        if len(places) < 2 or places[0] == places[1]:
            return
        a, b = (deepcopy(fabrics[place]) for place in places)
        for held in ("slot", "limit"):
            values = a.pop(held, None), b.pop(held, None)
            a |= {} if values[1] is None else {held: values[1]}
            b |= {} if values[0] is None else {held: values[0]}
        fabrics[places[0]], fabrics[places[1]] = b, a
        pins = keys.get("colouring", {}).get("pins", {})
        swapped = dict(zip(names, reversed(names), strict=True))
        pins.update({patch: swapped.get(name, name) for patch, name in pins.items()})
        self._changed()

    def take_photo(self) -> None:
        """Take the photograph that was dropped in: its mean colour, and its picture in the patches.

        Raises
        ------
        KitError
            A file that is not a picture, or too large; nothing changes.
        """
        fabric = self._find(self.name)
        if not self.photo.value or fabric is None:
            return
        (chosen, *_) = self.photo.value
        self.photo.value = ()
        folder, data = make_folder(), bytes(chosen["content"])
        if len(data) > LARGEST_FILE:
            raise KitError(
                f"{chosen['name']} has {len(data) / 1e6:.0f} megabytes", needed="at most 20", do="save it smaller"
            )
        name = _write_new(folder, str(chosen["name"]), data)
        try:
            cloth = read_cloth(folder, name)
        except KitError:
            (folder / name).unlink()
            raise
        self._bring_pictures(folder)
        fabric |= {"picture": name, "colour": cloth.colour, "spread": cloth.spread}
        self._changed()

    def take_away(self) -> None:
        """Show the plain colour again."""
        fabric = self._find(self.name)
        if fabric is not None:
            for key in ("picture", "picture_width", "picture_turn", "picture_mirrored", "spread"):
                fabric.pop(key, None)
            self._changed()

    def add_missing(self) -> None:
        """Give each fabric of the chosen one's slot that is short as much as the quilt needs."""
        short = self._list_short()
        free, freed = deepcopy(self._keys()), {}
        for fabric in free["fabric"]:
            if fabric["name"] in short:
                freed[fabric["name"]] = fabric.pop("count" if "count" in fabric else "length", None)
        needed = make_sketch(study_from_keys(free, place="This quilt", folder=self._place())).cutting.cloths
        system = self._sketch().study.measures.system
        for plan in needed:
            fabric = self._find(plan.supply.fabric or "")
            if fabric is not None and fabric["name"] in freed:
                if "count" in fabric:
                    fabric["count"] = max(int(plan.used), int(fabric["count"]))
                else:
                    fabric["length"] = write_exact(plan.as_bought, system)
        self._changed()

    # ---- what it needs -----------------------------------------------------------------------------------------

    def _find(self, name: str | None) -> KeyValues | None:
        return next((fabric for fabric in self._keys()["fabric"] if fabric["name"] == name), None)

    def _list_short(self) -> set[str]:
        """Return the fabrics of the chosen one's slot whose cloth does not last."""
        fabric = self._find(self.name)
        cloths = self._sketch().cutting.cloths
        return {
            plan.supply.fabric or ""
            for plan in cloths
            if plan.short and fabric is not None and plan.supply.slot == fabric["slot"]
        }

    def _put(self, key: str, value: Any) -> None:
        fabric = self._find(self.name)
        if self._quiet or fabric is None or fabric.get(key) == value:
            return
        if value is None:
            fabric.pop(key, None)
        else:
            fabric[key] = value
        self._changed()

    def _put_width(self, text: str) -> None:
        if not self._quiet:
            self._put("picture_width", read_typed(text, self._sketch().study.measures.system)[1])

    def _bring_pictures(self, folder: Path) -> None:
        """Copy the pictures that the study has already to the folder that holds them from now on."""
        before = self._place()
        for fabric in self._keys()["fabric"] if before is not None and before != folder else ():
            source = before / fabric["picture"] if before is not None and "picture" in fabric else None
            if source is not None and source.is_file() and not (folder / fabric["picture"]).exists():
                (folder / fabric["picture"]).parent.mkdir(parents=True, exist_ok=True)
                (folder / fabric["picture"]).write_bytes(source.read_bytes())
        self._place(folder)


def _write_new(folder: Path, name: str, data: bytes) -> str:
    """Write a picture beside the quilts, under a name that no other has; return its path from the folder."""
    (folder / "fabrics").mkdir(exist_ok=True)
    plain = re.sub(r"[^\w.-]+", "-", Path(name).name).strip(".-") or "cloth"
    found, number = plain, 2
    while (folder / "fabrics" / found).exists() and (folder / "fabrics" / found).read_bytes() != data:
        found, number = f"{Path(plain).stem}-{number}{Path(plain).suffix}", number + 1
    (folder / "fabrics" / found).write_bytes(data)
    return f"fabrics/{found}"
