"""Chains: the seams of a sewing plan in as few rounds at the machine as the order allows."""

from collections import defaultdict

from kit.model.chains import Chain, ChainLink
from kit.model.making import SEAM_SECONDS, MakingPlan
from kit.model.sewing import SewingPlan


def chain_plan(plan: SewingPlan, making: MakingPlan, seam_seconds: float = SEAM_SECONDS) -> tuple[Chain, ...]:
    """Put every seam into the earliest chain in which both of its parts are ready.

    Units made several at a time come in the first chain. Later legs of a set-in seam and the closing of a partial seam
    belong to the step that began them and count no seam of their own; trimming takes none.

    Parameters
    ----------
    plan, making
        The order of sewing, and the units made several at a time.
    seam_seconds
        Seconds for a seam with its pressing.

    Returns
    -------
    tuple
        As many chains as the longest way from a cut piece to the top has seams, which is the least: no seam can be
        sewn before its parts are.

    Notes
    -----
    O(n) for each step in the patches that it joins.
    """
    copies = {unit.name: unit.copies for unit in plan.units}
    places = {unit.name: {patch: i for i, patch in enumerate(unit.copies[0])} for unit in plan.units}
    ready = {number: sum(done.values()) for number, done in making.ready.items()}
    latest = dict.fromkeys(making.patches, 1)
    chains: dict[int, list[ChainLink]] = defaultdict(list)
    for made in making.made:
        if made.seams:
            chains[1].append(ChainLink(0, made.id, made.seams))
    for step in plan.steps:
        left = len(copies[step.unit]) - ready.get(step.number, 0)
        if not left:
            continue
        spots = [places[step.unit][patch] for patch in (*step.first, *step.second)]
        mine = [copy[i] for copy in copies[step.unit] for i in spots]
        number = max(latest.get(patch, 0) for patch in mine)
        if step.second:
            number += 1
            chains[number].append(ChainLink(step.number, "", left))
        latest.update(dict.fromkeys(mine, number))
    return tuple(
        Chain(number, tuple(chains[number]), sum(link.count for link in chains[number]) * seam_seconds / 60)
        for number in sorted(chains)
    )
