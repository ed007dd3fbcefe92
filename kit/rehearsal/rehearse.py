"""The rehearsal: the quilt sewn virtually, only from the cut list and the written steps."""

from collections import Counter
from collections.abc import Sequence

from kit.geometry.outlines import TOLERANCE
from kit.model.cutting import CutList, Piece
from kit.model.sewing import Rehearsal, SewingPlan, SewnUnit, Step
from kit.rehearsal.comparison import appraise
from kit.rehearsal.cut_cloth import (
    REACH,
    CannotSewError,
    CutPiece,
    across,
    along,
    as_points,
    cut_cloth,
    measure_inside,
    move_in,
    trim_cloth,
)
from kit.rehearsal.misprints import find_miscuts, find_misprints, find_unused
from kit.rehearsal.sewn_parts import EdgeLine, SewnParts, orient


def rehearse(cut_list: CutList, sewing_plan: SewingPlan) -> Rehearsal:
    """Sew the quilt virtually and compare the result with the design.

    Cut each piece; its seam lines are its cut edges moved in by the allowance. Do each step as written: find
    the named edges, lay the second part against the first so that the seam lines coincide (moved and turned, never
    mirrored), and sew the given stretch; trim where told. Make a unit's other copies when its first is done.
    Then lay the result on the design and measure every patch.

    Parameters
    ----------
    cut_list
        The pieces: outlines with allowance, and the patches of each.
    sewing_plan
        The written steps. Their design (`target`) is read only after all sewing.

    Returns
    -------
    Rehearsal
        A damaged plan raises no error: impossible steps and disagreements are listed in `.differences`. Sewing stops
        at the first impossible step.

    Notes
    -----
    Copies of a unit are laid like the first, after a check that corresponding patches have the same piece. About
    0.5 s for 3,000 patches.
    """
    sewing = _Sewing(cut_list, sewing_plan)
    said = [*find_miscuts(cut_list), *find_misprints(cut_list, sewing_plan)]
    if not said:
        try:
            sewing.cut()
            for step in sewing_plan.steps:
                sewing.follow(step)
            sewing.finish()
        except CannotSewError as error:
            said.append(str(error))
    if said:
        unused = find_unused(cut_list, sewing_plan)
        return Rehearsal((0.0, 0.0), agrees=False, differences=tuple(said), left_over=unused)
    return appraise(cut_list, sewing_plan, sewing.parts, sewing.placed_by, sewing.made_of, sewing.done)


