"""What a maker should know about a sketch: cloth that is short, prints that touch, bias edges, a crib."""

from kit.model.cutting import CutList, CuttingPlan
from kit.model.fabrics import Colouring
from kit.model.notices import Notice, notice
from kit.model.patchwork import Patchwork
from kit.model.pattern import StudyFacts


def note_sketch(
    study: StudyFacts, patchwork: Patchwork, pieces: CutList, plans: tuple[Colouring, CuttingPlan],
    designed: tuple[Notice, ...],
) -> tuple[Notice, ...]:  # fmt: skip
    """Return what the maker should know about a sketch, what its design says (`designed`) among it."""
    colouring, cutting = plans
    found = [notice("cloth-short", slot=slot, missing=missing) for slot, missing in cutting.short.items()]
    if colouring.violations:
        count, bound = colouring.violations, colouring.bound
        found.append(
            notice("clashes-helped", count=count, bound=bound, helps=colouring.helps)
            if colouring.helps
            else notice("clashes", count=count, bound=bound)
        )
        found.extend(colouring.reasons)
    if colouring.idle_pins:
        found.append(notice("idle-pins", patches=colouring.idle_pins))
    bias = sum(piece.outside_bias for piece in pieces.pieces)
    if bias:
        found.append(notice("bias-outside", count=bias))
    width, height = sorted(patchwork.finished)
    if 27 <= width <= 48 and 40 <= height <= 60:
        found.append(notice("crib-size", width=width, height=height))
    if study.measures.round_sizes_to is not None:
        found.append(notice("sizes-rounded", step=study.measures.round_sizes_to))
    found.extend(designed)
    if idle := tuple(fabric.name for fabric in study.fabrics if fabric.slot not in patchwork.slots):
        found.append(notice("idle-fabrics", fabrics=idle))
    return tuple(found)
