"""Fit: the ten best ways to bring a study to a wanted size, with the cloth for each."""

from bisect import insort
from dataclasses import replace

from kit.errors import KitError
from kit.fitting.beds import aim
from kit.fitting.fit_keys import check_counts, fit_keys
from kit.fitting.key_ranges import KeyWishes, Span
from kit.fitting.search import MOST_COUNT, Parity, Size, SizeModel, SizeRanges, judge, list_lengths, search_sizes
from kit.lengths import CM, Length, take_lengths, use_system, write_length
from kit.model.fits import Fit, Option, SizeChoice, Target
from kit.pipeline import make_sketch
from kit.progress import Progress, keep_quiet, report, until_stopped
from kit.study import Study, study_from_keys

_Entry = tuple[float, tuple[float, ...], SizeChoice, Size]
MOST_LENGTHS = 400
"""Block sizes, sashings or borders of one search."""


def fit(  # noqa: PLR0913  every quantity has its own keyword
    study: Study,
    width: Length | None = None,
    height: Length | None = None,
    *,
    bed: str | tuple[Length, Length] | None = None,
    drop: Length = 14.0,
    foot: Length | None = None,
    tuck: Length = 0.0,
    shrinkage: float | tuple[float, float] = 0.0,
    tolerance: Length = 2.0,
    across: Parity = "any",
    down: Parity = "any",
    counts: tuple[tuple[int, int], tuple[int, int]] = ((1, MOST_COUNT), (1, MOST_COUNT)),
    block: Span | None = None,
    sashing: Span | None = None,
    border: Span | None = None,
    keys: KeyWishes | None = None,
    most: int = 10,
    progress: Progress = keep_quiet,
) -> Fit:
    """Return the best ways to bring a study to a wanted finished size.

    Take every combination of counts, block sizes on the ruler, sashing and outermost border that finishes
    within the tolerance. Count the flaws of each. Take the least odd of each pair of counts, and if there are
    too few pairs, the next ones; make a sketch of each for its cloth. A combination that cannot be built is left out
    with its reason.

    A study of units is searched by its keys: the lengths that its units share, the counts in its units, and counts,
    sashing, outermost border and block of its top. The fewest changed values come first, at most three; among equals
    the nearest to the size. So is any study if `keys` names keys of it.

    Parameters
    ----------
    study
        The study for the size; it is not changed.
    width, height, bed, drop, foot, tuck, shrinkage, tolerance
        The size, as for `aim`.
    across, down
        Wishes: "even" or "odd" counts.
    counts
        ((least, greatest) across, (least, greatest) down).
    block, sashing, border
        (least, greatest) of the block's key length, of the finished sashing or bars, and of the
        outermost border; left out, three quarters to four thirds of the study's own block, half to twice the others.
    keys
        Keys that alone may change, as the study file names them, with (least, greatest) or None for the usual range:
        {"unit.arm.pairs": (4, 9), "strip_cut": ("2 in", "3 in")}; or a list of keys. A key whose range leaves the
        study's own value out always changes. `counts`, `block`, `sashing` and `border` are then left out.
    most
        The most options to return.
    progress
        Told how many sizes are built and how far the sketches are; a stop leaves the sketches that are made.

    Returns
    -------
    Fit
        Its options the least odd first; each has a sketch, and its sketch a study of the size.

    Raises
    ------
    KitError
        A size that cannot be read, an unknown key (gives the nearest), a range without a value, or no combination
        within the tolerance (gives the nearest one).

    Notes
    -----
    A quarter of a second for the search over blocks, sashing and border together; then a quick sketch for each option.
    A search by keys builds at most 600 tops to measure them, some 20 ms each for a top of 200 patches.

    Examples
    --------
    >>> from kit.study import open_study
    >>> wheel = open_study("data/studies/harbour-wheel.toml")
    >>> found = fit(wheel, bed="queen", tolerance="4 in", keys={"strip_cut": None, "unit.pier.geese": (4, 7)})
    >>> [(change.key, change.old, change.new) for change in found.options[0].changes]
    [('strip_cut', '3 in', '4 in'), ('unit.pier.geese', 4, 5)]
    """
    with use_system(study.measures.system):
        target = aim(width, height, bed=bed, drop=drop, foot=foot, tuck=tuck, shrinkage=shrinkage, tolerance=tolerance)
    if keys is not None or study.design.family == "units":
        spans = {"block": block, "sashing": sashing, "border": border}
        return fit_keys(study, target, keys, counts, {"across": across, "down": down}, spans, most, progress)
    model = SizeModel(study)
    ranges = _choose_ranges(model, counts, (across, down), block, sashing, border)
    best: dict[tuple[int, int | None], list[_Entry]] = {}
    tried = 0
    for choice, size in search_sizes(model, target, ranges):
        tried += 1
        points = sum(judge(choice, size, model.own, target, ranges.parity).values())
        kept = best.setdefault((choice.across, choice.down), [])
        insort(kept, (round(points, 6), _list_numbers(choice), choice, size), key=lambda entry: entry[:2])
        del kept[most:]
    if not best:
        raise _refuse(model, target, ranges)
    options: list[Option] = []
    refused: list[str] = []
    firsts = sorted((kept[0] for kept in best.values()), key=lambda entry: entry[:2])
    others = sorted((entry for kept in best.values() for entry in kept[1:]), key=lambda entry: entry[:2])
    ranked = [*firsts, *others[: max(0, 6 * most - len(firsts))]]
    with until_stopped():
        for _, _, choice, size in ranked:
            if len(options) == most or len(refused) > 5 * most:
                break
            try:
                options.append(_make(model, choice, size, target, ranges.parity))
            except KitError as error:
                refused.append(f"{choice.across} across, {choice.down} down: {error}")
            report(progress, "sketches", len(options), min(most, len(ranked)))
    options.sort(key=lambda option: round(option.oddness, 6))
    return Fit(target, tuple(options), tried, tuple(refused), model.names)


