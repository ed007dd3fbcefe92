"""Pressing: a side for every seam, so that seams nest where they meet across another one.

Where two seams in one line end on a third from opposite sides, their allowances should go to opposite sides. This is
a colouring of the seams with two colours, with a like-or-unlike condition for each crossing. Copies of a block are
pressed alike; rows and other parts within a block or a top may be pressed to one side in some copies and to the other
in the rest. Contradictory conditions form an odd cycle; one of its seams is pressed open.
"""

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from kit.model.patchwork import Group, Patchwork
from kit.model.pressing import Press, PressingPlan, PressingWish
from kit.model.sewing import SewingPlan, Step
from kit.planning.pressing.crossings import Crossing, SeamPlace, find_crossings, place_seams
from kit.planning.pressing.layers import count_layers

Key: TypeAlias = tuple[int, str]
"""A seam with its own pressing: its step, and for a part within a block its number in the block."""
KeyPlaces: TypeAlias = dict[tuple[int, int], Key]
Pair: TypeAlias = tuple[tuple[int, int], tuple[int, int], bool]  # two seams, and whether their parts are unlike
SASHES = ("sash", "cornerstone", "border")
CONTRAST = 8.0
"""The least difference in lightness (CIELAB L*, 0 to 100) of a darker side."""
EXACT = 12
"""The most seams pressed open, in one connected set, for an exact search of the least number."""


def press_seams(
    patchwork: Patchwork,
    plan: SewingPlan,
    wish: PressingWish = "nest",
    lightness: Mapping[str, float] | None = None,
    together: Sequence[Pair] = (),
) -> SewingPlan:
    """Give every seam a side.

    Find the crossings; fix what the wish fixes (toward the darker side, toward sashing and borders, or all open);
    colour the rest with two colours; press open the fewest seams that break every odd cycle.

    Parameters
    ----------
    patchwork
        The design.
    plan
        Its sewing plan.
    wish
        "nest", "dark", "sashing" or "open". The last three go first; nesting decides where they leave a choice.
    lightness
        Patch id -> CIELAB lightness, for "dark".
    together
        Seams of one segment of a strip set, pressed to one end of it.

    Returns
    -------
    SewingPlan
        The plan with `Step.press`, `Step.pressed_back` and `.pressing` filled.

    Notes
    -----
    O(n) beside the search for odd cycles, which is exact for up to twelve open seams in one connected set.
    """
    places = place_seams(patchwork, plan)
    crossings = find_crossings(patchwork, places)
    keys = _share_keys(patchwork, plan, places, {number for pair in together for number, _ in pair[:2]})
    fixed: dict[Key, Press] = {}
    if wish == "open":
        fixed = dict.fromkeys(keys.values(), "open")
    elif wish == "dark":
        fixed = _toward_dark(plan, keys, lightness or {})
    elif wish == "sashing":
        fixed = _toward_sashing(patchwork, plan, keys)
    graph = _Graph(keys, [*((one.first, one.second, one.unlike) for one in crossings), *together], fixed)
    sides = graph.colour()
    presses = {place: sides[key] for place, key in keys.items()}
    return _write(patchwork, plan, wish, places, crossings, presses, graph)


def _share_keys(patchwork: Patchwork, plan: SewingPlan, places: Sequence[SeamPlace], loose: set[int]) -> KeyPlaces:
    """Return for each seam (step, copy) its key, the same for seams pressed alike.

    Copies of a group of the design are pressed alike, including their inner parts, but for segments of strip sets,
    whose steps are `loose`. A closing follows its partial seam.
    """
    segments = {step.unit for step in plan.steps if step.number in loose}
    like = {patch.id: patch.id for patch in patchwork.patches}
    for unit in sorted(plan.units, key=lambda unit: -len(unit.copies[0])):
        group = patchwork.by_id[unit.copies[0][0]].group
        parts = () if unit.name in segments else range(1, len(group) + 1)
        if any(_fills(patchwork, unit.copies[0], group[:n]) for n in parts):
            for copy in unit.copies[1:]:
                like.update(zip(copy, unit.copies[0], strict=True))
    for patch, other in like.items():
        found = other
        while found != like[found]:
            found = like[found]
        like[patch] = found
    step_unit = {step.number: step.unit for step in plan.steps}
    spot = {
        (unit.name, k): min(like[patch] for patch in copy) for unit in plan.units for k, copy in enumerate(unit.copies)
    }
    keys = {}
    for place in places:
        number = place.follows or place.step
        keys[place.step, place.copy] = (number, spot[step_unit[number], place.copy])
    return keys


