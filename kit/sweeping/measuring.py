"""One point of a sweep: its full pattern, and the figures kept from it."""

from collections.abc import Mapping
from typing import Any

from kit.errors import KitError
from kit.model.cutting import ClothPlan
from kit.model.pattern import Pattern
from kit.pipeline import make_pattern
from kit.sharing.versions import hash_versions
from kit.study import study_from_keys

Figures = dict[str, float | int | str]
FIGURES = (
    "width", "length", "pieces", "kinds", "seams", "partial_seams", "set_in_seams", "cloth", "cost", "hours", "short",
)  # fmt: skip
"""The figures of a point; lengths in inches, cloth in square inches."""
PLACE = "this point"


def measure_point(keys: Mapping[str, Any]) -> Figures:
    """Make the pattern of a point and return its figures, or the reason that there is none.

    Input and output are plain data, so that any executor can carry them to another process.

    Parameters
    ----------
    keys
        The keys of its study.

    Returns
    -------
    dict
        The `FIGURES`, or only "error". An error other than a `KitError` is a fault of the kit: it is reported under
        "fault", so that it does not stop the other points, and it is not remembered.
    """
    try:
        return list_point_figures(make_pattern(study_from_keys(keys, place=PLACE)))
    except KitError as error:
        return {"error": str(error)}
    except Exception as error:  # noqa: BLE001  the last fence before hundreds of other points
        return {"fault": f"The kit failed ({type(error).__name__}: {error}). Report this point."}


def measure_there(keys: Mapping[str, Any]) -> tuple[str, Figures]:
    """Measure a point in a process of an executor; return it with the fingerprint of its versions."""
    return hash_versions(), measure_point(keys)


def list_point_figures(pattern: Pattern) -> Figures:
    """Return the figures that a sweep keeps from a pattern."""
    width, length = pattern.patchwork.finished
    return {
        "width": width,
        "length": length,
        "pieces": pattern.cut_list.count,
        "kinds": len(pattern.cut_list.pieces),
        "seams": pattern.finishing.top.seams,
        "partial_seams": pattern.sewing.partial_seams,
        "set_in_seams": pattern.sewing.set_in_seams,
        "cloth": sum(measure_cloth(plan) for plan in pattern.cutting.cloths),
        "cost": pattern.finishing.cost.total,
        "hours": pattern.finishing.hours,
        "short": sum(sum(plan.short.values()) for plan in pattern.cutting.cloths),
    }


def measure_cloth(plan: ClothPlan) -> float:
    """Return the square inches of cloth of a plan: lengths over the whole width, and whole pre-cuts.

    Offcuts count as used: strips are counted, never the area of pieces.
    """
    if plan.supply.form == "yardage":
        return plan.as_bought * plan.supply.width
    return sum(strip.height * strip.length for strip in plan.strips)
