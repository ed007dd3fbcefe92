"""The road from a study to a pattern: the stages in order, one statement each."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import pairwise

from kit.checks.batch_check import check_making_plan
from kit.checks.blunt_check import check_blunt_cuts
from kit.checks.chain_check import check_chains
from kit.checks.colouring_check import check_colouring
from kit.checks.cut_list_check import check_cut_list
from kit.checks.cutting_check import check_cutting_plan
from kit.checks.cutting_words_check import check_cutting_words
from kit.checks.finishing_check import check_finishing_plan
from kit.checks.pressing_check import check_pressing
from kit.checks.quilting_check import check_quilting_plan
from kit.checks.sewing_check import check_sewing_plan
from kit.checks.sewing_words_check import check_sewing_words
from kit.checks.tiling_check import check_tiling
from kit.errors import STILL, CheckError, KitError, NoPlanError
from kit.lengths import use_system
from kit.model.colour import find_lightness
from kit.model.cutting import CutList
from kit.model.fabrics import Colouring
from kit.model.finishing import FinishingPlan
from kit.model.notices import NoticeKind, notice
from kit.model.patchwork import Patchwork
from kit.model.pattern import ColouredTop, DrawnTop, Pattern, Sketch
from kit.model.quilting import QuiltingPlan
from kit.model.sewing import Rehearsal, SewingPlan
from kit.model.strip_sets import list_segment_seams
from kit.output.document.sewing_texts import print_sewing
from kit.output.words.notice_words import say_notices
from kit.output.words.printed_words import print_cutting
from kit.planning.assemblies.assembly_prices import AssemblyFacts, AssemblyPricer
from kit.planning.batches.chain_plan import chain_plan
from kit.planning.batches.find_units import group_units
from kit.planning.batches.making_plan import make_singly, making_plan
from kit.planning.batches.printed_numbers import number_printed
from kit.planning.colouring.colour_plan import colour_plan
from kit.planning.cutting.cloth_limits import limit_by_cloth
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.finishing.top_facts import gather_top, name_cloth
from kit.planning.foundations.paper_units import PaperFacts, plan_paper_units
from kit.planning.pieces.cut_list import cut_list
from kit.planning.pieces.sketch_notices import note_sketch
from kit.planning.pieces.strip_widths import keep_strip_widths
from kit.planning.pressing.pressing_plan import press_seams
from kit.planning.quilting.quilting_plan import quilting_plan, suit_wishes
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.planning.sewing.splitting import split_as_told, split_patches
from kit.progress import Progress, keep_quiet
from kit.rehearsal.rehearse import rehearse
from kit.solvers.packing.search_state import Effort
from kit.study import Study
from kit.study.simpler_study import list_simpler
from kit.study.study_record import USUAL_MAKING
from kit.version import find_version


def make_sketch(study: Study, effort: Effort = "quick", *, ways: bool = False) -> Sketch:
    """Make the plans that follow a slider: design, pieces, colours and cloth.

    Parameters
    ----------
    study
        The study.
    effort
        How long to search for the cutting plan: "quick" keeps up with a slider and may need a strip more than "steady".
    ways
        Plan the ways of making each unit even in a quick sketch of a study that names none; this needs the order of
        sewing. Without it a quick sketch counts the cloth of single pieces there.

    Raises
    ------
    KitError
        A design that cannot be built; says what to change.

    Notes
    -----
    The patchwork is proved to tile the top; the plans' own checks are left to `make_pattern`.
    """
    return add_cloth(study, draft_top(study), effort, ways=ways)


def draft_top(study: Study, whole: Patchwork | None = None, seen: ColouredTop | None = None) -> DrawnTop:
    """Make what a picture of the top needs: its patches, pieces and colours; no cloth is planned.

    Parameters
    ----------
    study
        The study.
    whole
        Its patchwork, as the design gives it, where that is known already.
    seen
        This patchwork with its colours, where it was coloured before it was proved.

    Raises
    ------
    KitError
        A design that cannot be built; says what to change.
    """
    with use_system(study.measures.system):
        patchwork = _make_patchwork(study, whole)
        pieces = keep_strip_widths(cut_list(patchwork, study.measures.round_cuts_to), study.fabrics)
        colouring = _colour(study, patchwork, pieces) if seen is None else seen.colouring
    return DrawnTop(study, patchwork, colouring, pieces)


def add_cloth(study: Study, draft: DrawnTop, effort: Effort = "quick", *, ways: bool = False) -> Sketch:
    """Plan the cloth of a draft: the second half of `make_sketch`, with its parameters and errors."""
    ordered = ways or effort != "quick" or study.cutting != USUAL_MAKING
    with use_system(study.measures.system):
        steps = _order(study, draft.patchwork, draft.cut_list) if ordered else None
        return _sketch(study, draft, steps, effort)


def _colour(study: Study, patchwork: Patchwork, pieces: CutList) -> Colouring:
    """Give every patch its fabric."""
    usable = tuple(fabric for fabric in study.fabrics if fabric.name not in study.rules.set_aside)
    return colour_plan(patchwork, limit_by_cloth(usable, pieces), study.seed, study.rules)


def _sketch(study: Study, draft: DrawnTop, steps: SewingPlan | None, effort: Effort) -> Sketch:
    """Choose the ways of making where the order of sewing is known, and plan the cloth."""
    patchwork, pieces, colouring = draft.patchwork, draft.cut_list, draft.colouring
    supplies = [fabric.supply() for fabric in study.fabrics]
    if steps is None:
        making = make_singly(pieces, colouring.assignment)
    else:
        pace = study.finishing.cut_seconds, study.finishing.seam_seconds
        papers = plan_paper_units(
            PaperFacts(patchwork, pieces, steps, colouring.assignment, supplies, study.cutting, pace)
        )
        making = making_plan(patchwork, pieces, steps, colouring.assignment, supplies, study.cutting, pace, papers)
    cutting = cutting_plan(making.cut_list, supplies, effort=effort, wishes=study.cloth)
    notices = note_sketch(study, patchwork, pieces, (colouring, cutting), tuple(study.design.notices()))
    warnings = say_notices(notices, study.measures.system)
    return Sketch(study, patchwork, colouring, pieces, cutting, notices, warnings, making)


def make_pattern(study: Study, effort: Effort = "steady") -> Pattern:
    """Make every plan of a study and check each.

    Parameters
    ----------
    study
        From `open_study`.
    effort
        How long to search for the cutting plan, as for `make_sketch`; a sweep over many studies uses "quick".

    Returns
    -------
    Pattern
        Frozen; every plan has passed its own check. Where a check refuses a plan, units are made one by one, cloth is
        cut in plain rows, or quilted in the ditch, whichever first helps, and a warning says so.

    Raises
    ------
    KitError
        A design that cannot be built, or a plan refused by its check in every way; names the place and both figures.

    Examples
    --------
    >>> from kit.study import open_study
    >>> pattern = make_pattern(open_study("data/studies/tideline.toml"))
    >>> pattern.colouring.violations
    0
    """
    with use_system(study.measures.system):
        try:
            return _make(study, effort)
        except CheckError as refused:
            for simpler in list_simpler(study):
                with suppress(KitError):
                    return _tell_simpler(_make(simpler.study, effort), study, simpler.given_up, refused)
            needed = refused.needed or "a plan that its own check accepts"
            raise CheckError(refused.found, needed=needed, do=STILL) from None


def _tell_simpler(pattern: Pattern, study: Study, given_up: Sequence[NoticeKind], refused: CheckError) -> Pattern:
    """Return the pattern as that of the study itself, with a warning of what was made in a simpler way, and why."""
    notices = tuple(notice(kind, why=refused.found) for kind in given_up)
    said = say_notices(notices, study.measures.system)
    return replace(
        pattern,
        study=study,
        colophon=_write_colophon(study),
        notices=(*pattern.notices, *notices),
        warnings=(*pattern.warnings, *said),
    )


def _make(study: Study, effort: Effort) -> Pattern:
    """Make every plan of a study and check each."""
    patchwork = _make_patchwork(study)
    check_tiling(patchwork)
    pieces = keep_strip_widths(cut_list(patchwork, study.measures.round_cuts_to), study.fabrics)
    ordered = _order(study, patchwork, pieces)
    draft = DrawnTop(study, patchwork, _colour(study, patchwork, pieces), pieces)
    sketch = _sketch(study, draft, ordered, effort)
    check_cut_list(sketch.patchwork, sketch.cut_list)
    check_colouring(sketch.patchwork, study.fabrics, sketch.colouring, study.rules)
    check_cutting_plan(sketch.making.cut_list, sketch.cutting)
    check_sewing_plan(sketch.patchwork, sketch.cut_list, ordered)
    sewing = number_printed(_add_alternative(sketch.patchwork, _press(sketch, ordered)), sketch.making)
    check_pressing(sketch.patchwork, sketch.cut_list, sewing)
    rehearsal = rehearse(sketch.cut_list, sewing)
    _refuse_disagreement(rehearsal)
    check_making_plan(patchwork, pieces, sewing, sketch.colouring.assignment, sketch.making, rehearsal.placed)
    check_blunt_cuts(sketch.making.cut_list, sketch.making.blunt)
    chains = chain_plan(sewing, sketch.making, study.finishing.seam_seconds)
    check_chains(sewing, sketch.making, chains)
    with use_system(study.measures.system):
        quilting = quilting_plan(sketch.patchwork, suit_wishes(sketch.patchwork, study.quilting, study.seed))
    check_quilting_plan(sketch.patchwork, quilting)
    return Pattern(
        **vars(sketch),
        sewing=sewing,
        rehearsal=rehearsal,
        quilting=quilting,
        finishing=plan_finishing(sketch, quilting),
        colophon=_write_colophon(study),
        words_cut=check_cutting_words(print_cutting(sketch)),
        words_sewn=check_sewing_words(print_sewing(sketch, sewing), sketch.cut_list, sewing),
        chains=chains,
        price_assemblies=AssemblyPricer(_gather_assemblies(study, sketch)),
    )


def _gather_assemblies(study: Study, sketch: Sketch) -> AssemblyFacts:
    """Return what the ways of putting a top together are priced from; a split patch has the fabric of its parts."""
    whole = study.make_patchwork()
    found = sketch.colouring.assignment
    assignment = {patch.id: found.get(patch.id) or found[f"{patch.id}-a"] for patch in whole.patches}
    straight = study.sewing.partial_seams == "split" and whole.by_id.keys() != sketch.patchwork.by_id.keys()
    return AssemblyFacts(
        whole,
        study.measures.round_cuts_to,
        assignment,
        [fabric.supply() for fabric in study.fabrics],
        study.cloth,
        None if straight else study.sewing.assembly,
        study.finishing.cut_seconds,
        study.finishing.seam_seconds,
    )


def _make_patchwork(study: Study, whole: Patchwork | None = None) -> Patchwork:
    """Return the design's patchwork, split if the study asks for seams that all run straight through."""
    patchwork = study.make_patchwork(whole)
    if study.sewing.partial_seams == "sew":
        return patchwork
    alternative = split_patches(patchwork)
    return patchwork if alternative is None else split_as_told(patchwork, alternative).verify()


