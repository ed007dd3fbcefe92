"""Joins: each unit is laid with an edge along an edge of what is there, as one would sew."""

from collections.abc import Callable, Sequence

from kit.designs.keys import refuse_keys
from kit.designs.units.built_unit import BuiltUnit, Copy, measure_edge, number_copies
from kit.designs.units.edge_names import UnitEdge, mirror_names
from kit.designs.units.unit_words import JoinWord, PlaceWord, read_join, read_word, refuse_unknown, write_both
from kit.geometry.outlines import TOLERANCE
from kit.geometry.rigid_move import RigidMove, lay_against, make_turn
from kit.lengths import write_length


def list_joined(texts: Sequence[str], key: str) -> list[str]:
    """Return the name of each unit that is joined, in order."""
    return [read_word(texts[0], key).name, *(read_join(text, key).name for text in texts[1:])]


def lay_joined(
    name: str, texts: Sequence[str], make: Callable[[str], BuiltUnit], find_length: Callable[[str], float]
) -> list[Copy]:
    """Return the units in their places, the first as it lies.

    Parameters
    ----------
    name
        Of the unit that they make.
    texts
        Of its key `join`.
    make
        Returns a unit by its name.
    find_length
        Returns the inches that a text says.

    Raises
    ------
    PatchworkError
        Edges that are not there or do not match, and units joined beyond the end of an edge.
    """
    key = f"unit.{name}.join"
    first = read_word(texts[0], key)
    if first.count > 1:
        raise refuse_keys(f"`{key}` begins `{texts[0]:.60}`", "a single unit to begin with", "join the others to it")
    placed: list[tuple[BuiltUnit, RigidMove]] = [(make(first.name), make_turn(first.angle, mirrored=first.mirrored))]
    for text in texts[1:]:
        word = read_join(text, key)
        host = find_host(word, number_copies(placed), key)
        unit = make(word.name)
        placed.append((unit, join_to(word, unit, host, key, find_length)))
    return number_copies(placed)


def find_host(word: JoinWord, copies: Sequence[Copy], key: str) -> Copy:
    """Return the copy that a unit is joined to: the latest one of its name, or the one that is counted.

    Raises
    ------
    PatchworkError
        One that is not there.
    """
    found = [copy for copy in copies if copy.unit.name == word.host]
    if not found:
        raise refuse_unknown("unit so far", word.host, dict.fromkeys(copy.unit.name for copy in copies), key)
    if word.copy > len(found):
        raise refuse_keys(
            f"`{key}` joins to `{word.host} {word.copy}`, and so far there are {len(found)}",
            f"a copy from 1 to {len(found)}",
            "join the others first, or count again",
        )
    return found[word.copy - 1] if word.copy else found[-1]


def join_to(word: JoinWord, unit: BuiltUnit, host: Copy, key: str, find_length: Callable[[str], float]) -> RigidMove:
    """Return the move that joins a unit to a copy that is there.

    Raises
    ------
    PatchworkError
        An edge that is not there, or edges that do not match or would not touch.
    """
    if word.side not in host.edges:
        raise refuse_unknown(f"edge of `{host.unit.name}`", word.side, host.edges, key)
    edge = find_own_edge(unit, word.edge, key, mirrored=word.mirrored)
    names = f"{word.name}.{word.edge}", f"{word.host}.{word.side}"
    shift = find_length(word.shift) if word.shift else 0.0
    return lay_edge(edge, host.edges[word.side], word.place, shift, names, key, mirrored=word.mirrored)


def find_own_edge(unit: BuiltUnit, name: str, key: str, *, mirrored: bool) -> UnitEdge:
    """Return an edge of a unit as it lies unmirrored, by the name that it has in the copy."""
    edges = mirror_names(unit.edges) if mirrored else unit.edges
    if name not in edges:
        raise refuse_unknown(f"edge of `{unit.name}`", name, edges, key)
    return edges[name]


def lay_edge(
    edge: UnitEdge,
    other: UnitEdge,
    place: PlaceWord | None,
    shift: float,
    names: tuple[str, str],
    key: str,
    *,
    mirrored: bool,
) -> RigidMove:
    """Return the move that lays an edge along another.

    Parameters
    ----------
    edge
        Of what is moved, as it lies before.
    other
        Of what is there, in its place.
    place
        Where both lie on one another, counted along `other`; None where they are equally long.
    shift
        Inches by which it is moved on from the start or the middle, or back from the end.
    names
        Of both edges, for the errors.
    key
        That asks for it, for the errors.
    mirrored
        Whether what is moved is mirrored.

    Raises
    ------
    PatchworkError
        Edges of unlike length without a place, or edges that would not touch.
    """
    own, there = measure_edge(edge), measure_edge(other)
    if place is None and abs(own - there) > TOLERANCE:
        said = write_both(own, there)
        raise refuse_keys(
            f"`{key}`: `{names[0]}` is {said[0]} and `{names[1]}` is {said[1]}",
            "edges of one length, or a word that says where the one lies along the other",
            f"make `{names[0]}` {said[1]} long, or place it `start`, `middle` or `end` and fill the rest",
        )
    along = {"start": shift, "end": there - own - shift}.get(place or "middle", (there - own) / 2 + shift)
    if min(along + own, there) - max(along, 0.0) <= TOLERANCE:
        raise refuse_keys(
            f"`{key}`: `{names[0]}` would lie {write_length(shift)} along `{names[1]}`, which is"
            f" {write_length(there)}, and not touch it",
            "edges that lie along one another",
            "move it by less",
        )
    return lay_against(edge, other, along, mirrored=mirrored)
