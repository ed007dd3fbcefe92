"""The search for a size: every combination of counts, block, sashing and border that finishes within the tolerance.

A quilt's width is a sum of products of a count and a length, so it is linear in each while the others are fixed.
For each block size four sizes are measured, at two counts and two widths of the sashing, and a fifth is compared with
the prediction. If it agrees, the counts within the tolerance are read from an interval for each sashing and border;
if it does not (a spacer that grows by leaps), every pair of counts is measured.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import ceil, floor, log
from typing import Any, Literal, TypeAlias

from kit.designs import FAMILIES, Family
from kit.errors import KitError
from kit.lengths import CM, write_exact
from kit.model.fits import SizeChoice, Target
from kit.study import Study, join_units, study_keys

Parity: TypeAlias = Literal["any", "even", "odd"]
Size = tuple[float, float]
MOST_COUNT = 200
CLOSE = 1e-5
SAME = 1e-9
"""Inches: a length that is no further from a mark of the ruler is that mark."""
UNLIKE = 8.0
"""Points for each halving or doubling, by natural logarithm: a block a tenth larger has 0.8."""
UNEVEN = 4.0
"""Points for a count that is not even, or odd, as wished."""


@dataclass(frozen=True)
class SizeRanges:
    """The choices of the search.

    Attributes
    ----------
    across, down
        Least and greatest counts.
    parity
        The wish for the counts across and down.
    blocks, sashings, borders
        Lengths in inches; empty if the study has none or it must not change.
    """

    across: tuple[int, int]
    down: tuple[int, int]
    parity: tuple[Parity, Parity]
    blocks: tuple[float, ...]
    sashings: tuple[float, ...]
    borders: tuple[float, ...]


class SizeModel:
    """A study in the search: its keys, and its size at any choice.

    Attributes
    ----------
    own
        The choice of the study itself.
    names
        The keys to set: across, down, block, sashing, border.
    steps
        One for each of the two counts, zero for a count that stays as it is.
    """

    def __init__(self, study: Study) -> None:
        self.study, self.keys = study, study_keys(replace(study, editions=()))
        self.allowance = study.measures.seam_allowance
        design = study.design
        self.family = type(design)
        across, down = design.count_keys
        self.steps = (int(across not in design.fixed_counts), int(down not in design.fixed_counts))
        self.by_length = getattr(design, "length_finished", None) is not None
        between = "bars" if getattr(design, "bars", None) else "sashing" if design.sashing else ""
        self.between = between
        plain = bool(design.border) and design.border[-1].pieces == "plain"
        self.names = (across, "" if self.by_length else down, design.size_key or "", between, "border" if plain else "")
        sash = getattr(design, between).finished if between else None
        self.own = SizeChoice(
            getattr(design, across),
            None if self.by_length else getattr(design, down),
            getattr(design, design.size_key) if design.size_key else None,
            sash,
            design.border[-1].finished if plain else None,
        )

    def set(self, choice: SizeChoice, length: float | None = None) -> dict[str, Any]:
        """Return the keys of the study at a choice, with a column's length if the study gives one."""
        design = dict(self.keys["design"])
        across, down, block, between, border = self.names
        design[across] = choice.across
        if down and choice.down is not None:
            design[down] = choice.down
        if block and choice.block is not None:
            design[block] = self._write(choice.block)
        if between and choice.sashing is not None:
            design[between] = {**design[between], "finished": self._write(choice.sashing)}
        if border and choice.border is not None:
            design["border"] = [
                *design["border"][:-1],
                {**design["border"][-1], "finished": self._write(choice.border)},
            ]
        if length is not None:
            design["length_finished"] = self._write(length)
            design.pop("pairs", None)
        return {**self.keys, "design": design}

    def _write(self, inches: float) -> str:
        """Write a length as the study says lengths; one on the ruler is written as it is marked there."""
        if self.study.measures.system == "inch":
            return f"{inches:.9g} in"
        marked = round(inches / CM, 4)
        return f"{marked:.9g} cm" if abs(marked * CM - inches) < SAME else write_exact(inches, "metric")

    def make(self, choice: SizeChoice) -> Family:
        """Return the design at a choice."""
        return FAMILIES[self.study.design.family].model_validate(join_units(self.set(choice)))

    def measure(self, choice: SizeChoice) -> Size:
        """Return the finished size at a choice.

        Raises
        ------
        KitError
            A choice that cannot be built.
        """
        return self.make(choice).measure(self.allowance)


