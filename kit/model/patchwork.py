"""The patchwork: finished patches that tile a top."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from kit.errors import PatchworkError
from kit.geometry.mesh import Mesh, build_mesh, count_parts, find_crossing, find_gaps, find_overlaps
from kit.geometry.outlines import TOLERANCE, Outline, measure_area, measure_box, measure_edges, tidy_outline
from kit.geometry.settling import settle_corners
from kit.lengths import Length, take_length, write_refused, write_refused_area, write_refused_place
from kit.model.drawn_grain import keep_level
from kit.model.frames import Frame
from kit.model.units import Group, Unit, Within, find_repeating, read_units

__all__ = ["LIMIT", "Group", "Patch", "Patchwork", "Trim", "Within", "check_count", "patchwork_from_outlines"]

LIMIT = 20_000
"""The most patches in a patchwork; more are refused before they are built."""


@dataclass(frozen=True, slots=True)
class Patch:
    """One finished shape of the top.

    Attributes
    ----------
    id
        Unique name; ids sort in reading order of the top.
    outline
        Finished outline: (x, y) corners in inches, counter-clockwise.
    slot
        The role of its fabric.
    name
        The maker's name for it ("blade", "log"); units take their names from it.
    group
        The copies of units that hold it, from the outermost in; the top itself is left out.
    grain
        Direction of the straight grain in degrees from x; matters modulo 90.
    sewn
        Finished outline before trimming, if the patch is trimmed later with its part of the top; None if it is not
        trimmed.
    unit
        Name of the unit that the patch is by itself; empty for a patch that is only a part of one.
    """

    id: str
    outline: Outline
    slot: str
    name: str = "patch"
    group: Group = ()
    grain: float = 0.0
    sewn: Outline | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Trim:
    """A part of the top sewn larger and then cut straight to its finished outline plus the allowance."""

    group: Group
    outline: Outline


@dataclass(frozen=True)
class Patchwork:
    """Patches that tile one region without gap or overlap.

    Attributes
    ----------
    patches
        The patches, ids unique.
    allowance
        Seam allowance in inches.
    trims
        The parts that are trimmed after sewing, the innermost first.
    frames
        What goes round the middle, from the inside; empty where the design has no frames or nobody knows of any.
    """

    patches: tuple[Patch, ...]
    allowance: float = 0.25
    trims: tuple[Trim, ...] = ()
    frames: tuple[Frame, ...] = ()

    def __post_init__(self) -> None:
        if not self.patches:
            raise PatchworkError("The patchwork has no patches", needed="at least one", do="add a patch")
        check_count(len(self.patches))
        if not 0 < self.allowance < 10:
            raise PatchworkError(
                f"The seam allowance is {write_refused(self.allowance)}", needed="more than 0", do="use 1/4 in"
            )
        if len(self.by_id) != len(self.patches):
            twice = next(name for name, count in Counter(p.id for p in self.patches).items() if count > 1)
            raise PatchworkError(f"Two patches are called `{twice}`", needed="unique ids", do="rename one")
        for missing in (name for frame in self.frames for name in frame.patches if name not in self.by_id):
            raise PatchworkError(
                f"A frame names the patch `{missing}`", needed="patches of the patchwork", do="correct the frame"
            )

    @cached_property
    def by_id(self) -> Mapping[str, Patch]:
        """The patches by their ids."""
        return {patch.id: patch for patch in self.patches}

    @cached_property
    def mesh(self) -> Mesh:
        """The finished outlines noded against one another; built once."""
        return build_mesh([patch.outline for patch in self.patches])

    @cached_property
    def units(self) -> Unit:
        """The tree of units: the top, and in it every part that is made on its own, each once with its copies.

        A design that names no units gets those that are found in it.
        """
        if any(patch.group or patch.unit for patch in self.patches):
            return read_units(self.patches)
        return find_repeating(self.patches, self.mesh)

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """(left, bottom, right, top) of the finished top in inches."""
        return measure_box(point for patch in self.patches for point in patch.outline)

    @property
    def finished(self) -> tuple[float, float]:
        """Finished (width, height) of the top in inches."""
        left, bottom, right, top = self.box
        return right - left, top - bottom

    @cached_property
    def area(self) -> float:
        """Finished area of all patches together, square inches."""
        return sum(measure_area(patch.outline) for patch in self.patches)

    def list_outlines(self, part: Sequence[str]) -> tuple[Outline, ...]:
        """Return the outlines of patches as they are when just these have been sewn together.

        A patch that is trimmed only later, with more than the part, is still as it was sewn; any other is finished.
        """
        return tuple(
            patch.outline if patch.sewn is None or self._trim_size(patch) <= len(part) else patch.sewn
            for patch in (self.by_id[name] for name in part)
        )

    def _trim_size(self, patch: Patch) -> int:
        """Return the number of patches that are trimmed with a patch, by the innermost trim around it."""
        sizes = self._trim_sizes
        return next((sizes[patch.group[:n]] for n in range(len(patch.group), -1, -1) if patch.group[:n] in sizes), 0)

    @cached_property
    def _trim_sizes(self) -> Mapping[Group, int]:
        return {
            trim.group: sum(patch.group[: len(trim.group)] == trim.group for patch in self.patches)
            for trim in self.trims
        }

    @property
    def slots(self) -> tuple[str, ...]:
        """The slots in the order of their first patch."""
        return tuple(dict.fromkeys(patch.slot for patch in self.patches))

    def verify(self) -> "Patchwork":
        """Check that the patchwork can be a pieced top, and return it.

        No outline crosses itself, no sewn edge is under two allowances, and the outlines tile one region
        (the proof is in `kit.geometry.mesh`).

        Raises
        ------
        PatchworkError
            Names the patches, the figures and the remedy.

        Notes
        -----
        Some 60 ms for 3,000 patches; finding the place of a flaw takes longer.
        """
        _refuse_crossing(self)
        _refuse_short_edges(self)
        if not self.mesh.tiles():
            _explain_flaw(self)
        return self


def patchwork_from_outlines(
    outlines: Sequence[Sequence[Sequence[float]]],
    slots: Sequence[str] | None = None,
    allowance: Length = 0.25,
) -> Patchwork:
    """Make a verified patchwork from any straight-edged outlines.

    Parameters
    ----------
    outlines
        One sequence of (x, y) corners in inches per patch, in either direction; a neighbour's corner may lie within
        an edge. Five decimals are enough: a corner is laid on the edge from which it is a rounding away.
    slots
        The slot of each patch; all "patch" when None.
    allowance
        Seam allowance, inches or a text with its unit.

    Returns
    -------
    Patchwork
        Its patches are called "patch-0001" and so on, in the order given. The straight grain is level; equal shapes
        at several turns have it alike.

    Raises
    ------
    PatchworkError
        Gaps, overlaps, outlines that cross themselves, edges too short to sew, a count of slots that differs.

    Examples
    --------
    >>> half = [[(0, 0), (4, 0), (0, 4)], [(4, 0), (4, 4), (0, 4)]]
    >>> [patch.id for patch in patchwork_from_outlines(half, ["dark", "light"]).patches]
    ['patch-0001', 'patch-0002']
    """
    shapes = list(outlines)
    check_count(len(shapes))
    names = ["patch"] * len(shapes) if slots is None else [str(slot) for slot in slots]
    if len(names) != len(shapes):
        raise PatchworkError(
            f"There are {len(shapes)} outlines and {len(names)} slots",
            needed="one slot per outline",
            do="give as many slots as outlines, or none",
        )
    tidy = [tidy_outline(shape, name=f"outline {i}") for i, shape in enumerate(shapes, start=1)]
    if tidy and not build_mesh(tidy).tiles():
        tidy = settle_corners(tidy)
    patches = tuple(
        Patch(f"patch-{i:04d}", outline, slot, grain=grain)
        for i, (outline, slot, grain) in enumerate(zip(tidy, names, keep_level(tidy, names), strict=True), start=1)
    )
    return Patchwork(patches, take_length(allowance, "seam allowance")).verify()


def check_count(count: float) -> None:
    """Refuse more patches than a patchwork may have.

    Raises
    ------
    PatchworkError
        More than `LIMIT` patches.
    """
    if count > LIMIT:
        raise PatchworkError(
            f"The design would have {count:,.0f} patches",
            needed=f"at most {LIMIT:,}",
            do="use fewer columns or rows, or larger patches",
        )


def _refuse_crossing(patchwork: Patchwork) -> None:
    patches = patchwork.patches
    for i, why in find_crossing([patch.outline for patch in patches])[:1]:
        raise PatchworkError(
            f"Patch `{patches[i].id}` crosses or touches itself ({why})",
            needed="an outline whose edges meet only at its corners",
            do="correct the order of its corners or split it into two patches",
        )


def _refuse_short_edges(patchwork: Patchwork) -> None:
    shortest = 2 * patchwork.allowance
    for patch in patchwork.patches:
        least = min(measure_edges(patch.sewn or patch.outline))
        if least < shortest - TOLERANCE:
            raise PatchworkError(
                f"Patch `{patch.id}` has a {write_refused(round(least, 3))} edge",
                needed=f"with a {write_refused(patchwork.allowance)} allowance the shortest sewable edge is"
                f" {write_refused(shortest)}",
                do="widen that part of the design or merge the patch with its neighbour",
            )


def _explain_flaw(patchwork: Patchwork) -> None:
    """Raise the error with the place where the patches overlap, gape or fall apart."""
    patches = patchwork.patches
    outlines = [patch.outline for patch in patches]
    overlaps = find_overlaps(outlines)
    if overlaps:
        i, j, area = max(overlaps, key=lambda found: found[2])
        raise PatchworkError(
            f"Patches `{patches[i].id}` and `{patches[j].id}` overlap by {write_refused_area(area, form='.4f')}"
            + (f", and {len(overlaps) - 1} more pairs overlap" if len(overlaps) > 1 else ""),
            needed="patches that only meet along their edges",
            do="move their shared corners to the same place",
        )
    gaps = find_gaps(outlines)
    if gaps:
        hole, around = gaps[0]
        names = ", ".join(f"`{patches[i].id}`" for i in around[:6])
        raise PatchworkError(
            f"There is a gap of {write_refused_area(abs(measure_area(hole)), form='.4f')} at"
            f" {write_refused_place(hole[0])} between {names}",
            needed="patches that leave no gap",
            do="move their corners together, or add a patch there",
        )
    parts = count_parts(outlines)
    found = f"The patches fall into {parts} parts" if parts > 1 else "The patches' edges almost meet but do not"
    raise PatchworkError(
        found,
        needed=f"one region; corners within {write_refused(TOLERANCE)} count as one",
        do="move the parts together until they share edges",
    )