def _make(model: SizeModel, choice: SizeChoice, size: Size, target: Target, parity: tuple[Parity, Parity]) -> Option:
    """Return an option with its sketch; its size is that of the sketch."""
    length = None
    if model.by_length:
        own = getattr(model.study.design, "length_finished")  # noqa: B009  braids alone have it
        length = own + target.height - model.measure(choice)[1]
        if length <= 0:
            raise KitError("No length is left for the columns", needed="a taller quilt", do="narrow the borders")
    sketch = make_sketch(study_from_keys(model.set(choice, length)))
    finished = sketch.patchwork.finished
    points = judge(choice, finished, model.own, target, parity)
    if max(abs(a - b) for a, b in zip(finished, size, strict=True)) > 1e-4:
        raise KitError(
            f"It finishes {finished[0]:.4f} by {finished[1]:.4f} in instead of {size[0]:.4f} by {size[1]:.4f} in",
            needed="the same",
            do="report this study; the study as it is, and sizes beside this one, can still be made",
        )
    return Option(choice, finished, tuple(points.items()), sketch)


def _list_numbers(choice: SizeChoice) -> tuple[float, ...]:
    numbers = (choice.across, choice.down, choice.block, choice.sashing, choice.border)
    return tuple(float(number) if number is not None else 0.0 for number in numbers)


def _choose_ranges(
    model: SizeModel,
    counts: tuple[tuple[int, int], tuple[int, int]],
    parity: tuple[Parity, Parity],
    block: Span | None,
    sashing: Span | None,
    border: Span | None,
) -> SizeRanges:
    """Return the choices of the search; lengths are on the ruler, in eighths of an inch or half centimetres."""
    step = CM / 2 if model.study.measures.system == "metric" else 0.125
    spans = [_read_span(name, span) for name, span in (("block", block), ("sashing", sashing), ("border", border))]
    own = model.own
    check_counts(counts, parity)
    lengths = (
        list_lengths(own.block, spans[0], step * model.family.parts, 4 / 3),
        list_lengths(own.sashing, spans[1], step, 2.0),
        list_lengths(own.border, spans[2], step, 2.0),
    )
    for name, found, span in zip(("block", "sashing", "border"), lengths, spans, strict=True):
        if span is not None and not found:
            raise KitError(
                f"No length of the {name} lies from {write_length(span[0])} to {write_length(span[1])}",
                needed="a study with such a length, and a range with a mark of the ruler inside",
                do="widen the range or leave it out",
            )
        if len(found) > MOST_LENGTHS:
            raise KitError(
                f"{len(found)} lengths of the {name} would be tried", needed=f"at most {MOST_LENGTHS}", do="narrow it"
            )
    return SizeRanges(counts[0], counts[1], parity, *lengths)


def _read_span(name: str, span: Span | None) -> tuple[float, float] | None:
    if span is None:
        return None
    low, high = take_lengths(span, "range")
    if not 0 < low <= high:
        raise KitError(f"The range of the {name} is {low:g} to {high:g} in", needed="least, greatest", do="correct it")
    return low, high


def _refuse(model: SizeModel, target: Target, ranges: SizeRanges) -> KitError:
    """Return the error with the nearest combination."""
    wide = replace(target, tolerance=max(target.width, target.height))
    near = min(
        (
            max(abs(size[0] - target.width), abs(size[1] - target.height))
            for _, size in search_sizes(model, wide, ranges)
        ),
        default=None,
    )
    size = f"{write_length(target.width)} × {write_length(target.height)}"
    said = "" if near is None else f"; the nearest is off by {write_length(near)}"
    return KitError(
        f"Nothing finishes within {write_length(target.tolerance)} of {size}{said}",
        needed="a combination of counts, block, sashing and border that does",
        do="allow more off, a wider range of blocks, or a border",
    )