def _fills(patchwork: Patchwork, copy: Sequence[str], group: Group) -> bool:
    """Return True if patches are exactly a group of the design."""
    within = all(patchwork.by_id[p].group[: len(group)] == group for p in copy)
    return within and len(copy) == sum(patch.group[: len(group)] == group for patch in patchwork.patches)


def _toward_dark(plan: SewingPlan, keys: KeyPlaces, lightness: Mapping[str, float]) -> dict[Key, Press]:
    """Fix seams with a clearly darker side, measured on the patches along them."""
    found: dict[Key, Press] = {}
    steps = {step.number: step for step in plan.steps}
    for number, spot in set(keys.values()):
        step = steps[number]
        means = []
        for edges in (step.along_first, step.along_second):
            values = [lightness[edge.patch] for edge in edges if edge.patch in lightness]
            means.append(sum(values) / len(values) if values else 0.0)
        if abs(means[0] - means[1]) >= CONTRAST:
            found[number, spot] = "first" if means[0] < means[1] else "second"
    return found


def _toward_sashing(patchwork: Patchwork, plan: SewingPlan, keys: KeyPlaces) -> dict[Key, Press]:
    """Fix seams with sashing or a border along only one side."""
    found: dict[Key, Press] = {}
    steps = {step.number: step for step in plan.steps}
    for number, spot in set(keys.values()):
        step = steps[number]
        first, second = (
            all(patchwork.by_id[edge.patch].name in SASHES for edge in edges)
            for edges in (step.along_first, step.along_second)
        )
        if first != second:
            found[number, spot] = "first" if first else "second"
    return found


@dataclass(frozen=True, slots=True)
class _Link:
    """A condition: the two seams are pressed to parts of the same rank, or of unlike rank."""

    other: Key
    unlike: bool


class _Graph:
    """Seams, and the conditions from their crossings."""

    def __init__(self, keys: Mapping[tuple[int, int], Key], pairs: Iterable[Pair], fixed: Mapping[Key, Press]) -> None:
        self.fixed = dict(fixed)
        self.links: dict[Key, set[_Link]] = {key: set() for key in keys.values()}
        self.opened: list[Key] = []
        self.cycles: list[tuple[int, ...]] = []
        for first, second, unlike in pairs:
            a, b = keys[first], keys[second]
            self.links[a].add(_Link(b, unlike))
            self.links[b].add(_Link(a, unlike))

    def colour(self) -> dict[Key, Press]:
        """Return a side for every seam."""
        sides: dict[Key, Press] = dict(self.fixed)
        seen: set[Key] = set(self.fixed)
        for key in sorted(self.links):
            if key not in seen:
                part = self._gather(key, seen)
                opened = self._open_least(part)
                self.opened += sorted(opened)
                sides |= self._spread(part, opened)
                sides |= dict.fromkeys(opened, "open")
        return sides

    def _gather(self, key: Key, seen: set[Key]) -> list[Key]:
        """Return the free seams connected with one."""
        part, stack = [], [key]
        seen.add(key)
        while stack:
            here = stack.pop()
            part.append(here)
            for link in self.links[here]:
                if link.other not in seen:
                    seen.add(link.other)
                    stack.append(link.other)
        return sorted(part)

    def _open_least(self, part: Sequence[Key]) -> frozenset[Key]:
        """Return the fewest seams that break every odd cycle, or only a small number beyond `EXACT`."""
        cycle = self._find_odd(part, frozenset())
        if not cycle:
            return frozenset()
        self.cycles.append(tuple(sorted({key[0] for key in cycle})))
        for most in range(1, EXACT + 1):
            found = self._break(part, frozenset(), most)
            if found is not None:
                return found
        opened: frozenset[Key] = frozenset()
        while cycle:
            opened |= {max(cycle, key=lambda key: (len(self.links[key]), key))}
            cycle = self._find_odd(part, opened)
        return opened

    def _break(self, part: Sequence[Key], opened: frozenset[Key], most: int) -> frozenset[Key] | None:
        """Open one seam of an odd cycle after another; each cycle must lose one."""
        cycle = self._find_odd(part, opened)
        if not cycle:
            return opened
        if len(opened) == most:
            return None
        for key in sorted(set(cycle)):
            found = self._break(part, opened | {key}, most)
            if found is not None:
                return found
        return None

    def _find_odd(self, part: Sequence[Key], opened: frozenset[Key]) -> list[Key]:
        """Return the free seams of an odd cycle, or nothing if two colours are enough.

        Fixed seams count as one seam of known colour; a cycle may run through it.
        """
        colour: dict[Key, bool] = {}
        above: dict[Key, Key | None] = {}
        anchored = [key for key in part if any(link.other in self.fixed for link in self.links[key])]
        for root in [*anchored, *part]:
            if root in colour or root in opened:
                continue
            wanted = self._wanted(root)
            colour[root], above[root] = (next(iter(wanted)) if wanted else True), None
            queue = deque([root])
            while queue:
                here = queue.popleft()
                clash = self._wanted(here)
                if clash and clash != {colour[here]}:
                    return _climb(above, here)
                for link in sorted(self.links[here], key=lambda link: (link.other, link.unlike)):
                    if link.other in self.fixed or link.other in opened:
                        continue
                    want = colour[here] != link.unlike
                    if link.other not in colour:
                        colour[link.other], above[link.other] = want, here
                        queue.append(link.other)
                    elif colour[link.other] != want:
                        return _join(_climb(above, here), _climb(above, link.other))
        return []

    def _wanted(self, key: Key) -> set[bool]:
        """Return the colours of a seam required by fixed neighbours; True is the first part's side."""
        found = set()
        for link in self.links[key]:
            side = self.fixed.get(link.other)
            if side in ("first", "second"):
                found.add((side == "first") != link.unlike)
        return found

    def _spread(self, part: Sequence[Key], opened: frozenset[Key]) -> dict[Key, Press]:
        """Colour the seams that are not opened, toward the added part if there is a choice."""
        colour: dict[Key, bool] = {}
        anchored = [key for key in part if self._wanted(key)]
        for root in [*anchored, *part]:
            if root in colour or root in opened:
                continue
            wanted = self._wanted(root)
            colour[root] = next(iter(wanted)) if wanted else False
            stack = [root]
            while stack:
                here = stack.pop()
                for link in self.links[here]:
                    if link.other in self.fixed or link.other in opened or link.other in colour:
                        continue
                    colour[link.other] = colour[here] != link.unlike
                    stack.append(link.other)
        return {key: "first" if side else "second" for key, side in colour.items()}