class _Sewing:
    """The state of a running rehearsal."""

    def __init__(self, cut_list: CutList, plan: SewingPlan) -> None:
        self.cut_list, self.plan = cut_list, plan
        self.units = {unit.name: unit for unit in plan.units}
        self.left = Counter(step.unit for step in plan.steps)
        self.piece = cut_list.piece_of
        self.placed_by: dict[str, int] = {}
        self.made_of: dict[str, list[tuple[str, tuple[str, ...]]]] = {unit.name: [] for unit in plan.units}
        self.done: dict[str, dict[str, CutPiece]] = {}
        self.belongs: dict[str, str] = {}
        self.waiting: dict[str, list[str]] = {}
        for unit in plan.units:
            if self.left[unit.name]:
                for patch in _others(unit):
                    self.waiting.setdefault(patch, []).append(unit.name)

    def cut(self) -> None:
        """Cut every piece."""
        self.parts = SewnParts({patch: cloth for piece in self.cut_list.pieces for patch, cloth in self._cut(piece)})

    def _cut(self, piece: Piece) -> list[tuple[str, CutPiece]]:
        try:
            cloth = cut_cloth(piece.outline, self.cut_list.allowance)
        except CannotSewError as error:
            raise CannotSewError(f"Piece {piece.id} cannot be sewn: {error}") from None
        return [(patch, cloth) for patch in piece.patches]

    def follow(self, step: Step) -> None:
        """Do one step."""
        try:
            if step.kind == "trim":
                self._trim(step)
            elif step.second:
                self._join(step)
            else:
                self._close(step)
        except CannotSewError as error:
            raise CannotSewError(f"Step {step.number} ({step.unit}) cannot be done: {error}") from None
        self.left[step.unit] -= 1
        if not self.left[step.unit]:
            self._make_copies(self.units[step.unit])

    # ---- one step ------------------------------------------------------------------------------------------------

    def _take(self, step: Step, patches: tuple[str, ...]) -> str:
        """Check that a step names one whole part, and return that part."""
        if not patches:
            raise CannotSewError("it does not name the part that it takes up")
        root = self.parts.find(patches[0])[0]
        members = self.parts.members(root)
        for patch in patches:
            if self.waiting.get(patch):
                unit = self.waiting[patch][0]
                raise CannotSewError(f"patch `{patch}` belongs to a copy of unit {unit}, not finished yet")
        if len(patches) != len(members) or not members.issuperset(patches):
            odd = next((patch for patch in patches if patch not in members), None)
            if odd is not None:
                raise CannotSewError(f"patches `{patches[0]}` and `{odd}` are not sewn together yet")
            if len(set(patches)) < len(patches):
                raise CannotSewError("it names a patch of one part twice")
            raise CannotSewError(
                f"it takes up {len(patches)} patches with `{patches[0]}`, already sewn into a part of {len(members)}:"
                f" patch `{min(members - set(patches))}` belongs to it too"
            )
        owner = self.belongs.get(root)
        if owner is not None and owner != step.unit:
            if self.left[owner]:
                raise CannotSewError(f"unit {owner} is not finished yet: {self.left[owner]} of its steps are to come")
            self.made_of[step.unit].append((owner, tuple(patches)))
        elif owner is None and len(members) == 1:
            self.placed_by.setdefault(patches[0], step.number)
            self.made_of[step.unit].append((self.piece[patches[0]].id, tuple(patches)))
        return root

    def _join(self, step: Step) -> None:
        lies, added = self._take(step, step.first), self._take(step, step.second)
        if lies == added:
            raise CannotSewError(f"patch `{step.second[0]}` is used twice: it is in both parts")
        first, second = self._read(step)
        stretch = _find_stretch(step, first.length, second.length)
        z = first.direction / second.direction
        w = first.start + step.offset * first.direction - z * second.start
        self.parts.mark(first, stretch)
        self.parts.mark(second, (stretch[0] - step.offset, stretch[1] - step.offset))
        root = self.parts.unite(lies, added, (z, w))
        self.belongs[root] = step.unit

    def _read(self, step: Step) -> tuple[EdgeLine, EdgeLine]:
        """Return both runs; each must belong to the part named by the step."""
        if not step.along_first or not step.along_second:
            raise CannotSewError("it does not name the edges that meet")
        runs = []
        for edges, patches in ((step.along_first, step.first), (step.along_second, step.second or step.first)):
            root, run = self.parts.read_run(edges)
            if self.parts.find(patches[0])[0] != root:
                raise CannotSewError(f"the edge of patch `{edges[0].patch}` is not on the part of `{patches[0]}`")
            runs.append(run)
        return orient(runs[0], runs[1])

    def _close(self, step: Step) -> None:
        if step.kind not in ("close", "set in"):
            raise CannotSewError('it adds no second part; only "close" and "set in" may do without')
        root = self._take(step, step.first)
        first, second = self._read(step)
        start, direction = first.start, first.direction
        begins = along(second.start, start, direction)
        off = max(abs(across(point, start, direction)) for point in (second.start, second.end))
        if off > 2 * REACH + TOLERANCE * len(first.edges):
            raise CannotSewError(
                f"the edges of patches `{first.edges[0].patch}` and `{second.edges[0].patch}` lie {off:.4f} in apart"
                " instead of 0"
            )
        if abs(begins - step.offset) > 2 * REACH + TOLERANCE * len(first.edges):
            raise CannotSewError(
                f"the second run begins {begins:.4f} in along the first, the step says {step.offset:.4f} in"
            )
        stretch = _find_stretch(step, first.length, second.length)
        self.parts.mark(first, stretch)
        self.parts.mark(second, (stretch[0] - step.offset, stretch[1] - step.offset))
        self.belongs[root] = step.unit

    def _trim(self, step: Step) -> None:
        root = self._take(step, step.first)
        outline = as_points(step.trim or ())
        if len(outline) < 3 or not _is_convex(outline):
            raise CannotSewError(f"its trim has {len(outline)} corners; a convex outline has at least 3")
        _, z0, w0 = self.parts.find(step.first[0])
        seams = [z0 * corner + w0 for corner in move_in(outline, self.cut_list.allowance)]
        left = 0.0
        for patch in step.first:
            _, z, w = self.parts.find(patch)
            kept = trim_cloth(self.parts.cloth[patch], [(corner - w) / z for corner in seams])
            if kept is None:
                raise CannotSewError(f"the trim cuts off the whole of patch `{patch}`: 0 in of it are left")
            self.parts.cloth[patch] = kept
            left += measure_inside(kept.corners)
        whole = measure_inside(seams)
        if whole - left > REACH * sum(abs(b - a) for a, b in zip(seams, seams[1:] + seams[:1], strict=True)):
            raise CannotSewError(
                f"the trim leaves less than the allowance of {self.cut_list.allowance:g} in somewhere: the patches fill"
                f" {left:.4f} of the {whole:.4f} square inches within its seam lines"
            )
        self.belongs[root] = step.unit

    # ---- copies --------------------------------------------------------------------------------------------------

    def _make_copies(self, unit: SewnUnit) -> None:
        """Make the other copies of a unit, with the same pieces in the same places."""
        first = unit.copies[0]
        root = self.parts.find(first[0])[0]
        members = self.parts.members(root)
        if members != set(first):
            odd = min(members ^ set(first))
            raise CannotSewError(
                f"Unit {unit.name} comes out with {len(members)} patches instead of {len(first)}: look at patch `{odd}`"
            )
        self.done[unit.name] = {patch: self.parts.cloth[patch] for patch in first}
        place = {patch: i for i, patch in enumerate(first)}
        inner = [
            (self.units[name], tuple(place[patch] for patch in patches))
            for name, patches in self.made_of[unit.name]
            if name in self.units
        ]
        known = {sub.name: {frozenset(copy) for copy in sub.copies} for sub, _ in inner}
        for number, copy in enumerate(unit.copies[1:], start=2):
            self._check_pieces(unit, number, copy)
            for sub, places in inner:
                patches = tuple(copy[i] for i in places)
                if frozenset(patches) not in known[sub.name]:
                    raise CannotSewError(
                        f"Copy {number} of unit {unit.name} takes patch `{patches[0]}` in a {sub.name}, but no copy of"
                        f" {sub.name} has the same {len(patches)} patches"
                    )
            for patch in copy:
                self.waiting[patch].remove(unit.name)
            self.parts.copy_part(first, copy)
            self.belongs[copy[0]] = unit.name
            for patch, original in zip(copy, first, strict=True):
                self.placed_by[patch] = self.placed_by.get(original, 0)

    def _check_pieces(self, unit: SewnUnit, number: int, copy: Sequence[str]) -> None:
        inside = set(copy)
        for original, patch in zip(unit.copies[0], copy, strict=True):
            if self.piece[patch].id != self.piece[original].id:
                raise CannotSewError(
                    f"Copy {number} of unit {unit.name} has patch `{patch}` of piece {self.piece[patch].id} where the"
                    f" first has piece {self.piece[original].id}"
                )
            if not inside.issuperset(self.parts.members(self.parts.find(patch)[0])):
                raise CannotSewError(
                    f"Copy {number} of unit {unit.name} uses patch `{patch}`, already sewn into another part"
                )

    def finish(self) -> None:
        """Refuse units begun but never finished."""
        for name, count in self.left.items():
            if count:
                raise CannotSewError(f"Unit {name} is not finished: {count} of its steps are missing")


