"""The parts that are sewn so far in the rehearsal, the runs of edges along them, and how two are joined.

Every patch keeps the rigid move into the frame of another patch of its part, so joining two parts
is one move, whatever their size. Each edge keeps its sewn stretches.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product

from kit.geometry.outlines import TOLERANCE
from kit.model.sewing import Edge
from kit.rehearsal.cut_cloth import REACH, CannotSewError, CutPiece, across, along

Motion = tuple[complex, complex]
Stretches = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class PlacedEdge:
    """One edge within a run: its place in its part's frame, in its own counter-clockwise direction."""

    patch: str
    label: int
    start: complex
    end: complex


@dataclass(frozen=True)
class EdgeLine:
    """Edges end to end in one straight line.

    Attributes
    ----------
    edges
        In the direction of sewing.
    onward
        Whether the edges' own direction is that of sewing, so that their part lies to the left of the seam; None
        for a single edge without a known direction.
    """

    edges: tuple[PlacedEdge, ...]
    onward: bool | None

    @property
    def start(self) -> complex:
        """The beginning of the sewing."""
        return self.edges[0].start if self.onward else self.edges[0].end

    @property
    def end(self) -> complex:
        """The end of the sewing."""
        return self.edges[-1].end if self.onward else self.edges[-1].start

    @property
    def length(self) -> float:
        """Finished length in inches."""
        return abs(self.end - self.start)

    @property
    def direction(self) -> complex:
        """Unit direction of sewing."""
        return (self.end - self.start) / abs(self.end - self.start)


class SewnParts:
    """Pieces and the parts sewn from them.

    Parameters
    ----------
    cloth
        Patch id -> the cloth of its piece.
    """

    def __init__(self, cloth: Mapping[str, CutPiece]) -> None:
        self.cloth = dict(cloth)
        self.sewn: dict[str, dict[int, Stretches]] = {patch: {} for patch in cloth}
        self.shift: dict[str, int] = {}
        self.copied: set[str] = set()
        self._members: dict[str, set[str]] = {}
        self._parent: dict[str, tuple[str, complex, complex]] = {}

    # ---- parts ---------------------------------------------------------------------------------------------------

    def find(self, patch: str) -> tuple[str, complex, complex]:
        """Return the patch that gives the part its frame, and the move into that frame."""
        path = []
        while patch in self._parent:
            path.append(patch)
            patch = self._parent[patch][0]
        z, w = 1 + 0j, 0j
        for step in reversed(path):
            _, zs, ws = self._parent[step]
            z, w = z * zs, z * ws + w
            self._parent[step] = (patch, z, w)
        return patch, z, w

    def members(self, root: str) -> set[str]:
        """Return the patches of a part."""
        return self._members.get(root) or {root}

    def unite(self, first: str, second: str, move: Motion) -> str:
        """Move the second part into the first part's frame; return the patch that keeps its frame."""
        z, w = move
        z /= abs(z)
        a, b = self.members(first), self.members(second)
        if len(b) > len(a):
            first, second, a, b = second, first, b, a
            z, w = z.conjugate(), -w * z.conjugate()
        self._parent[second] = (first, z, w)
        self._members.pop(second, None)
        a |= b
        self._members[first] = a
        return first

    def copy_part(self, originals: Sequence[str], copy: Sequence[str]) -> None:
        """Lay a second part like a first one, patch for patch."""
        root = copy[0]
        _, z0, w0 = self.find(originals[0])
        for p, q in zip(originals, copy, strict=True):
            _, z, w = self.find(p)
            self._members.pop(q, None)
            self._parent.pop(q, None)
            if q != root:
                self._parent[q] = (root, z / z0, (w - w0) / z0)
            self.cloth[q], self.sewn[q] = self.cloth[p], self.sewn[p]
            self.shift.pop(q, None)
        self._members[root] = set(copy)
        self.copied.update(copy)

    # ---- runs ----------------------------------------------------------------------------------------------------

    def read_run(self, edges: Sequence[Edge]) -> tuple[str, EdgeLine]:
        """Return the part of a run of edges, and the run in its frame.

        Raises
        ------
        CannotSewError
            Edges that do not exist, of several parts, not in one line or not end to end.
        """
        found = [self.find(edge.patch) for edge in edges]
        root = found[0][0]
        for edge, (other, _, _) in zip(edges, found, strict=True):
            if other != root:
                raise CannotSewError(
                    f"patches `{edges[0].patch}` and `{edge.patch}` of one run are not in one part yet"
                )
        choices = [self._choose(edge) for edge in edges]
        failure: CannotSewError | None = None
        try:
            return root, _line_up(self._lay(edges, [choice[0] for choice in choices]))
        except CannotSewError as error:
            failure = error
        for labels in self._other_labels(edges, choices):
            try:
                run = _line_up(self._lay(edges, labels))
            except CannotSewError:
                continue
            self._remember(edges, labels)
            return root, run
        raise failure

    def _choose(self, edge: Edge) -> list[int]:
        """Return the possible labels of an edge of a piece, the label as written first.

        A square looks the same after a quarter turn, so in a copy of a unit its edges may be counted from another
        corner; a trimmed patch has new edges that the piece lacks.
        """
        cloth = self.cloth[edge.patch]
        count = cloth.edges
        label = (edge.edge + self.shift.get(edge.patch, 0)) % count if 0 <= edge.edge < count else edge.edge
        if label not in cloth.lines:
            raise CannotSewError(f"patch `{edge.patch}` has no edge {edge.edge}: its piece has {count}")
        options = [label]
        if edge.patch in self.copied and not cloth.trimmed and cloth.alike < count:
            options += [(label + k) % count for k in range(cloth.alike, count, cloth.alike)]
        return options + [name for name in cloth.trimmed if name != label]

    def _other_labels(self, edges: Sequence[Edge], choices: Sequence[list[int]]) -> Iterable[list[int]]:
        """Yield readings of a run: every reading of its first edge fixes a line for the others."""
        for first in choices[0]:
            try:
                lead = self._lay(edges[:1], [first])[0]
            except CannotSewError:
                continue
            d = (lead.end - lead.start) / abs(lead.end - lead.start)
            options = []
            for edge, choice in zip(edges, choices, strict=True):
                fits = [label for label in choice if self._on_line(edge, label, lead.start, d)]
                options.append(fits)
            yield from (list(labels) for labels in product(*options) if labels[0] == first)

    def _on_line(self, edge: Edge, label: int, origin: complex, direction: complex) -> bool:
        try:
            placed = self._lay([edge], [label])[0]
        except CannotSewError:
            return False
        forward = along(placed.end, placed.start, direction) > 0
        return forward and max(abs(across(p, origin, direction)) for p in (placed.start, placed.end)) <= 2 * REACH

    def _remember(self, edges: Sequence[Edge], labels: Sequence[int]) -> None:
        for edge, label in zip(edges, labels, strict=True):
            count = self.cloth[edge.patch].edges
            if label < count and edge.edge < count:
                self.shift[edge.patch] = (label - edge.edge) % count

    def _lay(self, edges: Sequence[Edge], labels: Sequence[int]) -> list[PlacedEdge]:
        laid = []
        for edge, label in zip(edges, labels, strict=True):
            cloth = self.cloth[edge.patch]
            if label not in cloth.ends:
                raise CannotSewError(f"edge {edge.edge} of patch `{edge.patch}` has been trimmed away")
            a, b = cloth.ends[label]
            _, z, w = self.find(edge.patch)
            laid.append(PlacedEdge(edge.patch, label, z * a + w, z * b + w))
        return laid

    # ---- seams ---------------------------------------------------------------------------------------------------

    def mark(self, run: EdgeLine, stretch: tuple[float, float]) -> None:
        """Note that a stretch of a run, in inches from its start, is sewn.

        Raises
        ------
        CannotSewError
            A stretch that is sewn already.
        """
        direction, start = run.direction, run.start
        for placed in run.edges:
            ends = sorted((along(placed.start, start, direction), along(placed.end, start, direction)))
            low, high = max(ends[0], stretch[0]), min(ends[1], stretch[1])
            if high - low <= REACH:
                continue
            origin = self.cloth[placed.patch].spans[placed.label][0]
            near = low - ends[0] if run.onward else ends[1] - high
            piece = (origin + near, origin + near + high - low)
            done = self.sewn[placed.patch].get(placed.label, ())
            for a, b in done:
                twice = min(b, piece[1]) - max(a, piece[0])
                if twice > 2 * REACH:
                    raise CannotSewError(
                        f"edge {placed.label} of patch `{placed.patch}` is not free:"
                        f" of the {high - low:.4f} in to be sewn {twice:.4f} in are sewn already"
                    )
            self.sewn[placed.patch] = self.sewn[placed.patch] | {placed.label: (*done, piece)}

    def measure_sewn(self, patch: str, label: int) -> float:
        """Return the sewn inches of an edge that remain after trims."""
        low, high = self.cloth[patch].spans[label]
        stretches = self.sewn[patch].get(label, ())
        return sum(max(0.0, min(b, high) - max(a, low)) for a, b in stretches)