def _order(study: Study, patchwork: Patchwork, pieces: CutList, progress: Progress = keep_quiet) -> SewingPlan:
    """Plan the order of sewing; unless everything is made one by one, units that batches may yield stay whole."""
    assembly = study.sewing.assembly
    if not study.cutting.has_batches:
        return sewing_plan(patchwork, pieces, assembly, progress)
    whole = sewing_plan(group_units(patchwork, pieces), pieces, assembly, progress)
    usual = USUAL_MAKING
    named = replace(study.cutting, make=usual.make, points=usual.points, on_paper=usual.on_paper) != usual
    if named or not (whole.set_in_seams or whole.partial_seams):
        return whole
    # units that nobody asked for may not cost a set-in or a partial seam
    free = sewing_plan(patchwork, pieces, assembly, progress)
    return min(whole, free, key=lambda plan: (plan.set_in_seams, plan.partial_seams))


def _press(sketch: Sketch, plan: SewingPlan) -> SewingPlan:
    """Press as the study wishes; lightness decides which side is darker."""
    wishes = sketch.study.sewing
    lightness = {fabric.name: find_lightness(fabric.colour) for fabric in sketch.study.fabrics}
    shades = {patch: lightness[name] for patch, name in sketch.colouring.assignment.items()}
    sets = [unit for made in sketch.making.made if made.segments for unit in made.units]
    together = [
        ((one.number, i), (other.number, j), up != above)
        for seams in list_segment_seams(plan, sets)
        for (one, i, up), (other, j, above) in pairwise(seams)
    ]
    return press_seams(sketch.patchwork, plan, wishes.pressing, shades, together, wishes.centres)


