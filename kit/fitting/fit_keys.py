"""Fitting by keys: a study of units brought to a size by the fewest changed values."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import ceil
from typing import Any

from kit.errors import KitError
from kit.fitting.key_ranges import KeyWishes, Span, choose_size_keys, spread_key
from kit.fitting.key_search import KeySearch, find_off
from kit.fitting.keyed_study import MOST_BUILDS, KeyedStudy, Size, Spot
from kit.fitting.search import CLOSE, MOST_COUNT, SizeModel
from kit.fitting.size_keys import SizeKey, find_top_keys
from kit.lengths import CM, System, write_length, write_refused
from kit.model.fits import Fit, Option, Target
from kit.pipeline import make_sketch
from kit.progress import Progress, report, until_stopped
from kit.study import Study, study_from_keys

ALLOWED = 12.0
"""Inches: for what is off by more, no tolerance is proposed."""
NAMED = 3
"""Keys that cannot change alone, told in a refusal."""


def check_counts(counts: Sequence[tuple[int, int]], parity: Sequence[str]) -> None:
    """Check the wishes for the counts across and down.

    Raises
    ------
    KitError
        A wish or a range that cannot be read.
    """
    for name, wish in zip(("across", "down"), parity, strict=True):
        if wish not in ("any", "even", "odd"):
            raise KitError(f"The wish for the count {name} is `{wish}`", needed="any, even or odd", do="choose one")
    for low, high in counts:
        if not 1 <= low <= high <= 20_000:
            raise KitError(f"The counts run from {low} to {high}", needed="1 to 20,000", do="correct them")


def fit_keys(
    study: Study,
    target: Target,
    wishes: KeyWishes | None,
    counts: tuple[tuple[int, int], tuple[int, int]],
    parity: Mapping[str, str],
    spans: Mapping[str, Span | None],
    most: int,
    progress: Progress,
) -> Fit:
    """Return the ways to a size with the fewest changed values first, then the nearest.

    Parameters
    ----------
    study
        The study; it is not changed.
    target
        The wanted size.
    wishes
        Keys and ranges, None for those of the search's own choice.
    counts, parity
        Ranges and wishes for the counts of the top; both are kept.
    spans
        Ranges of block, sashing and border of the top.
    most
        The most options.
    progress
        Told of the sizes built and of the sketches made.

    Raises
    ------
    KitError
        As for `fit`.
    """
    study = replace(study, editions=())
    check_counts(counts, tuple(parity.values()))
    if wishes is not None and (any(spans.values()) or counts != ((1, MOST_COUNT), (1, MOST_COUNT))):
        raise KitError(
            "`keys` stands beside a range of counts, block, sashing or border",
            needed="one of the two",
            do="name that range in `keys` too, by the key of the study",
        )
    own = study.design.measure(study.measures.seam_allowance)
    keys = choose_size_keys(study, wishes, max(own), max(target.width, target.height))
    keys = _wish_for_top(study, keys, counts, parity, spans)
    model = KeyedStudy(study, keys, progress)
    search = KeySearch(model, target, asked=wishes is not None)
    options: list[Option] = []
    refused: list[str] = []
    tried, finished = 0, False
    with until_stopped():
        for level in search.list_levels():
            tried += len(level)
            for spot, size in _take_kinds(search, level)[: 4 * most]:
                if len(options) == most:
                    break
                try:
                    options.append(_make(model, spot, size, target))
                except KitError as error:
                    refused.append(f"{_list_changes(model, spot)}: {error}")
                report(progress, "sketches", len(options), most)
            if len(options) == most:
                break
        if not options:
            raise _refuse(model, search, target)
        finished = True
    if finished and search.spent:
        refused.append(f"{MOST_BUILDS} sizes were built, as many as one search may; further ways may exist")
    options.sort(key=lambda option: round(option.oddness, 6))
    return Fit(target, tuple(options), tried, tuple(refused), SizeModel(study).names, tuple(one.name for one in keys))


def _wish_for_top(
    study: Study,
    keys: Sequence[SizeKey],
    counts: Sequence[tuple[int, int]],
    parity: Mapping[str, str],
    spans: Mapping[str, Span | None],
) -> tuple[SizeKey, ...]:
    """Return the keys with the ranges and the wishes for the counts, block, sashing and border of the top."""
    top = find_top_keys(study)
    found = {one.key: one for one in keys}
    for name, span in spans.items():
        if span is None:
            continue
        if top.get(name) not in found:
            raise KitError(
                f"The top of this study has no {name} of its own",
                needed="a length that the study holds",
                do=f"name it in `keys`: {', '.join(one.name for one in keys[:6])}",
            )
        found[top[name]] = spread_key(found[top[name]], span)
    for (name, wish), (low, high) in zip(parity.items(), counts, strict=True):
        one = found.get(top[name])
        if one is None:
            continue
        if (low, high) != (1, MOST_COUNT):
            one = spread_key(one, (low, high))
        numbers = tuple(n for n in one.numbers if wish == "any" or (n % 2 == 0) == (wish == "even"))
        if not numbers:
            raise KitError(
                f"No count {name} from {low} to {high} is {wish}", needed="a range with one", do="widen the range"
            )
        found[one.key] = replace(one, numbers=numbers)
    return tuple(found.values())


def _take_kinds(search: KeySearch, level: Sequence[tuple[Spot, Size]]) -> list[tuple[Spot, Size]]:
    """Return the nearest way of each kind first, then the others, each the nearest first."""
    firsts: dict[Any, tuple[Spot, Size]] = {}
    for entry in level:
        firsts.setdefault(search.find_kind(entry[0]), entry)
    chosen = list(firsts.values())
    return [*chosen, *(entry for entry in level if entry not in chosen)]


def _make(model: KeyedStudy, spot: Spot, size: Size, target: Target) -> Option:
    """Return an option with its sketch, once the sketch has the size that was measured."""
    made = study_from_keys(model.set(spot))
    sketch = make_sketch(made)
    finished = sketch.patchwork.finished
    if max(abs(a - b) for a, b in zip(finished, size, strict=True)) > 1e-4:
        raise KitError(
            f"It finishes {write_refused(*finished, form='.4f', joint=' by ')} instead of"
            f" {write_refused(*size, form='.4f', joint=' by ')}",
            needed="the same",
            do="report this study; the study as it is, and sizes beside this one, can still be made",
        )
    changes = model.list_changes(spot)
    points = {
        "changed values": len(changes) * (2 * target.tolerance + 1.0),
        "off in width": abs(finished[0] - target.width),
        "off in height": abs(finished[1] - target.height),
    }
    kept = tuple((name, value) for name, value in points.items() if value > CLOSE)
    return Option(SizeModel(made).own, finished, kept, sketch, changes)


def _list_changes(model: KeyedStudy, spot: Spot) -> str:
    changes = [f"{change.key} {change.old} → {change.new}" for change in model.list_changes(spot)]
    return ", ".join(changes) or "as it is"


def _refuse(model: KeyedStudy, search: KeySearch, target: Target) -> KitError:
    """Return the error with the nearest size, and with what cannot change alone."""
    system: System = model.study.measures.system
    near = search.find_nearest()
    size = f"{write_length(target.width, system)} × {write_length(target.height, system)}"
    said = f"Nothing finishes within {write_length(target.tolerance, system)} of {size}"
    if search.spent:
        said += f" among {len(model.sizes)} sizes that were built"
    do = "widen the ranges, or name more keys in `keys`"
    if near is not None:
        spot, found = near
        wide, high = (write_length(inches, system) for inches in found)
        said += f"; the nearest is {wide} × {high} ({_list_changes(model, spot)})"
        step, off = CM / 2 if system == "metric" else 0.125, find_off(found, target)
        if off <= ALLOWED:
            do = f"allow {write_length(ceil(off / step - 1e-6) * step, system)} either way, or {do}"
    if abs(target.width - target.height) > CLOSE and model.sizes and not any(map(_is_oblong, model.sizes.values())):
        said += "; whatever these keys are, the top is square"
    if search.locked:
        names = [f"`{model.size_keys[key].name}`" for key in search.locked][:NAMED]
        said += f"; {', '.join(names)} cannot change alone"
        reason = next(iter(search.locked.values()))
        said += f" ({names[0]}: {reason.found})" if reason else ""
    looked = ", ".join(one.name for one in model.size_keys[:12])
    return KitError(said, needed=f"at most three changed values among {looked}" if looked else "keys to change", do=do)


def _is_oblong(size: Size | None) -> bool:
    return size is not None and abs(size[0] - size[1]) > CLOSE