def _others(unit: SewnUnit) -> list[str]:
    return [patch for copy in unit.copies[1:] for patch in copy]


def _find_stretch(step: Step, first: float, second: float) -> tuple[float, float]:
    """Check that both runs reach far enough, and return the start and end of the sewing."""
    low, high = max(0.0, step.offset), min(first, step.offset + second)
    begin, end = step.sewn if step.sewn[1] - step.sewn[0] > TOLERANCE else (low, high)
    if step.ragged:
        begin, end = max(begin, low), min(end, high)
    elif step.kind == "join" and step.sewn[1] - step.sewn[0] <= TOLERANCE:
        begin, end = 0.0, max(first, second + step.offset)
    room = 2 * REACH + TOLERANCE * (len(step.along_first) + len(step.along_second))
    if end - begin <= room:
        raise CannotSewError(f"nothing is sewn: the runs of {first:.4f} in and {second:.4f} in do not meet")
    if begin < low - room or end > high + room:
        what = "the edges differ in length" if abs(first - second) > room else "the edges are too short"
        raise CannotSewError(
            f"{what}: {first:.4f} in along the first part, {second:.4f} in along the second, and"
            f" {end - begin:.4f} in are to be sewn"
        )
    if step.kind == "join" and not step.ragged and (begin > low + room or end < high - room):
        raise CannotSewError(
            f"the runs of {first:.4f} in and {second:.4f} in meet over {high - low:.4f} in, and the step sews"
            f" {end - begin:.4f} in"
        )
    for place in step.stops:
        if min(abs(place - begin), abs(place - end)) > room:
            raise CannotSewError(
                f"it stops {place:.4f} in along the seam, but the stitching goes from {begin:.4f} to {end:.4f} in"
            )
    return max(begin, low), min(end, high)


def _is_convex(corners: Sequence[complex]) -> bool:
    n = len(corners)
    runs = [corners[(i + 1) % n] - corners[i] for i in range(n)]
    return all((runs[i - 1].conjugate() * runs[i]).imag > 0 for i in range(n))
