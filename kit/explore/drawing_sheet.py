"""The drawing sheet: the keys of a drawn study, the actions on them, and the results.

Each action first puts the old keys on a pile for undo. Any drawing, good or not, is traced as far as possible:
closed patches are shown, and open places are named.
"""

from collections.abc import Callable, Sequence
from copy import deepcopy
from dataclasses import dataclass
from math import hypot
from typing import Any

from kit.designs.drawn import count_places, read_places, write_place
from kit.designs.lines import Lines, Traced
from kit.errors import KitError, NoPlanError
from kit.geometry.closing import find_holder, find_inside
from kit.geometry.outlines import Outline, Point
from kit.lengths import use_system, write_length
from kit.model.patchwork import Patch, Patchwork
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.study import Study, study_from_keys, study_keys

KeyValues = dict[str, Any]

MOST_SEWN = 80
"""The most patches of a drawing with its order of sewing found while drawing; this takes some 50 ms."""
KEPT = 200
"""The number of actions that can be undone."""


@dataclass(frozen=True)
class Followed:
    """The results of the keys.

    Attributes
    ----------
    design
        The drawing.
    traced
        Its lines and their patches; None if they cannot be read.
    slots
        The slot of each closed patch.
    troubles
        The faults that keep it from being a top, each with its place in inches or None.
    study
        The study, if there are no faults.
    seams
        The sewing, in words.
    """

    design: Lines
    traced: Traced | None
    slots: tuple[str, ...]
    troubles: tuple[tuple[str, Point | None], ...]
    study: Study | None = None
    seams: str = ""


