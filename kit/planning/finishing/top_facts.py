"""The facts about a top that the finishing needs, from its sketch, and about the cloth named in the study."""

from dataclasses import replace
from difflib import get_close_matches

from kit.errors import KitError
from kit.geometry.outlines import measure_box, measure_edges
from kit.lengths import SLACK, buying_length
from kit.model.cutting import ClothPlan
from kit.model.fabrics import Fabric
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.frames import Frame, list_measured_borders
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
    frames = list_measured_borders(sketch.patchwork.frames)
    slots = [sketch.patchwork.by_id[name].slot for frame in frames for name in frame.left]
    cloths = [fabric.width for fabric in sketch.study.fabrics if fabric.slot in slots and fabric.form == "yardage"]
    around = 2 * sum(sketch.patchwork.finished)
    facts = TopFacts(
        title=sketch.study.title, system=measures.system, allowance=measures.seam_allowance,
        step=measures.round_cuts_to, usable_width=measures.usable_width,
        borders=tuple(_measure_width(frame, sketch) for frame in frames),
        corners=tuple(frame.corners for frame in frames if frame.corners != "turned"),
        ends_first=tuple(frame.ends_first for frame in frames),
        border_width=min(cloths, default=None), border_cloth=tuple(_find_cloth(frame, sketch) for frame in frames),
        cuts=sketch.making.cuts, seams=len(patches) - 1 - sketch.making.saved,
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


def _measure_width(frame: Frame, sketch: Sketch) -> float:
    left, _, right, _ = measure_box(sketch.patchwork.by_id[frame.left[0]].outline)
    return right - left


def _find_cloth(frame: Frame, sketch: Sketch) -> float | None:
    """Return the cloth that is planned for a border whose slot holds its four strips alone."""
    slot = sketch.patchwork.by_id[frame.left[0]].slot
    mine = {patch.id for patch in sketch.patchwork.patches if patch.slot == slot}
    if mine != {name for side in frame.sides for name in side}:
        return None
    supplies = [plan.supply for plan in sketch.cutting.cloths if plan.supply.slot == slot]
    if not supplies or any(supply.form != "yardage" for supply in supplies):
        return None
    return sum(plan.used for plan in sketch.cutting.cloths if plan.supply.slot == slot)


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
