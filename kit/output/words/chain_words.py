"""Chain piecing in words: what is fed through the machine in each chain, how many of each, and how long it takes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kit.model.chains import Chain, ChainLink
from kit.model.pattern import Pattern
from kit.model.sewing import Step
from kit.output.words.strings import TEXTS, say_name

TELLS: Mapping[str, str] = TEXTS["chains"]


@dataclass(frozen=True, slots=True)
class ChainLine:
    """One chain in words, or several that share a line: its number, what is sewn, seams, minutes."""

    number: str
    sew: str
    seams: int
    minutes: float


def say_chain(key: str, **facts: object) -> str:
    """Return a house string about chains with its facts filled in."""
    return TELLS[key].format(**facts)


def list_chains(pattern: Pattern) -> tuple[ChainLine, ...]:
    """Return the chains of a pattern in order; some of them, one after another, share a line.

    Those of a single seam do, and those that each sew the next step of one unit, as many of each.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    steps = {step.number: step for step in pattern.sewing.steps}
    return tuple(_write(group, steps) for group in _group(pattern.chains, steps))


def _group(chains: Sequence[Chain], steps: Mapping[int, Step]) -> Iterator[list[Chain]]:
    def follows(one: Chain, other: Chain) -> bool:
        if one.seams == other.seams == 1 and not any(link.made for link in (*one.links, *other.links)):
            return True
        (link, *more), (after, *others) = one.links, other.links
        if more or others or link.made or after.made or link.count != after.count:
            return False
        return after.step == link.step + 1 and steps[after.step].unit == steps[link.step].unit

    waiting: list[Chain] = []
    for chain in chains:
        if waiting and not follows(waiting[-1], chain):
            yield waiting
            waiting = []
        waiting.append(chain)
    if waiting:
        yield waiting


def _write(group: Sequence[Chain], steps: Mapping[int, Step]) -> ChainLine:
    first, last = group[0], group[-1]
    seams, minutes = sum(chain.seams for chain in group), sum(chain.minutes for chain in group)
    if first is last:
        return ChainLine(f"{first.number}", "; ".join(_write_link(link, steps) for link in first.links), seams, minutes)
    number = say_chain("numbers", first=first.number, last=last.number)
    start, end = steps[first.links[0].step], steps[last.links[-1].step]
    if first.seams == 1:
        return ChainLine(number, say_chain("alone", first=start.told, last=end.told), seams, minutes)
    said = say_chain("in_turn", first=start.told, last=end.told, count=first.seams, unit=say_name(start.unit))
    return ChainLine(number, said, seams, minutes)


def _write_link(link: ChainLink, steps: Mapping[int, Step]) -> str:
    if link.made:
        return say_chain("batches_one" if link.count == 1 else "batches", count=link.count, id=link.made)
    step = steps[link.step]
    return say_chain("step", count=link.count, step=step.told, unit=say_name(step.unit))
