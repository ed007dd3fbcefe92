"""What lies on the table: units, the first as it is, each further one with an edge along an edge of an earlier one.

It is the key `join` of a unit, read and written.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kit.designs.keys import refuse_keys
from kit.designs.units.edge_names import SWAPPED
from kit.designs.units.unit_words import PlaceWord, read_join, read_word, refuse_unknown


@dataclass(frozen=True, slots=True)
class Lying:
    """A unit on the table.

    Attributes
    ----------
    name, mirrored
        The unit, and whether it is mirrored.
    angle
        Degrees by which the first is turned.
    edge
        Its own edge that is joined, by the name that it has in this copy; empty for the first.
    host, side
        What it is joined to: the place in the list, and the edge there.
    place, shift
        Where the edges lie along one another, as in `JoinWord`.
    """

    name: str
    mirrored: bool = False
    angle: float = 0.0
    edge: str = ""
    host: int = -1
    side: str = ""
    place: PlaceWord | None = None
    shift: str = ""


LyingUnits = tuple[Lying, ...]


def read_lying(texts: Sequence[str], key: str) -> LyingUnits:
    """Read the key `join` of a unit.

    Raises
    ------
    PatchworkError
        A text that cannot be read, or that joins to what is not there.

    Examples
    --------
    >>> read_lying(["arm", "arm.left to arm.left", "arm.end to arm 1.end"], "join")[2].host
    0
    """
    first = read_word(texts[0], key)
    if first.count > 1:
        raise refuse_keys(f"`{key}` begins `{texts[0]:.60}`", "a single unit to begin with", "join the others to it")
    laid = [Lying(first.name, first.mirrored, first.angle)]
    for text in texts[1:]:
        word = read_join(text, key)
        mine = [i for i, one in enumerate(laid) if one.name == word.host]
        if not mine or word.copy > len(mine):
            host = f"{word.host} {word.copy}" if mine else word.host
            raise refuse_unknown("unit so far", host, dict.fromkeys(one.name for one in laid), key)
        host_at = mine[word.copy - 1] if word.copy else mine[-1]
        laid.append(Lying(word.name, word.mirrored, 0.0, word.edge, host_at, word.side, word.place, word.shift))
    return tuple(laid)


def write_lying(table: LyingUnits) -> list[str]:
    """Write what lies as the key `join`; a copy is counted only where it is not the latest of its unit.

    Examples
    --------
    >>> write_lying(read_lying(["arm(90)", "arm.left to arm 1.left", "a(mirror).b to arm 1.end, end"], "join"))
    ['arm(90)', 'arm.left to arm.left', 'a(mirror).b to arm 1.end, end']
    """
    texts = []
    for i, one in enumerate(table):
        if one.host < 0:
            how = " ".join([*(["mirror"] if one.mirrored else []), *([f"{one.angle:.12g}"] if one.angle else [])])
            texts.append(one.name + (f"({how})" if how else ""))
            continue
        host = table[one.host].name
        mine = [k for k in range(i) if table[k].name == host]
        count = "" if one.host == mine[-1] else f" {mine.index(one.host) + 1}"
        place = f", {one.place}" if one.place else ""
        shift = f" {one.shift}" if one.place and one.shift else ""
        turned = "(mirror)" if one.mirrored else ""
        texts.append(f"{one.name}{turned}.{one.edge} to {host}{count}.{one.side}{place}{shift}")
    return texts


def label_lying(table: LyingUnits) -> tuple[str, ...]:
    """Return what each is called: the unit's name, and its number where there are several.

    Examples
    --------
    >>> label_lying((Lying("arm"), Lying("star"), Lying("arm")))
    ('arm 1', 'star', 'arm 2')
    """
    names = [one.name for one in table]
    return tuple(
        name if names.count(name) == 1 else f"{name} {names[: i + 1].count(name)}" for i, name in enumerate(names)
    )


def mirror_lying(table: LyingUnits, at: int) -> LyingUnits:
    """Return the table with one unit mirrored; what is joined stays joined by the same edges."""
    changed = replace(table[at], mirrored=not table[at].mirrored, edge=_swap(table[at].edge))
    return tuple(
        changed if i == at else replace(one, side=_swap(one.side)) if one.host == at else one
        for i, one in enumerate(table)
    )


def _swap(edge: str) -> str:
    return SWAPPED.get(edge, edge)


def list_hanging(table: LyingUnits, at: int) -> tuple[int, ...]:
    """Return one and all that are joined to it, directly or not, in the order of the table."""
    found = {at}
    for i, one in enumerate(table):
        if one.host in found:
            found.add(i)
    return tuple(sorted(found))


def take_lying(table: LyingUnits, at: int) -> LyingUnits:
    """Return the table without one and without all that are joined to it."""
    gone = set(list_hanging(table, at))
    kept = [i for i in range(len(table)) if i not in gone]
    return tuple(replace(table[i], host=kept.index(table[i].host) if table[i].host >= 0 else -1) for i in kept)
