"""The pressing that was read from the page, compared with the pressing that was planned."""

from collections.abc import Iterator, Sequence

from kit.model.sewing import SewingPlan, Step


def compare_presses(read: SewingPlan, plan: SewingPlan, told: Sequence[str]) -> list[str]:
    """Return where the words press another way than planned, or stop elsewhere.

    A seam that adds a part is pressed by its parts. A leg, or the rest of a partial seam, is pressed by the side in the
    picture; its edges are looked up in the copy of the unit that the words were read for, and not compared where that
    copy cannot be told from its own half turn.

    Parameters
    ----------
    read, plan
        The steps as read, and as planned, one for one.
    told
        The words for the pressing of each step; empty where nothing was told.
    """
    if len(read.steps) != len(plan.steps):
        return [f"{len(read.steps)} steps are told, {len(plan.steps)} are planned"]
    return list(_compare(read, plan, told))


def _compare(read: SewingPlan, plan: SewingPlan, told: Sequence[str]) -> Iterator[str]:
    places = _PlannedCopies(read, plan)
    for ours, theirs, words in zip(read.steps, plan.steps, told, strict=True):
        said = f"Step {theirs.number} ({theirs.unit})"
        if ours.kind != theirs.kind or bool(ours.second) != bool(theirs.second):
            yield f"{said} is told as “{ours.kind}”; “{theirs.kind}” is planned"
        elif len(ours.stops) != len(theirs.stops) and theirs.kind != "trim":
            yield f"{said} is told with {len(ours.stops)} dots; {len(theirs.stops)} are planned"
        elif (words == "") != (theirs.press is None) and ours.press is None:
            yield f"{said} is told without pressing"
        elif theirs.spun_at is not None or words.startswith("spun"):
            if theirs.spun_at is None or words != f"spun, {_name_back(plan)} seen from the back":
                yield f"{said} is told to be pressed {words or 'to one side'}; that is not what is planned"
        elif theirs.press is not None and ours.press is not None:
            meant = theirs.press if ours.second else places.turn_press(ours, theirs)
            if meant is not None and ours.press != meant:
                yield f"{said} is told to be pressed {words or ours.press}; that is not the side that is planned"


def _name_back(plan: SewingPlan) -> str:
    """Return the way round a spun centre as the back shows it: the other way than on the right side."""
    return "counter-clockwise" if plan.pressing is None or plan.pressing.spin == "clockwise" else "clockwise"


class _PlannedCopies:
    """Finds the patches of the planned first copy for those of the copy that was read."""

    def __init__(self, read: SewingPlan, plan: SewingPlan) -> None:
        first = {unit.name: unit.copies[0] for unit in plan.units}
        known = {(unit.name, frozenset(copy)): copy for unit in plan.units for copy in unit.copies}
        self.same: dict[str, dict[str, str]] = {}
        for unit in read.units:
            copy = known.get((unit.name, frozenset(unit.copies[0])))
            if copy is not None:
                self.same[unit.name] = dict(zip(copy, first[unit.name], strict=True))

    def turn_press(self, ours: Step, theirs: Step) -> str | None:
        """Return the planned press in terms of the sides as they were read, None where they cannot be compared."""
        if theirs.press == "open":
            return "open"
        same = self.same.get(ours.unit, {})
        mine = {same.get(edge.patch) for edge in ours.along_first}
        if mine <= {edge.patch for edge in theirs.along_first}:
            return theirs.press
        if mine <= {edge.patch for edge in theirs.along_second}:
            return "second" if theirs.press == "first" else "first"
        return None