class DrawingSheet:
    """A drawing under way.

    Attributes
    ----------
    keys
        The present keys of the study.
    shown
        The last results of the keys.
    """

    def __init__(self, study: Study) -> None:
        if not isinstance(study.design, Lines):
            raise KitError(
                f"`{study.title}` is of the family `{study.design.family}`",
                needed='a drawn study, of the family "lines"',
                do="open it with kit.explore, or draw again with kit.draw()",
            )
        self.keys: KeyValues = deepcopy(study_keys(study))
        self._pile: list[KeyValues] = []
        self.shown = self._follow()

    # ---- acts ----------------------------------------------------------------------------------------------------

    def act(self, do: Callable[[KeyValues], None]) -> None:
        """Change the keys, trace them, and keep the old keys for undo; unreadable keys are not taken.

        Raises
        ------
        KitError
            Keys that cannot be read.
        """
        before = deepcopy(self.keys)
        try:
            do(self.keys)
            self.shown = self._follow()
        except KitError:
            self.keys = before
            raise
        if self.keys != before:
            self._pile = [*self._pile[1 - KEPT :], before]

    def undo(self) -> bool:
        """Undo one action; return True if there was one."""
        if not self._pile:
            return False
        self.keys = self._pile.pop()
        self.shown = self._follow()
        return True

    def add_line(self, text: str) -> None:
        """Add a line, written as places."""
        self.put_lines([*self.lines, text])

    def draw_line(self, start: Point, end: Point, step: float) -> bool:
        """Add a line between two places in squares, each moved to the grid; return True if it has a length."""
        ends = [self.settle(place, step) for place in (start, end)]
        if ends[0] == ends[1]:
            return False
        self.add_line(" ".join(ends))
        return True

    def take_out(self, number: int) -> None:
        """Remove the line of this number, from 1."""
        self.put_lines([line for i, line in enumerate(self.lines, start=1) if i != number])

    def put_lines(self, lines: Sequence[str]) -> None:
        """Replace all lines; a new patch takes the slot of the old patch in its place."""
        old = self.shown

        def put(keys: KeyValues) -> None:
            keys["design"]["lines"] = [" ".join(line.split()) for line in lines if line.strip()]
            keys["design"].pop("slots", None)
            keys["design"].pop("grain", None)
            new = self._read(keys)
            traced = new.trace()
            self._carry_over(keys, old, new, traced)

        self.act(put)

    def give(self, index: int, slot: str) -> None:
        """Give a slot to a patch, counted from 0."""
        followed = self.shown
        if followed.traced is None or not 0 <= index < len(followed.slots):
            raise KitError(
                f"There is no patch {index + 1}", needed=f"1 to {len(followed.slots)}", do="click one in the picture"
            )
        outlines = followed.traced.closed.outlines
        slots = [slot if i == index else old for i, old in enumerate(followed.slots)]
        self.act(lambda keys: _write_slots(keys, outlines, slots, followed.design))

    def put(self, key: str, value: str) -> None:
        """Put a key of the design."""
        self.act(lambda keys: keys["design"].update({key: value}))

    # ---- what is asked of it ---------------------------------------------------------------------------------------

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines as written."""
        return tuple(self.keys["design"].get("lines", ()))

    def settle(self, place: Point, step: float) -> str:
        """Return the nearest place of the grid, or a nearer meeting of lines, for a place in squares."""
        grid = self.shown.design.grid_finished
        width, height = (side / grid for side in self.shown.design.finished)
        x, y = (min(max(round(v / step) * step, 0.0), most) for v, most in zip(place, (width, height), strict=True))
        traced = self.shown.traced
        meetings = [(a / grid, b / grid) for a, b in traced.closed.nodes] if traced else []
        best = min([(x, y), *meetings], key=lambda spot: hypot(spot[0] - place[0], spot[1] - place[1]))
        return ",".join(f"{round(value, 9) + 0.0:.12g}" for value in best)

    def _read(self, keys: KeyValues) -> Lines:
        design = study_from_keys(keys, place="This drawing").design
        assert isinstance(design, Lines)  # noqa: S101  the family is never changed here
        return design

    def _follow(self) -> Followed:
        """Trace the keys as far as possible; what is wrong is said in the lengths of the study."""
        study = study_from_keys(self.keys, place="This drawing")
        with use_system(study.measures.system):
            return self._trace(study)

    def _trace(self, study: Study) -> Followed:
        design = study.design
        assert isinstance(design, Lines)  # noqa: S101  as above
        try:
            traced = design.trace()
        except KitError as error:
            return Followed(design, None, (), ((str(error), None),))
        slots = _list_slots(design, traced.closed.outlines)
        faults = design.list_faults(traced)
        if faults:
            return Followed(design, traced, slots, tuple(faults))
        try:
            add_fabrics(self.keys, (*slots, design.fill))
            study = study_from_keys(self.keys, place="This drawing")
            block = design.make_block(study.measures.seam_allowance)
            study.make_patchwork()
        except KitError as error:
            return Followed(design, traced, slots, ((str(error), None),))
        patches = tuple(Patch(shape.key, shape.outline, shape.slot) for shape in block.shapes)
        return Followed(design, traced, slots, (), study, _say_seams(patches, study.measures.seam_allowance))

    def _carry_over(self, keys: KeyValues, old: Followed, new: Lines, traced: Traced) -> None:
        """Give the new patches the slots of the old ones, and the grain if its place is still inside a patch."""
        outlines = traced.closed.outlines
        slots = [new.fill] * len(outlines)
        if old.traced is not None:
            places = [find_inside(outline) for outline in outlines]
            held = find_holder(old.traced.closed.outlines, places)
            slots = [new.fill if i is None else old.slots[i] for i in held]
        _write_slots(keys, outlines, slots, new)
        kept = {}
        for angle, text in old.design.grain:
            words = text.split()
            held = find_holder(outlines, read_places(text, new.grid_finished, "`design.grain`"))
            inside = [word for word, holder in zip(words, held, strict=True) if holder is not None]
            if inside:
                kept[angle] = " ".join(inside)
        if kept:
            keys["design"]["grain"] = kept


def _write_slots(keys: KeyValues, outlines: Sequence[Outline], slots: Sequence[str], design: Lines) -> None:
    """Write the table of slots: a place inside each patch, except those of the fill slot."""
    table: dict[str, list[str]] = {}
    for outline, slot in zip(outlines, slots, strict=True):
        if slot != design.fill:
            table.setdefault(slot, []).append(write_place(find_inside(outline), design.grid_finished))
    keys["design"].pop("slots", None)
    if table:
        keys["design"]["slots"] = {slot: " ".join(places) for slot, places in sorted(table.items())}


def _list_slots(design: Lines, outlines: Sequence[Outline]) -> tuple[str, ...]:
    """Return the slot of each patch, ignoring places outside all patches."""
    slots = [design.fill] * len(outlines)
    for slot, text in design.slots:
        if count_places([text]):
            for holder in find_holder(outlines, read_places(text, design.grid_finished, f"`design.slots.{slot}`")):
                if holder is not None:
                    slots[holder] = slot
    return tuple(slots)


PALETTE = ("#2f4b66", "#d9c9a3", "#7fa3b5", "#c8603c", "#e9e4d8", "#5f7d6a", "#a8465a", "#e0ad52")
"""First colours of new fabrics; our own."""


def add_fabrics(keys: KeyValues, slots: Sequence[str]) -> None:
    """Add a fabric for each slot without one."""
    fabrics = keys["fabric"]
    for slot in dict.fromkeys(slots):
        if slot not in {fabric["slot"] for fabric in fabrics}:
            names = {fabric["name"] for fabric in fabrics}
            number = next(n for n in range(len(fabrics) + 1, 10_000) if f"Cloth {n}" not in names)
            colour = PALETTE[(number - 1) % len(PALETTE)]
            fabrics.append({"slot": slot, "name": f"Cloth {number}", "colour": colour})


def _say_seams(patches: tuple[Patch, ...], allowance: float) -> str:
    """Return the sewing of a drawing in words, empty if it has too many patches for a quick answer."""
    if not 1 < len(patches) <= MOST_SEWN:
        return ""
    try:
        plan = sewing_plan(Patchwork(patches, allowance).verify())
    except NoPlanError as error:
        return str(error)
    odd = [f"{count} {name} seams" for count, name in ((plan.partial_seams, "partial"), (plan.set_in_seams, "set-in"))
           if count]  # fmt: skip
    steps = len(plan.steps)
    how = f"with {' and '.join(odd)}" if odd else "all seams straight"
    return f"Sewn in {steps} {'step' if steps == 1 else 'steps'}, {how}."


def say_state(followed: Followed) -> tuple[str, bool]:
    """Return the state of a drawing in words, and True if it is a top."""
    closed = len(followed.slots)
    patches = f"{closed} {'patch' if closed == 1 else 'patches'} closed"
    if followed.troubles:
        more = len(followed.troubles) - 1
        rest = f" And {more} more such {'place' if more == 1 else 'places'}." if more else ""
        return f"{patches}. To mend: {followed.troubles[0][0].rstrip('.')}.{rest}", False
    system = followed.study.measures.system if followed.study else "inch"
    width, height = (write_length(side, system) for side in followed.design.finished)
    return f"{patches}; all can be sewn. Finished {width} × {height}. {followed.seams}".strip(), True
