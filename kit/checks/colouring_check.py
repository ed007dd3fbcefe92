"""The check of a colouring. It shares nothing with the placement of prints: it looks at the patches one by one."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from math import atan2, degrees, hypot

from kit.errors import CheckError
from kit.geometry.outlines import Outline
from kit.model.fabrics import Colouring, Fabric
from kit.model.patchwork import Patch, Patchwork
from kit.model.rules import PLAIN, Rules

Met = set[frozenset[str]]


def check_colouring(
    patchwork: Patchwork, fabrics: Sequence[Fabric], colouring: Colouring, rules: Rules | None = None
) -> None:
    """Refuse a colouring that breaks a rule or miscounts.

    Every patch has a fabric of its slot, never one set aside; pins are kept; no limit is exceeded, nor half of it by
    the pieces of one hand if they are cut as mirror pairs. The forbidden pairs of one fabric, found by walking around
    each patch, are exactly the pairs that the colouring lists and counts.

    Parameters
    ----------
    patchwork, fabrics, rules
        As given to `colour_plan`.
    colouring
        Its result.

    Raises
    ------
    CheckError
        Names the patch or fabric and both figures.
    """
    asked = rules or PLAIN
    counts = _check_patches(patchwork, fabrics, colouring, asked)
    _check_supply(patchwork, fabrics, colouring, asked, counts)
    several = {
        slot for slot in patchwork.slots if sum(f.slot == slot and f.name not in asked.set_aside for f in fabrics) > 1
    }
    forbidden = _find_forbidden(patchwork, asked, several)
    pairs = {pair for pair in forbidden if len({colouring.assignment[patch] for patch in pair}) == 1}
    if len(pairs) != colouring.violations:
        one = sorted(min(pairs, key=sorted)) if pairs else []
        raise CheckError(
            f"{len(pairs)} pairs of one fabric break the rules, the colouring says {colouring.violations}"
            + (f"; `{one[0]}` and `{one[1]}` are both `{colouring.assignment[one[0]]}`" if one else "")
        )
    if pairs != {frozenset(pair) for pair in colouring.touching}:
        odd = sorted(min(pairs ^ {frozenset(pair) for pair in colouring.touching}, key=sorted))
        raise CheckError(
            f"The pair {' and '.join(f'`{p}`' for p in odd)} is missing from the list of pairs or wrongly in it"
        )
    if not 0 <= colouring.bound <= colouring.violations:
        raise CheckError(f"The bound on violations is {colouring.bound}, there are {colouring.violations}")


def _check_patches(patchwork: Patchwork, fabrics: Sequence[Fabric], colouring: Colouring, rules: Rules) -> Counter[str]:
    slot_of = {fabric.name: fabric.slot for fabric in fabrics}
    counts: Counter[str] = Counter()
    for patch in patchwork.patches:
        name = colouring.assignment.get(patch.id, "")
        if name not in slot_of:
            raise CheckError(f"Patch `{patch.id}` has no fabric")
        if slot_of[name] != patch.slot:
            raise CheckError(f"Patch `{patch.id}` of slot `{patch.slot}` is given `{name}` of `{slot_of[name]}`")
        if name in rules.set_aside:
            raise CheckError(f"Patch `{patch.id}` is given `{name}`, which is set aside")
        counts[name] += 1
    strange = sorted(set(colouring.assignment) - {patch.id for patch in patchwork.patches})
    if strange:
        raise CheckError(f"The colouring gives `{strange[0]}` a fabric; the top has no such patch")
    for patch_id, name in rules.pins:
        if colouring.assignment.get(patch_id, name) != name:
            raise CheckError(f"Patch `{patch_id}` is pinned to `{name}` and given `{colouring.assignment[patch_id]}`")
    return counts


def _check_supply(
    patchwork: Patchwork, fabrics: Sequence[Fabric], colouring: Colouring, rules: Rules, counts: Counter[str]
) -> None:
    for fabric in fabrics:
        if fabric.limit is not None and counts[fabric.name] > fabric.limit:
            raise CheckError(f"`{fabric.name}` covers {counts[fabric.name]} patches, its limit is {fabric.limit}")
        if colouring.uses.get(fabric.name, 0) != counts[fabric.name]:
            said = colouring.uses.get(fabric.name, 0)
            raise CheckError(f"`{fabric.name}` covers {counts[fabric.name]} patches, not {said}")
    if not rules.pairs:
        return
    limits = {fabric.name: fabric.limit for fabric in fabrics if fabric.limit is not None}
    handed: Counter[tuple[str, tuple[tuple[float, float], ...]]] = Counter()
    for patch in patchwork.patches:
        outline = patch.sewn or patch.outline
        shape = _read(outline)
        if shape != _read(tuple((-x, y) for x, y in reversed(outline))):
            handed[colouring.assignment[patch.id], shape] += 1
    for (name, _), count in handed.items():
        if name in limits and count > limits[name] // 2:
            raise CheckError(
                f"`{name}` covers {count} patches of one hand; as mirror pairs {limits[name]} pieces yield"
                f" {limits[name] // 2}"
            )


def _read(outline: Outline) -> tuple[tuple[float, float], ...]:
    """Return lengths and turns around an outline in the smallest reading; its mirror image reads differently."""
    n = len(outline)
    steps = [(outline[(i + 1) % n][0] - x, outline[(i + 1) % n][1] - y) for i, (x, y) in enumerate(outline)]
    read = []
    for i, (x, y) in enumerate(steps):
        u, v = steps[(i + 1) % n]
        read.append((round(hypot(x, y), 4), round(degrees(atan2(x * v - y * u, x * u + y * v)), 2)))
    return min(tuple(read[i:] + read[:i]) for i in range(n))


def _find_forbidden(patchwork: Patchwork, rules: Rules, slots: set[str]) -> Met:
    """Return the pairs of patches that may not have the same print."""
    across = _find_across(patchwork, slots)
    found = set(across)
    meetings: dict[object, list[Patch]] = defaultdict(list)
    if rules.touching == "corners":
        for node, face in sorted(set(zip(patchwork.mesh.start.tolist(), patchwork.mesh.face.tolist(), strict=True))):
            meetings[node].append(patchwork.patches[face])
    if rules.once_in_unit:
        for patch in patchwork.patches:
            if patch.group:
                meetings[patch.group].append(patch)
    for meeting in meetings.values():
        found |= _pair_up(meeting, slots)
    return found | _walk(patchwork, across, rules.apart) if rules.apart > 1 else found


def _find_across(patchwork: Patchwork, slots: set[str]) -> Met:
    """Return the pairs of one slot that share an edge."""
    mesh, patches = patchwork.mesh, patchwork.patches
    across: Met = set()
    for side, twin in enumerate(mesh.twin.tolist()):
        a = patches[int(mesh.face[side])]
        if twin > side and a.slot in slots:
            b = patches[int(mesh.face[twin])]
            if a.slot == b.slot and a.id != b.id:
                across.add(frozenset((a.id, b.id)))
    return across


def _pair_up(patches: Sequence[Patch], slots: set[str]) -> Met:
    """Return every pair of one slot among some patches."""
    by_slot: dict[str, list[str]] = defaultdict(list)
    for patch in patches:
        by_slot[patch.slot].append(patch.id)
    return {
        frozenset((a, b))
        for slot, ids in by_slot.items()
        if slot in slots
        for i, a in enumerate(ids)
        for b in ids[i + 1 :]
    }


def _walk(patchwork: Patchwork, across: Met, steps: int) -> Met:
    """Return the pairs within the given number of steps in one part of the top; all steps are taken at once."""
    beside: dict[str, set[str]] = {patch.id: {patch.id} for patch in patchwork.patches}
    for pair in across:
        a, b = pair
        if patchwork.by_id[a].group == patchwork.by_id[b].group:
            beside[a].add(b)
            beside[b].add(a)
    reached = {patch: {patch} for patch in beside}
    for _ in range(steps):
        reached = {patch: set().union(*(beside[other] for other in seen)) for patch, seen in reached.items()}
    return {frozenset((a, b)) for a, seen in reached.items() for b in seen if a != b}
