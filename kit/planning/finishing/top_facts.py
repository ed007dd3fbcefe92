"""The facts about a top that the finishing needs, from its sketch, and about the cloth named in the study."""

from dataclasses import replace
from difflib import get_close_matches

from kit.errors import KitError
from kit.geometry.outlines import measure_area, measure_box, measure_edges
from kit.lengths import SLACK, buying_length
from kit.model.cutting import ClothPlan
from kit.model.fabrics import Fabric
from kit.model.finishing import Corner, FinishingWishes, TopFacts
from kit.model.patchwork import Patch
from kit.model.pattern import Sketch
from kit.model.quilting import QuiltingPlan
from kit.planning.finishing.costs import buy_top


def gather_top(sketch: Sketch, wishes: FinishingWishes | None = None, quilting: QuiltingPlan | None = None) -> TopFacts:
    """Gather the facts about a top for the finishing: borders, cloth, pieces, seams, purchases, left-overs.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    wishes
        If they name the fabric of the binding, only left-over cloth of that fabric counts.
    quilting
        Its quilting, for thread, time and the widest gap; None: not planned yet.
    """
    measures = sketch.study.measures
    patches = sketch.patchwork.patches
    frames = [patch for patch in patches if patch.name == "border" and patch.id.endswith("-left")]
    slots = [frame.slot for frame in frames]
    cloths = [fabric.width for fabric in sketch.study.fabrics if fabric.slot in slots and fabric.form == "yardage"]
    around = 2 * sum(sketch.patchwork.finished)
    facts = TopFacts(
        title=sketch.study.title, system=measures.system, allowance=measures.seam_allowance,
        step=measures.round_cuts_to, usable_width=measures.usable_width,
        borders=tuple(_measure_width(frame) for frame in frames),
        corners=tuple(_find_corner(frame, sketch) for frame in frames),
        ends_first=tuple(_reaches_over(frame, sketch) for frame in frames),
        border_width=min(cloths, default=None), border_cloth=tuple(_find_cloth(frame, sketch) for frame in frames),
        cuts=sketch.cut_list.count, seams=len(patches) - 1,
        seam_length=(sum(sum(measure_edges(patch.outline)) for patch in patches) - around) / 2,
    )  # fmt: skip
    if quilting is not None:
        facts = replace(
            facts,
            paths=tuple(quilting.threads.items()),
            quilting_minutes=quilting.minutes,
            gap=quilting.gap.width,
            gap_limit=quilting.wishes.gap_limit,
            draw_in=quilting.draw_in,
        )
    only = wishes.binding_fabric if wishes else ""
    return replace(
        facts,
        purchases=buy_top(sketch.study.fabrics, sketch.cutting, facts),
        left_over=tuple(
            piece
            for plan in sketch.cutting.cloths
            if not only or plan.supply.fabric == only
            for piece in _list_left_over(plan, facts)
        ),
    )


def _measure_width(frame: Patch) -> float:
    left, _, right, _ = measure_box(frame.outline)
    return right - left


def _find_corner(frame: Patch, sketch: Sketch) -> Corner:
    stem = frame.id.removesuffix("left")
    if f"{stem}stone1" in sketch.patchwork.by_id:
        return "cornerstones"
    left, bottom, right, top = measure_box(frame.outline)
    box = (right - left) * (top - bottom)
    return "butted" if abs(measure_area(frame.outline) - box) <= SLACK * box else "mitred"


def _reaches_over(frame: Patch, sketch: Sketch) -> bool:
    """Return True if an upright strip reaches over the ends of the level strips, so that these are sewn first."""
    over = sketch.patchwork.by_id.get(frame.id.removesuffix("left") + "top")
    return over is not None and measure_box(over.outline)[3] <= measure_box(frame.outline)[3] + SLACK


def _find_cloth(frame: Patch, sketch: Sketch) -> float | None:
    """Return the planned cloth of a border, if its slot holds only its four strips."""
    stem = frame.id.removesuffix("left")
    mine = {patch.id for patch in sketch.patchwork.patches if patch.slot == frame.slot}
    if mine != {f"{stem}{side}" for side in ("left", "right", "top", "bottom")}:
        return None
    supplies = [plan.supply for plan in sketch.cutting.cloths if plan.supply.slot == frame.slot]
    if any(supply.form != "yardage" for supply in supplies):
        return None
    return sum(plan.used for plan in sketch.cutting.cloths if plan.supply.slot == frame.slot)


def _list_left_over(plan: ClothPlan, top: TopFacts) -> list[tuple[float, float]]:
    """Return the left-over cloth: the end of the length bought or on hand, or whole strips of a roll."""
    supply = plan.supply
    if supply.form == "strips" and supply.count is not None and supply.length is not None:
        return [(supply.width, supply.length)] * max(0, supply.count - len(plan.strips))
    if supply.form != "yardage" or not plan.used:
        return []
    have = buying_length(plan.as_bought, top.system) if supply.length is None else supply.length
    spare = have - plan.as_bought
    return [(supply.width, spare)] if spare > SLACK else []


def name_cloth(wishes: FinishingWishes, fabrics: tuple[Fabric, ...]) -> FinishingWishes:
    """Give backing and binding the width and price of their fabrics, unless the study gives others.

    Raises
    ------
    KitError
        A fabric that the study does not have, or that does not come off the bolt.
    """
    found = wishes
    for part in ("backing", "binding"):
        name = str(getattr(wishes, f"{part}_fabric"))
        if not name:
            continue
        fabric = next((fabric for fabric in fabrics if fabric.name == name), None)
        if fabric is None:
            near = get_close_matches(name, [fabric.name for fabric in fabrics], n=1)
            raise KitError(
                f"`{part}_fabric` names the fabric `{name}`, which the study does not have",
                needed="the name of a fabric",
                do=f"is `{near[0]}` meant?" if near else "correct it or add the fabric",
            )
        if fabric.form != "yardage":
            raise KitError(
                f"`{part}_fabric` names `{name}`, which comes as {fabric.form}",
                needed="a fabric in yardage",
                do=f"name another, or leave {part}_fabric out and give the cloth on hand",
            )
        width, price = (getattr(found, f"{part}_{what}") for what in ("width", "price"))
        width, price = fabric.width if width is None else width, fabric.price if price is None else price
        if part == "binding":
            found = replace(found, binding_width=width, binding_price=price)
        else:
            one_way = found.backing_one_way or fabric.one_way
            found = replace(found, backing_width=width, backing_price=price, backing_one_way=one_way)
    return found