class UnborderedStudy(SizeModel):
    """A study without its borders.

    Attributes
    ----------
    most
        The most that the borders and their spacers add to either side, inches.
    """

    def __init__(self, model: SizeModel) -> None:
        super().__init__(model.study)
        borders = self.study.design.border
        self.most = sum(2 * border.finished * (2 if border.pieces == "plain" else 1) for border in borders)
        for border in borders:
            unit = border.unit_finished or 2 * border.finished
            self.most += 0.0 if border.pieces == "plain" else 4 * unit + 2 * (border.spacer_least or 2 * self.allowance)

    def measure(self, choice: SizeChoice) -> Size:
        """Return the finished size inside the borders."""
        return self.make(choice).model_copy(update={"border": ()}).measure(self.allowance)


def list_lengths(own: float | None, span: tuple[float, float] | None, step: float, around: float) -> tuple[float, ...]:
    """Return the multiples of a step within a span, or within a ratio of the study's own length, itself included."""
    if own is None:
        return ()
    low, high = span or (own / around, own * around)
    inside = {n * step for n in range(max(1, ceil(low / step - 1e-9)), floor(high / step + 1e-9) + 1)}
    if low - 1e-9 <= own <= high + 1e-9:
        inside = {length for length in inside if abs(length - own) > 1e-6} | {own}
    return tuple(sorted(inside))


def judge(
    choice: SizeChoice, size: Size, own: SizeChoice, target: Target, parity: tuple[Parity, Parity]
) -> dict[str, float]:
    """Return the flaws of a choice, each with its points.

    An inch off the size is one point, in width and in height; a block, sashing or border different from the
    study's has eight times the logarithm of its ratio; a wish for even or odd that is not met has four.
    """
    points = {"off in width": abs(size[0] - target.width), "off in height": abs(size[1] - target.height)}
    for name, new, old in (
        ("block", choice.block, own.block),
        ("sashing", choice.sashing, own.sashing),
        ("border", choice.border, own.border),
    ):
        points[f"another {name}"] = UNLIKE * abs(log(new / old)) if new and old else 0.0
    for name, count, wish in zip(("across", "down"), (choice.across, choice.down), parity, strict=True):
        missed = count is not None and wish != "any" and (count % 2 == 0) != (wish == "even")
        points[f"not {wish} {name}"] = UNEVEN * missed
    return {name: value for name, value in points.items() if value > CLOSE}


def search_sizes(model: SizeModel, target: Target, ranges: SizeRanges) -> Iterator[tuple[SizeChoice, Size]]:
    """Yield every choice that finishes within the tolerance, with its finished size.

    A study with a length for its columns is made exactly as long as wanted.
    """
    for block in ranges.blocks or (None,):
        base = replace(model.own, block=block)
        sashings = ranges.sashings or (None,)
        common = _find_lines(model, base, sashings)
        for sash in sashings:
            here = replace(base, sashing=sash)
            lines = common or _find_lines(model, here, (sash,))
            if lines == UNBUILT:
                yield from _measure_all(model, here, target, _keep_counts(here, ranges))
            elif lines is None:
                yield from _measure_all(model, here, target, ranges)
            else:
                yield from _read_off(model, here, lines.at(sash), target, ranges)


def _keep_counts(choice: SizeChoice, ranges: SizeRanges) -> SizeRanges:
    """Return the ranges with the counts of a choice alone: where its neighbours cannot be built, it may be."""
    across = (max(choice.across, ranges.across[0]), min(choice.across, ranges.across[1]))
    down = choice.down or 1
    return replace(ranges, across=across, down=(max(down, ranges.down[0]), min(down, ranges.down[1])))


@dataclass(frozen=True)
class _Lines:
    """The size from the counts: (at the study's own counts, for one more) of the width and of the height."""

    width: Size
    height: Size

    def at(self, sash: float | None) -> "_Lines":  # noqa: ARG002  what is between needs it
        """Return the lines at a width of the sashing; there is only one without sashing."""
        return self


UNBUILT = _Lines((0.0, 0.0), (0.0, 0.0))
"""Stands for a choice that cannot be built."""


@dataclass(frozen=True)
class _Between(_Lines):
    """The lines at two widths of the sashing; each length is linear in between."""

    other: _Lines
    spots: Size

    def at(self, sash: float | None) -> _Lines:
        """Return the lines at a width of the sashing."""
        share = ((sash or 0.0) - self.spots[0]) / (self.spots[1] - self.spots[0])

        def between(a: Size, b: Size) -> Size:
            return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])

        return _Lines(between(self.width, self.other.width), between(self.height, self.other.height))


def _read_off(
    model: SizeModel, base: SizeChoice, lines: _Lines, target: Target, ranges: SizeRanges
) -> Iterator[tuple[SizeChoice, Size]]:
    """Yield the choices within the tolerance by the lines, for every border."""
    for border in ranges.borders or (None,):
        more = 2 * (border - model.own.border) if border is not None and model.own.border is not None else 0.0
        wide = _fit_counts(lines.width, more, base.across, target.width, target.tolerance, ranges.across)
        high: list[tuple[int | None, float]] = [(None, target.height)]
        if base.down is not None:
            high = list(_fit_counts(lines.height, more, base.down, target.height, target.tolerance, ranges.down))
        for (across, width), (down, height) in product(wide, high):
            yield replace(base, across=across, down=down, border=border), (width, height)


