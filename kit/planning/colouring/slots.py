"""A top's problems, one a slot: its fabrics, its rules as pairs, and its pins, with the names to go back to."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from kit.errors import NoPlanError
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patch, Patchwork
from kit.model.rules import Rules
from kit.planning.colouring.forbidden_pairs import join_pairs, list_pairs, make_slot_problem
from kit.solvers.placing.least_changes import ChangedPlacement
from kit.solvers.placing.placement_problem import PlacementProblem


class SlotProblems:
    """The problems of a top, one a slot."""

    def __init__(self, patchwork: Patchwork, fabrics: Sequence[Fabric], rules: Rules) -> None:
        self.patchwork, self.rules = patchwork, rules
        self.fabrics = [fabric for fabric in fabrics if fabric.name not in rules.set_aside]
        self.by_slot: dict[str, list[Fabric]] = defaultdict(list)
        for fabric in self.fabrics:
            self.by_slot[fabric.slot].append(fabric)
        self.members: dict[str, list[int]] = defaultdict(list)
        for i, patch in enumerate(patchwork.patches):
            self.members[patch.slot].append(i)
        self.pairs = list_pairs(patchwork, rules, [slot for slot, mine in self.by_slot.items() if len(mine) > 1])
        self.adjacent = join_pairs(self.pairs, len(patchwork.patches))
        self.problems = {
            slot: make_slot_problem(slot, patchwork, mine, self.by_slot[slot], self.adjacent, rules)
            for slot, mine in self.members.items()
        }
        self.pins, self.idle = self._read_pins(fabrics)

    def _read_pins(self, fabrics: Sequence[Fabric]) -> tuple[dict[str, dict[int, int]], tuple[str, ...]]:
        """Return the pins slot by slot in the problems' numbers, and those of patches that the top does not have."""
        slot_of = {fabric.name: fabric.slot for fabric in fabrics}
        pins: dict[str, dict[int, int]] = defaultdict(dict)
        idle = []
        for patch_id, name in self.rules.pins:
            patch = self.patchwork.by_id.get(patch_id)
            if patch is None:
                idle.append(patch_id)
                continue
            names = [fabric.name for fabric in self.by_slot[patch.slot]]
            if name not in names:
                raise self._refuse_pin(patch, name, slot_of)
            place_in_slot = self.members[patch.slot].index(self.patchwork.patches.index(patch))
            pins[patch.slot][place_in_slot] = names.index(name)
        for slot, mine in pins.items():
            self._refuse_overpinned(slot, mine)
        return pins, tuple(idle)

    def _refuse_pin(self, patch: Patch, name: str, slot_of: Mapping[str, str]) -> NoPlanError:
        names = ", ".join(f"`{fabric.name}`" for fabric in self.by_slot[patch.slot][:12])
        why = (
            "is set aside"
            if name in self.rules.set_aside
            else f"fills slot `{slot_of[name]}`"
            if name in slot_of
            else "is not a fabric of the study"
        )
        return NoPlanError(
            f"Patch `{patch.id}` of slot `{patch.slot}` is pinned to `{name}`, but that {why}",
            needed=f"one of {names}",
            do="pin another fabric or drop the pin",
        )

    def _refuse_overpinned(self, slot: str, pins: Mapping[int, int]) -> None:
        problem = self.problems[slot]
        layout: dict[tuple[int, int], int] = defaultdict(int)
        for patch, k in pins.items():
            for hand in {-1, problem.hands[patch]}:
                layout[k, hand] += 1
        for (k, hand), count in layout.items():
            limit = problem.limits[k] // 2 if problem.paired and hand > 0 else problem.limits[k]
            if count > limit:
                raise NoPlanError(
                    f"`{self.by_slot[slot][k].name}` is pinned to {count} patches, there is enough for {limit}",
                    needed=f"at most {limit} pins",
                    do="drop a pin or raise the limit",
                )

    def list_slot_pairs(self, slot: str) -> dict[str, set[tuple[int, int]]]:
        """Return the pairs of each rule within one slot, in the problem's numbers."""
        local = {i: k for k, i in enumerate(self.members[slot])}
        return {rule: {(local[a], local[b]) for a, b in some if a in local} for rule, some in self.pairs.items()}

    def list_ids(self, slot: str) -> list[str]:
        """Return the ids of a slot's patches."""
        return [self.patchwork.patches[i].id for i in self.members[slot]]

    def list_clashes(self, names: Sequence[str]) -> tuple[tuple[str, str], ...]:
        """Return the forbidden pairs of one fabric, as ids."""
        patches = self.patchwork.patches
        return tuple(
            (patches[a].id, patches[b].id)
            for a, row in enumerate(self.adjacent)
            for b in row
            if a < b and names[a] == names[b]
        )

    def count_uses(self, names: Sequence[str]) -> dict[str, int]:
        """Return the number of patches of each fabric."""
        uses = {fabric.name: 0 for fabric in self.fabrics}
        for name in names:
            uses[name] += 1
        return uses


def number_fabrics(slots: SlotProblems, placed: Mapping[str, Sequence[int]]) -> list[int]:
    """Return for each patch of the top the place of its fabric among all fabrics."""
    at = {fabric.name: k for k, fabric in enumerate(slots.fabrics)}
    return [at[name] for name in list_fabric_names(slots, placed)]


def list_fabric_names(slots: SlotProblems, placed: Mapping[str, Sequence[int]]) -> list[str]:
    """Return for each patch of the top the name of its fabric."""
    names = [""] * len(slots.patchwork.patches)
    for slot, of in placed.items():
        mine = [fabric.name for fabric in slots.by_slot[slot]]
        for i, k in zip(slots.members[slot], of, strict=True):
            names[i] = mine[k]
    return names


def refuse_overuse(slot: str, problem: PlacementProblem, of: Sequence[int]) -> None:
    """Refuse a placement with pins that leave no room for other patches.

    Raises
    ------
    NoPlanError
        A fabric is used beyond its limit.
    """
    if ChangedPlacement(problem, of).find_overused() is not None:
        raise NoPlanError(
            f"The pins of slot `{slot}` leave no room for its other patches within the limits",
            needed="a free place for each patch",
            do="drop a pin, raise a limit or do without `pairs`",
        )
