"""Pressing: a side for every seam, so that seams nest where they meet across another one.

Where two seams in one line end on a third from opposite sides, their allowances should go to opposite sides. This is
a colouring of the seams with two colours, with a like-or-unlike condition for each crossing. Copies of a unit are
pressed alike; only where more crossings nest so, every second copy is pressed the opposite way throughout, in a
checkerboard. Contradictory conditions form an odd cycle; one of its seams is pressed open.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from kit.collecting import put_off_collecting
from kit.model.patchwork import Patchwork
from kit.model.pressing import Centres, Press, PressingPlan, PressingWish
from kit.model.sewing import SewingPlan, Step
from kit.planning.pressing.crossings import Crossing, SeamPlace, find_crossings, place_seams
from kit.planning.pressing.half_turns import find_half_turned
from kit.planning.pressing.layers import count_layers
from kit.planning.pressing.opposite_copies import list_opposites
from kit.planning.pressing.seam_graph import OTHER, CopySeam, Pair, SeamGraph, find_step, make_key, nests
from kit.planning.pressing.spun_centres import SpunCentres, find_spun_centres

SASHES = ("sash", "cornerstone", "border")
CONTRAST = 8.0
"""The least difference in lightness (CIELAB L*, 0 to 100) of a darker side."""


@put_off_collecting()
def press_seams(
    patchwork: Patchwork,
    plan: SewingPlan,
    wish: PressingWish = "nest",
    lightness: Mapping[str, float] | None = None,
    together: Sequence[Pair] = (),
    centres: Centres = "to one side",
) -> SewingPlan:
    """Give every seam a side.

    Find the crossings; fix what the wish fixes (four-patches that are spun, then toward the darker side, toward sashing
    and borders, or all open); colour the rest with two colours; press open the fewest seams that break every odd cycle.

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
    centres
        "spun": four-patches are spun, whatever the wish for the other seams.

    Returns
    -------
    SewingPlan
        The plan with `Step.press`, `Step.pressed_back` and `.pressing` filled.

    Notes
    -----
    O(n) beside the search for odd cycles, which is exact for up to twelve open seams in one connected set.
    """
    places = place_seams(patchwork, plan)
    spun = _spin(patchwork, plan, places, lightness or {}) if centres == "spun" else None
    crossings = find_crossings(patchwork, places)
    crossings = spun.turn_crossings(crossings) if spun else crossings
    loose = {number for first, second, _ in together for number, _ in (first, second)}
    keys = _share_keys(places, loose.union(spun.unlike if spun else ()))
    fixed: dict[int, Press] = {}
    if wish == "open":
        fixed = dict.fromkeys(keys.values(), "open")
    elif wish == "dark":
        fixed = _toward_dark(plan, keys, lightness or {})
    elif wish == "sashing":
        fixed = _toward_sashing(patchwork, plan, keys)
    turned: Mapping[CopySeam, Press] = spun.presses if spun else {}
    fixed |= {keys[seam]: press for seam, press in turned.items()}
    graph = SeamGraph(keys, crossings, fixed, together)
    presses = graph.press(frozenset())
    if wish == "nest" and graph.count_nesting(presses) < len(crossings):
        for opposite in list_opposites(patchwork, plan, keys):
            turned_over = opposite.difference(turned)
            if not any((pair[0] in turned_over) != (pair[1] in turned_over) for pair in graph.pairs):
                continue  # no two seams that meet would lie otherwise
            other = SeamGraph(keys, crossings, fixed, together)
            tried = other.press(graph.back ^ turned_over)
            if other.count_nesting(tried) > graph.count_nesting(presses):
                graph, presses = other, tried
    return _write(patchwork, plan, wish, places, crossings, presses, graph, spun)


def _spin(
    patchwork: Patchwork, plan: SewingPlan, places: Sequence[SeamPlace], lightness: Mapping[str, float]
) -> SpunCentres:
    """Find the four-patches, and spin them the way that presses more of their seams to the darker side."""
    own = {(place.step, place.copy): make_key(place.step, place.copy) for place in places}
    dark = _toward_dark(plan, own, lightness)
    return find_spun_centres(patchwork, plan, places, {seam: dark[key] for seam, key in own.items() if key in dark})


def _share_keys(places: Sequence[SeamPlace], loose: set[int]) -> dict[CopySeam, int]:
    """Return for each seam its key, the same for all copies of a unit; a closing follows its partial seam.

    Segments of strip sets, whose steps are `loose`, come ready, and each may be pressed to either end.
    """
    return {
        (place.step, place.copy): make_key(place.follows or place.step, place.copy if place.step in loose else -1)
        for place in places
    }


def _toward_dark(plan: SewingPlan, keys: Mapping[CopySeam, int], lightness: Mapping[str, float]) -> dict[int, Press]:
    """Fix seams with a clearly darker side, measured on the patches along them."""
    found: dict[int, Press] = {}
    steps = {step.number: step for step in plan.steps}
    for key in set(keys.values()):
        step = steps[find_step(key)]
        means = []
        for edges in (step.along_first, step.along_second):
            values = [lightness[edge.patch] for edge in edges if edge.patch in lightness]
            means.append(sum(values) / len(values) if values else 0.0)
        if abs(means[0] - means[1]) >= CONTRAST:
            found[key] = "first" if means[0] < means[1] else "second"
    return found


def _toward_sashing(patchwork: Patchwork, plan: SewingPlan, keys: Mapping[CopySeam, int]) -> dict[int, Press]:
    """Fix seams with sashing or a border along only one side."""
    found: dict[int, Press] = {}
    steps = {step.number: step for step in plan.steps}
    for key in set(keys.values()):
        step = steps[find_step(key)]
        first, second = (
            all(patchwork.by_id[edge.patch].name in SASHES for edge in edges)
            for edges in (step.along_first, step.along_second)
        )
        if first != second:
            found[key] = "first" if first else "second"
    return found


def _write(
    patchwork: Patchwork,
    plan: SewingPlan,
    wish: PressingWish,
    places: Sequence[SeamPlace],
    crossings: Sequence[Crossing],
    presses: Mapping[CopySeam, Press],
    graph: SeamGraph,
    spun: SpunCentres | None,
) -> SewingPlan:
    """Return the plan with its pressing."""
    by_step: dict[int, dict[int, Press]] = defaultdict(dict)
    for (number, copy), press in presses.items():
        by_step[number][copy] = press
    at = spun.at if spun else {}
    steps = tuple(
        replace(_press(step, by_step.get(step.number, {})), spun_at=at.get(step.number)) for step in plan.steps
    )
    presses = {key: _turn(steps[key[0] - 1], key[1]) for key in presses}
    nesting = sum(nests(crossing, presses) for crossing in crossings)
    layers, thickest = count_layers(patchwork, places, presses, spun)
    pressing = PressingPlan(
        wish=wish,
        presses=tuple((step.number, step.press) for step in steps if step.press is not None),
        crossings=len(crossings),
        nesting=nesting,
        open_steps=tuple(sorted({find_step(key) for key in graph.opened})),
        odd_cycles=tuple(graph.cycles),
        layers=layers,
        thickest=thickest,
        half_turned=find_half_turned(patchwork, replace(plan, steps=steps), places, presses, spun),
        centres="spun" if spun else "to one side",
        spin=spun.spin if spun else "clockwise",
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
    return OTHER[step.press or "open"]