def _find_lines(model: SizeModel, base: SizeChoice, sashings: Sequence[float | None]) -> _Lines | None:
    """Return width and height as lines in counts and sashing, None if they are not linear.

    For a single sashing that cannot be built, "unbuilt" is returned; for several, None.
    """
    try:
        return _try_lines(model, base, sashings)
    except KitError:
        return UNBUILT if len(sashings) == 1 else None


def _try_lines(model: SizeModel, base: SizeChoice, sashings: Sequence[float | None]) -> _Lines | None:
    low, high = sashings[0], sashings[-1]
    lines = _measure_lines(model, replace(base, sashing=low))
    if low is not None and high is not None and high > low + CLOSE:
        other = _measure_lines(model, replace(base, sashing=high))
        lines = _Between(lines.width, lines.height, other, (low, high))
    border = None if base.border is None else base.border + 1
    sash = sashings[len(sashings) // 2]
    right, up = model.steps
    far = replace(base, across=base.across + 3 * right, down=_add(base.down, 2 * up), sashing=sash, border=border)
    here, more = lines.at(sash), 2.0 if border is not None else 0.0
    said = here.width[0] + 3 * here.width[1] + more, here.height[0] + 2 * here.height[1] + more
    found = model.measure(far)
    return lines if max(abs(a - b) for a, b in zip(said, found, strict=True)) < CLOSE else None


def _measure_lines(model: SizeModel, base: SizeChoice) -> _Lines:
    here = model.measure(base)
    right, up = model.steps
    one = model.measure(replace(base, across=base.across + right, down=_add(base.down, up)))
    return _Lines((here[0], one[0] - here[0]), (here[1], one[1] - here[1]))


def _add(count: int | None, more: int) -> int | None:
    return None if count is None else count + more


def _fit_counts(
    line: tuple[float, float], more: float, count: int, wanted: float, tolerance: float, span: tuple[int, int]
) -> Iterator[tuple[int, float]]:
    """Yield the counts within a span and within the tolerance, with the length for each."""
    start, step = line[0] + more, line[1]
    if step <= CLOSE:
        if abs(start - wanted) <= tolerance + CLOSE and span[0] <= count <= span[1]:
            yield count, start
        return
    low = ceil((wanted - tolerance - start) / step - 1e-6) + count
    high = floor((wanted + tolerance - start) / step + 1e-6) + count
    for n in range(max(low, span[0]), min(high, span[1]) + 1):
        yield n, start + (n - count) * step


def _measure_all(
    model: SizeModel, base: SizeChoice, target: Target, ranges: SizeRanges
) -> Iterator[tuple[SizeChoice, Size]]:
    """Yield the choices within the tolerance by measuring each pair of counts possible with the borders.

    The inside of the borders grows in a line; the borders and spacers add between zero and their most.
    """
    inside = UnborderedStudy(model)
    inside.most += 2 * max(ranges.borders, default=0.0)
    lines = _find_lines(inside, replace(base, border=None), (base.sashing,))
    if lines is None or lines == UNBUILT:
        across, down = range(ranges.across[0], ranges.across[1] + 1), range(ranges.down[0], ranges.down[1] + 1)
    else:
        across = _bound_counts(lines.width, base.across, target.width, target.tolerance, inside.most, ranges.across)
        rows = base.down or 0
        down = _bound_counts(lines.height, rows, target.height, target.tolerance, inside.most, ranges.down)
    own = model.own.border
    for n, m in product(across, down if base.down is not None else (None,)):
        choice = replace(base, across=n, down=m, border=own)
        try:
            width, height = model.measure(choice)
        except KitError:
            continue
        for border in ranges.borders or (own,):
            more = 2 * (border - own) if border is not None and own is not None else 0.0
            size = width + more, height + more
            if max(abs(size[0] - target.width), abs(size[1] - target.height)) <= target.tolerance + CLOSE:
                yield replace(choice, border=border), size


def _bound_counts(line: Size, count: int, wanted: float, tolerance: float, most: float, span: tuple[int, int]) -> range:
    """Return the counts within a span that the line, or a limited excess over it, brings within the tolerance."""
    start, step = line
    if step <= CLOSE:
        return range(max(count, span[0]), min(count, span[1]) + 1)
    low = ceil((wanted - tolerance - most - start) / step - 1e-6) + count
    high = floor((wanted + tolerance - start) / step + 1e-6) + count
    return range(max(low, span[0]), min(high, span[1]) + 1)
