"""Chain piecing in words: what is fed through the machine in each chain, how many of each, and how long it takes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kit.model.chains import Chain, ChainLink
from kit.model.pattern import Pattern
from kit.model.sewing import Step
from kit.output.words.strings import TEXTS

TELLS: Mapping[str, str] = TEXTS["chains"]


@dataclass(frozen=True, slots=True)
class ChainLine:
    """One chain in words, or several of a single seam each: its number, what is sewn, seams, minutes."""

    number: str
    sew: str
    seams: int
    minutes: float


def say_chain(key: str, **facts: object) -> str:
    """Return a house string about chains with its facts filled in."""
    return TELLS[key].format(**facts)


def list_chains(pattern: Pattern) -> tuple[ChainLine, ...]:
    """Return the chains of a pattern in order; those of a single seam, one after another, share a line.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    steps = {step.number: step for step in pattern.sewing.steps}
    return tuple(_write(group, steps) for group in _group(pattern.chains))


def _group(chains: Sequence[Chain]) -> Iterator[list[Chain]]:
    waiting: list[Chain] = []
    for chain in chains:
        if chain.seams == 1:
            waiting.append(chain)
            continue
        if waiting:
            yield waiting
            waiting = []
        yield [chain]
    if waiting:
        yield waiting


def _write(group: Sequence[Chain], steps: Mapping[int, Step]) -> ChainLine:
    first, last = group[0], group[-1]
    seams, minutes = sum(chain.seams for chain in group), sum(chain.minutes for chain in group)
    if first is not last:
        number = say_chain("numbers", first=first.number, last=last.number)
        ends = (steps[link.step].told for link in (first.links[0], last.links[-1]))
        return ChainLine(number, say_chain("alone", first=next(ends), last=next(ends)), seams, minutes)
    return ChainLine(f"{first.number}", "; ".join(_write_link(link, steps) for link in first.links), seams, minutes)


def _write_link(link: ChainLink, steps: Mapping[int, Step]) -> str:
    if link.made:
        return say_chain("batches", count=link.count, id=link.made)
    step = steps[link.step]
    return say_chain("step", count=link.count, step=step.told, unit=step.unit)
