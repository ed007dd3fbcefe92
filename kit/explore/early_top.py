"""A top that is seen before it is proved: its patches and their colours, and nothing else."""

from kit.model.patchwork import Patchwork
from kit.model.pattern import ColouredTop
from kit.planning.colouring.colour_plan import colour_plan
from kit.study import Study


def colour_top(study: Study, whole: Patchwork) -> ColouredTop | None:
    """Colour a patchwork that is not proved yet, so that it can be seen at once; nothing else may be made of it.

    Parameters
    ----------
    study
        The study.
    whole
        Its patchwork, as the design gives it.

    Returns
    -------
    ColouredTop | None
        With the colours that `draft_top` gives; None where they need the proof or the pieces: seams that are to run
        straight through, or cloth of a fixed amount, which limits the patches of its fabric.

    Raises
    ------
    KitError
        Fabrics that cannot be placed.
    """
    supplies = [fabric.supply() for fabric in study.fabrics]
    fixed = any(supply.form != "yardage" and supply.count is not None for supply in supplies)
    if fixed or study.sewing.partial_seams != "sew":
        return None
    usable = [fabric for fabric in study.fabrics if fabric.name not in study.rules.set_aside]
    by_slot = [fabric for slot in whole.slots for fabric in usable if fabric.slot == slot]
    return ColouredTop(study, whole, colour_plan(whole, by_slot, study.seed, study.rules))
