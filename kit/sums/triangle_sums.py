"""The sum on triangles cut singly, off squares and strips, with true and blunt rulers."""

from dataclasses import replace
from math import sqrt

from kit.errors import KitError
from kit.geometry.outlines import Outline, measure_edges, move_outline
from kit.lengths import Length
from kit.model.fabrics import Supply
from kit.planning.batches.blunt_cuts import list_blunt_cuts
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_cut, list_pieces, plan_yardage
from kit.sums.sum_terms import Number, SumTerms, take_terms
from kit.sums.unit_sums import find_given, say_ruler, undo_cut

ROOT3 = sqrt(3)
KINDS = ("half-square", "quarter-square", "60")


def triangles(
    finished: Length | None = None,
    *,
    cut: Length | None = None,
    kind: str = "half-square",
    count: Number = 1,
    width: Length | None = None,
    allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Triangles cut singly: the square or strip, true and blunt ruler; or what a square or strip finishes.

    Parameters
    ----------
    finished
        Short side of a half-square triangle, long side of a quarter-square one, height of a 60° one.
    cut
        The square or strip on hand, cut for true points, in place of it.
    kind
        "half-square", "quarter-square" or "60".
    count
        Triangles needed.
    width, allowance, system
        Usable width of the cloth; seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "finished", "cut" exact, "on ruler", "cloth"; "blunt strip", "blunt each", "blunt cloth".

    Raises
    ------
    KitError
        An unknown kind, or not exactly one size.

    Examples
    --------
    >>> triangles("3 in", kind="60")["on ruler"], triangles("3 in", kind="60")["blunt strip"]
    (3.75, 3.5)
    >>> round(triangles(cut="2 1/2 in", kind="60")["finished"], 4)
    1.75
    """
    terms = take_terms(finished, cut, system=system, width=width, allowance=allowance)
    needed = terms.count(count, "count")
    if kind not in KINDS:
        raise KitError(f"there is no triangle `{kind!s:.30}`", needed=", ".join(KINDS), do="name one of these")
    given = find_given(finished=finished, cut=cut)
    if given == "cut":
        f = undo_cut(lambda size: _find_cut(kind, size, terms), terms.length(cut or 0, "cut"), "triangle", terms)
    else:
        f = terms.length(finished or 0, "finished size")
    outline = _draw_kind(kind, f)
    cuts = list_pieces([outline], terms)
    piece = replace(cuts.pieces[0], count=needed, fabric="cloth", headings=())
    cuts = replace(cuts, pieces=(piece,))
    exact = next(iter(piece.cut.values()))
    plan = plan_yardage(replace(cuts, pieces=(replace(piece, fabric=None),)), terms)
    figures: dict[str, Figure] = {"finished": f, "cut": exact, "on ruler": terms.up(exact), "cloth": plan.used}
    what = {"half-square": "squares, cut once", "quarter-square": "squares, cut twice", "60": "strips"}[kind]
    take = "one takes" if needed == 1 else f"{needed} take"
    says = [f"They finish {terms.say(round(f, 4))}."] if given == "cut" else []
    says += [f"True point: {what}, {terms.say_cut(exact)}; {take} {terms.say(plan.used)} of cloth."]
    for blunt in list_blunt_cuts(cuts, [Supply(piece.slot, "yardage", terms.usable, fabric="cloth")]):
        figures |= {"blunt strip": blunt.strip, "blunt each": blunt.each, "blunt cloth": blunt.strips * blunt.rounded}
        says.append(
            f"Blunt ruler: strips {terms.say_cut(blunt.strip)}, {blunt.each} triangles a strip; {take}"
            f" {blunt.strips} strip{'s' * (blunt.strips != 1)}, {terms.say(blunt.strips * blunt.rounded)} of cloth."
        )
    return SumAnswer(
        f"{needed if needed > 1 else 'Single'} {'60°' if kind == '60' else kind} triangles that finish"
        f" {terms.say(round(f, 4))}", tuple(says),
        (f"Grown by {terms.say(terms.allowance)} on every side: {terms.say(round(f, 4))} becomes {terms.say(exact)}.",),
        (*say_ruler(terms), f"Cloth {terms.say(terms.usable)} wide; squaring up comes on top."), figures, terms.system,
        draw_cut(piece, _lay(outline, piece.outline), terms, "cut"),
    )  # fmt: skip


def _draw_kind(kind: str, f: float) -> Outline:
    """Return a finished triangle of a kind."""
    if kind == "half-square":
        return (0.0, 0.0), (f, 0.0), (0.0, f)
    if kind == "quarter-square":
        return (0.0, 0.0), (f, 0.0), (f / 2, f / 2)
    return (0.0, 0.0), (2 * f / ROOT3, 0.0), (f / ROOT3, f)


def _find_cut(kind: str, f: float, terms: SumTerms) -> float:
    return next(iter(list_pieces([_draw_kind(kind, f)], terms).pieces[0].cut.values()))


def _lay(finished: Outline, cut: Outline) -> Outline | None:
    """Return the finished outline turned like the cut one, where the cut one lies as it was drawn."""
    flat = len(finished) == len(cut) and abs(finished[0][1] - finished[1][1]) < 1e-9
    longest = flat and abs(max(measure_edges(finished)) - measure_edges(finished)[0]) < 1e-6
    return move_outline(finished, 0, 0) if longest else None