def _climb(above: Mapping[Key, Key | None], key: Key) -> list[Key]:
    path = [key]
    while (up := above[path[-1]]) is not None:
        path.append(up)
    return path


def _join(a: list[Key], b: list[Key]) -> list[Key]:
    """Return the cycle of two paths to a common root."""
    shared = set(a) & set(b)
    meet = next((key for key in a if key in shared), a[-1])
    return [key for key in a if key not in shared] + [meet] + [key for key in b if key not in shared]


def _write(
    patchwork: Patchwork,
    plan: SewingPlan,
    wish: PressingWish,
    places: Sequence[SeamPlace],
    crossings: Sequence[Crossing],
    presses: Mapping[tuple[int, int], Press],
    graph: _Graph,
) -> SewingPlan:
    """Return the plan with its pressing."""
    by_step: dict[int, dict[int, Press]] = defaultdict(dict)
    for (number, copy), press in presses.items():
        by_step[number][copy] = press
    steps = tuple(_press(step, by_step.get(step.number, {})) for step in plan.steps)
    presses = {key: _turn(steps[key[0] - 1], key[1]) for key in presses}
    nesting = sum(_nests(crossing, presses) for crossing in crossings)
    layers, thickest = count_layers(patchwork, places, presses)
    pressing = PressingPlan(
        wish=wish,
        presses=tuple((step.number, step.press) for step in steps if step.press is not None),
        crossings=len(crossings),
        nesting=nesting,
        open_steps=tuple(sorted({key[0] for key in graph.opened})),
        odd_cycles=tuple(graph.cycles),
        layers=layers,
        thickest=thickest,
    )
    return replace(plan, steps=steps, pressing=pressing)


def _press(step: Step, found: Mapping[int, Press]) -> Step:
    """Return a step with its press: that of the first copy, and the copies pressed the other way.

    If some copies must be pressed open, all are.
    """
    if not found:
        return step
    if "open" in found.values():
        return replace(step, press="open", pressed_back=())
    back = tuple(sorted(copy for copy, press in found.items() if press != found[0]))
    return replace(step, press=found[0], pressed_back=back)


def _turn(step: Step, copy: int) -> Press:
    """Return the part with the pressed allowances of a seam in one copy."""
    if step.press in (None, "open") or copy not in step.pressed_back:
        return step.press or "open"
    return "second" if step.press == "first" else "first"


def _nests(crossing: Crossing, presses: Mapping[tuple[int, int], Press]) -> bool:
    """Return True if the two seams of a crossing go to opposite sides."""
    a, b = presses[crossing.first], presses[crossing.second]
    return "open" not in (a, b) and (a != b) == crossing.unlike
