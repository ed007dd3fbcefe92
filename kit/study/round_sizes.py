"""A study's own round sizes: finished sizes at the system's friendly steps in place of exact ones."""

from collections.abc import Mapping, Sequence
from math import floor
from typing import Any

from kit.errors import LengthError
from kit.lengths import CM, read_length, write_exact
from kit.model.fabrics import Fabric

SAME = 1e-4
"""Inches: a length this near to the width of a pre-cut is that width."""


def round_design(keys: Mapping[str, Any], fabrics: Sequence[Fabric], step: float) -> dict[str, Any]:
    """Return the keys of a design with every length at the nearest multiple of a step, at least one step.

    A length that is the width of a strip of a roll, or of a square of a pack, stays: nobody cuts a roll narrower.
    Halves go up.

    Parameters
    ----------
    keys
        The design's keys, lengths as texts.
    fabrics
        The fabrics of the study.
    step
        Inches.

    Examples
    --------
    >>> round_design({"cell_finished": "4 in", "strip_cut": "2 1/2 in", "columns": 3}, (), 0.5 / 2.54)["cell_finished"]
    '10 cm'
    """
    kept = [fabric.width for fabric in fabrics if fabric.form in ("strips", "squares")]
    return {key: _round(value, kept, step) for key, value in keys.items()}


def _round(value: Any, kept: Sequence[float], step: float) -> Any:
    if isinstance(value, Mapping):
        return {key: _round(one, kept, step) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_round(one, kept, step) for one in value]
    if not isinstance(value, str):
        return value
    try:
        inches = read_length(value)
    except LengthError:
        return value
    if any(abs(inches - width) < SAME for width in kept):
        return value
    near = max(step, floor(inches / step + 0.5 + 1e-9) * step)
    millimetres = step / CM * 10
    round_metric = abs(10 * millimetres - round(10 * millimetres)) < SAME
    return f"{round(near / CM, 4):g} cm" if round_metric else write_exact(near)