def _add_alternative(patchwork: Patchwork, plan: SewingPlan) -> SewingPlan:
    """Add to a plan with partial seams the splitting that avoids them.

    Tops with set-in seams are left out: nobody splits the diamonds of a star, and the search would be slow.
    """
    if plan.set_in_seams or not plan.partial_seams:
        return plan
    try:
        return replace(plan, alternative=split_patches(patchwork, plan))
    except NoPlanError:
        return plan


def plan_finishing(sketch: Sketch, quilting: QuiltingPlan | None = None) -> FinishingPlan:
    """Plan the finishing of a top as the study wishes, and check the plan.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    quilting
        Its quilting, for thread, time and the widest gap; None: these are estimated.

    Raises
    ------
    KitError
        Wishes that contradict one another or the cloth; says what to change.

    Notes
    -----
    A top too narrow for a sleeve gets none, and the plan says so.
    """
    wishes = name_cloth(sketch.study.finishing, sketch.study.fabrics)
    size = sketch.patchwork.finished
    narrow = wishes.sleeve and size[0] <= 2 * wishes.sleeve_short
    known = gather_top(sketch, wishes, quilting)
    with use_system(sketch.study.measures.system):
        plan = finishing_plan(*size, replace(wishes, sleeve=wishes.sleeve and not narrow), known)
    if narrow:
        plan = replace(plan, assumptions=(*plan.assumptions, notice("no-sleeve", short=wishes.sleeve_short)))
    check_finishing_plan(*size, plan)
    return plan


def _refuse_disagreement(rehearsal: Rehearsal) -> None:
    """Raise the first difference that the rehearsal found, so that no wrong number reaches paper."""
    if not rehearsal.agrees:
        more = len(rehearsal.differences) - 1
        raise CheckError(
            rehearsal.differences[0] + (f" (and {more} more differences)" if more else ""),
            needed="steps that give the design",
            do=STILL,
        )


def _write_colophon(study: Study) -> dict[str, str]:
    return {
        "title": study.title, "edition": study.edition, "seed": str(study.seed), "fingerprint": study.fingerprint,
        **{name: find_version(name) for name in ("seamproof", "numpy", "shapely", "pydantic", "pint")},
    }  # fmt: skip
