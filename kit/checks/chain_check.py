"""The check of chains: every seam once, and only of parts that an earlier chain has finished."""

from collections import Counter
from collections.abc import Sequence

from kit.errors import CheckError
from kit.model.chains import Chain
from kit.model.making import MakingPlan
from kit.model.sewing import SewingPlan


def check_chains(plan: SewingPlan, making: MakingPlan, chains: Sequence[Chain]) -> None:
    """Refuse chains in which a seam is missing, doubled, or sewn before its parts.

    Parameters
    ----------
    plan, making
        The order of sewing, and the units made several at a time.
    chains
        The chains.

    Raises
    ------
    CheckError
        Names the chain and the step.
    """
    need: Counter[tuple[int, str]] = Counter({(0, made.id): made.seams for made in making.made if made.seams})
    copies = {unit.name: unit.copies for unit in plan.units}
    for step in plan.steps:
        if step.second:
            need[step.number, ""] += len(copies[step.unit]) - sum(making.ready.get(step.number, {}).values())
    said: Counter[tuple[int, str]] = Counter()
    where: dict[int, int] = {}
    for place, chain in enumerate(chains, start=1):
        if chain.number != place or not chain.links:
            raise CheckError(f"Chain {chain.number} is chain {place}, with {len(chain.links)} links")
        for link in chain.links:
            said[link.step, link.made] += link.count
            where[link.step] = place
    for key in sorted({*need, *said}):
        if need[key] != said[key]:
            what = f"Step {key[0]}" if key[0] else f"Batches {key[1]}"
            raise CheckError(f"{what}: {said[key]} seams in the chains, {need[key]} are to be sewn")
    _check_order(plan, making, where)


def _check_order(plan: SewingPlan, making: MakingPlan, where: dict[int, int]) -> None:
    """Follow the steps, and check that each seam comes in a later chain than all that made its two parts."""
    done: dict[str, tuple[int, int]] = dict.fromkeys(making.patches, (1, 0))
    for step in plan.steps:
        unit = next(unit for unit in plan.units if unit.name == step.unit)
        spots = [unit.copies[0].index(patch) for patch in (*step.first, *step.second)]
        here = where.get(step.number)
        for copy in unit.copies:
            for patch in (copy[spot] for spot in spots):
                before, number = done.get(patch, (0, 0))
                if step.second and here is not None:
                    if before >= here:
                        raise CheckError(f"Step {step.number} is in chain {here}, step {number} before it in {before}")
                    done[patch] = here, step.number