def _line_up(laid: Sequence[PlacedEdge]) -> EdgeLine:
    """Check that edges follow one another in one straight line, and return them as one run."""
    lead = laid[0]
    d = (lead.end - lead.start) / abs(lead.end - lead.start)
    if len(laid) == 1:
        return EdgeLine(tuple(laid), None)
    onward = along(laid[1].start, lead.start, d) > 0
    far = max(laid, key=lambda placed: abs(placed.start - lead.start))
    if abs(far.start - lead.start) > TOLERANCE:
        chord = (far.start - lead.start) / abs(far.start - lead.start)
        d = chord if onward else -chord
    room = REACH + TOLERANCE * len(laid)
    for before, placed in pairwise(laid):
        off = max(abs(across(point, lead.start, d)) for point in (placed.start, placed.end))
        if off > room or along(placed.end, placed.start, d) < 0:
            raise CannotSewError(
                f"the edges of patches `{lead.patch}` and `{placed.patch}` are not in one straight line:"
                f" {off:.4f} in off it instead of 0"
            )
        gap = abs(before.end - placed.start) if onward else abs(before.start - placed.end)
        if gap > room:
            raise CannotSewError(
                f"the edges of patches `{before.patch}` and `{placed.patch}` do not follow one another:"
                f" {gap:.4f} in apart instead of 0"
            )
    return EdgeLine(tuple(laid), onward)


def orient(first: EdgeLine, second: EdgeLine) -> tuple[EdgeLine, EdgeLine]:
    """Return both runs with their direction settled: the parts lie on opposite sides of the seam.

    A single edge takes its direction from the other run; two single ones are sewn along the first's own direction.

    Raises
    ------
    CannotSewError
        Both parts on one side of the seam, so that one would be sewn in as its mirror image.
    """
    if first.onward is None:
        first = replace(first, onward=True if second.onward is None else not second.onward)
    if second.onward is None:
        second = replace(second, onward=not first.onward)
    if first.onward == second.onward:
        raise CannotSewError("both runs go the same way around their parts, so one part would lie wrong side up")
    return first, second
