"""Pieces and units of a form: cut from finished, laid from shapes, counted from the top down."""

import re
from collections import Counter
from dataclasses import dataclass, field
from functools import lru_cache

from kit.auditing.audit_lines import Verdict
from kit.auditing.form_entries import FormEntry
from kit.auditing.form_reading_terms import SAME, FormSize
from kit.errors import KitError
from kit.geometry.outlines import Outline, make_rectangle, measure_edges, offset_outline
from kit.model.cutting import CutList, Piece
from kit.model.patchwork import Patchwork, patchwork_from_outlines
from kit.model.sewing import Rehearsal
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse
from kit.sums.sum_terms import SumTerms

POINTED = ("half-square triangle", "quarter-square triangle", "half-rectangle triangle")
"""Triangles: their units may be made larger and trimmed, so that a larger square is safe."""
SAFE = 1.0
"""Inches: a triangle cut larger by more is taken for an error."""
MOST_LAID = 400
"""Shapes of a unit that are sewn in the rehearsal."""


@dataclass
class PieceFacts:
    """What is known of a piece: its entry, its outline as laid or as its finished size tells, how many are needed."""

    entry: FormEntry
    shape: str
    cut: tuple[float, ...] | None
    finished: tuple[float, ...] | None
    outline: Outline | None = None
    laid: Piece | None = None
    laid_in: str = ""
    needed: int | None = None
    total: int | None = None
    wrong: bool = field(default=False)


def judge_pieces(form: FormSize) -> dict[str, PieceFacts]:
    """Give a verdict on every unit and cut size; return the pieces by name, for the counts and the cloth.

    Cut sizes follow from the laid shapes where there are
    some, and from the finished size besides.
    """
    pieces: dict[str, PieceFacts] = {}
    for entry in form.entries.get("piece", ()):
        if entry.name in pieces:
            form.tell(entry, "name", "not decidable", note=f"There are two pieces {entry.name}")
            continue
        shape = str(entry.texts.get("shape", "")).strip().lower()
        pieces[entry.name] = PieceFacts(
            entry, shape, form.read(entry, "cut", "lengths"), form.read(entry, "finished", "lengths")
        )
    units = {entry.name: entry for entry in form.entries.get("unit", ())}
    _judge_units(form, units, pieces)
    for facts in pieces.values():
        _judge_cut(form, facts)
    return pieces


def grow_piece(shape: str, finished: tuple[float, ...], terms: SumTerms) -> tuple[Piece, tuple[float, ...]] | None:
    """Return the piece of a shape and finished size, with its exact cut measures; None for shapes that need a drawing.

    Raises
    ------
    KitError
        A finished size that cannot be sewn.
    """
    outline = outline_of(shape, finished)
    if outline is None:
        return None
    piece = cut_list(patchwork_from_outlines([outline], allowance=terms.allowance), terms.step).pieces[0]
    return piece, measure_as(shape, offset_outline(outline, terms.allowance), piece)


def outline_of(shape: str, finished: tuple[float, ...]) -> Outline | None:
    """Return a finished outline of a shape that its measures fix."""
    a, b = finished[0], finished[-1]
    if shape in ("square", "rectangle") and len(finished) <= 2:
        return make_rectangle(0, 0, b, a)
    if shape == "half-square triangle" and len(finished) == 1:
        return ((0.0, 0.0), (a, 0.0), (0.0, a))
    if shape == "quarter-square triangle" and len(finished) == 1:
        return ((0.0, 0.0), (a, 0.0), (a / 2, a / 2))
    if shape == "half-rectangle triangle" and len(finished) == 2:
        return ((0.0, 0.0), (max(a, b), 0.0), (0.0, min(a, b)))
    if shape == "60° triangle":
        side = 2 * a / 3**0.5
        return ((0.0, 0.0), (side, 0.0), (side / 2, a))
    return None


def measure_as(shape: str, grown: Outline, piece: Piece) -> tuple[float, ...]:
    """Return the cut measures of a grown outline in the order in which a form writes them."""
    edges = sorted(measure_edges(grown))
    if shape == "square":
        return (edges[-1],)
    if shape == "rectangle":
        return (edges[0], edges[-1])
    if shape == "half-square triangle":
        return (edges[0],)
    if shape == "quarter-square triangle":
        return (edges[-1],)
    if shape == "half-rectangle triangle":
        return (edges[0], edges[1])
    return tuple(piece.cut.values())


def _judge_cut(form: FormSize, facts: PieceFacts) -> None:
    entry, terms = facts.entry, form.terms
    exact: tuple[float, ...] | None = None
    since: tuple[str, ...] = ()
    if facts.laid is not None:
        exact, since = measure_as(facts.shape, facts.laid.outline, facts.laid), (facts.laid_in,)
        if facts.shape == "template":
            exact = tuple(sorted(exact))
    told: tuple[float, ...] | None = None
    if facts.finished is not None:
        try:
            made = grow_piece(facts.shape, facts.finished, terms)
        except KitError as error:
            form.tell(entry, "finished", "not decidable", note=str(error))
            made = None
        if made is not None:
            told = made[1]
            if facts.outline is None:
                facts.outline = outline_of(facts.shape, facts.finished)
    if "finished" in entry.texts and facts.finished is not None:
        if exact is not None and told is not None:
            same = len(exact) == len(told) and all(abs(a - b) < SAME for a, b in zip(exact, told, strict=True))
            lost = [edge - (b - f) for edge, b, f in zip(exact, told, facts.finished, strict=False)]
            right = " x ".join(terms.say(round(one, 4)) for one in lost) if len(exact) == len(told) else ""
            form.tell(entry, "finished", "proved" if same else "wrong", found="" if same else right, since=since)
        elif told is None and facts.laid is not None:
            given, seen = sorted(facts.finished), sorted(facts.laid.finished.values())
            same = len(given) == len(seen) and all(abs(a - b) < SAME for a, b in zip(given, seen, strict=True))
            right = " x ".join(terms.say(round(one, 4)) for one in facts.laid.finished.values())
            form.tell(entry, "finished", "proved" if same else "wrong", found=right, since=since)
        elif told is None and exact is None:
            form.tell(
                entry,
                "finished",
                "not decidable",
                note=f"A {facts.shape or 'piece without a shape'} needs the shapes of its unit",
            )
        else:
            fits = (
                facts.cut is not None
                and told is not None
                and _fits(facts, told, terms)[0] in ("proved", "more than needed")
            )
            form.tell(
                entry,
                "finished",
                "proved" if fits else "not decidable",
                note="" if fits else "It and the cut size do not go together; which is wrong, the shapes would tell",
            )
    exact = exact if exact is not None else told
    if not since and exact is not None:
        since = (f"{entry.where}: finished",)
    if "cut" not in entry.texts:
        form.tell(entry, "cut", "not decidable", note="The cut size is missing")
        return
    if facts.cut is None:
        return
    if exact is None:
        form.tell(entry, "cut", "not decidable", note="Neither its finished size nor the shapes of its unit fix it")
        return
    verdict, note = _fits(facts, exact, terms)
    facts.wrong = verdict == "wrong"
    right = " x ".join(terms.say(terms.up(one)) for one in exact)
    form.tell(entry, "cut", verdict, found=right, note=note, since=since)


def _fits(facts: PieceFacts, exact: tuple[float, ...], terms: SumTerms) -> tuple[Verdict, str]:
    """Return the verdict on a cut size against the exact one, and its reason.

    What is told as too small or too large is the difference between the written size and the right one as it is shown.
    """
    cut = tuple(sorted(facts.cut or ())) if facts.shape == "template" else facts.cut or ()
    if len(cut) != len(exact):
        return "wrong", f"It has {len(cut)} measures, a {facts.shape} has {len(exact)}"
    off = [a - b for a, b in zip(cut, exact, strict=True)]
    low, high = min(off), max(off)
    shown = [a - terms.up(b) for a, b in zip(cut, exact, strict=True)]
    if low < -SAME:
        return "wrong", f"It is {terms.say(round(-min(shown), 4))} too small"
    if high < terms.step + SAME:
        return "proved", ""
    if facts.shape in POINTED and high <= SAFE:
        return "more than needed", f"{terms.say(round(max(shown), 4))} larger: safe, if the unit is trimmed"
    return "wrong", f"It is {terms.say(round(max(shown), 4))} too large"


# units


def _judge_units(form: FormSize, units: dict[str, FormEntry], pieces: dict[str, PieceFacts]) -> None:
    """Lay each unit out of its parts, sew it in the rehearsal and compare its size."""
    terms = form.terms
    sizes = {name: form.read(entry, "size", "size") for name, entry in units.items()}
    for name, entry in units.items():
        laid: list[tuple[str, Outline]] | None = None
        key = "shapes" if "shapes" in entry.texts else "rows"
        if key in entry.texts:
            try:
                laid = (
                    _read_shapes(entry.texts[key], terms)
                    if key == "shapes"
                    else _lay_rows(entry.texts[key], units, sizes, pieces, terms)
                )
            except KitError as error:
                form.tell(entry, key, "not decidable", note=str(error))
        if laid:
            _sew_unit(form, entry, key, laid, sizes[name], pieces)
        elif "size" in entry.texts and sizes[name] is not None:
            form.tell(entry, "size", "not decidable", note="Without rows or shapes nobody knows how its parts lie")


def _sew_unit(
    form: FormSize,
    entry: FormEntry,
    key: str,
    laid: list[tuple[str, Outline]],
    size: tuple[float, float] | None,
    pieces: dict[str, PieceFacts],
) -> None:
    terms = form.terms
    try:
        patchwork, cuts, came = sew_shapes(tuple(laid), terms.allowance, terms.step)
    except KitError as error:
        form.tell(entry, key, "wrong", note=str(error))
        return
    sewn = came.finished if came else patchwork.finished
    form.sewn[entry.name] = sewn
    note = "" if came is None or came.agrees else "; ".join(came.differences)[:300]
    form.tell(entry, key, "wrong" if note else "proved", note=note)
    for patch in patchwork.patches:
        if patch.slot in pieces and pieces[patch.slot].laid is None:
            pieces[patch.slot].laid = cuts.piece_of[patch.id]
            pieces[patch.slot].laid_in = f"{entry.where}: {key}"
            pieces[patch.slot].outline = patch.outline
    if "parts" in entry.texts:
        told = form.read(entry, "parts", "parts")
        if told is not None:
            given, found = Counter({one.name: one.count for one in told}), Counter(name for name, _ in laid)
            same = given == found
            right = ", ".join(f"{count} {name}" for name, count in found.items())
            form.tell(entry, "parts", "proved" if same else "wrong", found=right, since=(f"{entry.where}: {key}",))
    if size is not None:
        whole = (sewn[0] + 2 * terms.allowance, sewn[1] + 2 * terms.allowance)
        off = max(abs(a - b) for a, b in zip(size, whole, strict=True))
        form.tell(
            entry,
            "size",
            "proved" if off < 0.01 else "wrong",
            found=terms.say_size([round(one, 4) for one in whole]),
            note="" if off < 0.01 else f"Sewn, it is {terms.say(round(off, 4))} off",
            since=(f"{entry.where}: {key}",),
        )


@lru_cache(maxsize=512)
def sew_shapes(
    laid: tuple[tuple[str, Outline], ...], allowance: float, step: float
) -> tuple[Patchwork, CutList, Rehearsal | None]:
    """Lay the parts of a unit, cut them and sew them in the rehearsal; a single part is not sewn.

    Raises
    ------
    KitError
        Parts that do not close, or cannot be sewn.
    """
    patchwork = patchwork_from_outlines([o for _, o in laid], [n for n, _ in laid], allowance=allowance)
    cuts = cut_list(patchwork, step)
    return patchwork, cuts, rehearse(cuts, sewing_plan(patchwork, cuts)) if len(laid) > 1 else None


def _read_shapes(value: object, terms: SumTerms) -> list[tuple[str, Outline]]:
    """Return the shapes "name: x,y x,y x,y" of a unit, in the unit of the system."""
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value) or not value:
        raise KitError(
            "the shapes are not a list of texts", needed='"A1: 0,0 2,0 2,2 0,2"', do="write one for each part"
        )
    if len(value) > MOST_LAID:
        raise KitError(
            f"{len(value)} shapes in one unit", needed=f"at most {MOST_LAID}", do="divide it into smaller units"
        )
    scale = 1.0 if terms.system == "inch" else 1 / 2.54
    found = []
    for one in value:
        name, _, rest = one.partition(":")
        numbers = re.findall(r"-?[0-9]+(?:\.[0-9]+)?", rest)
        if len(numbers) < 6 or len(numbers) % 2 or re.search(r"[^-0-9., \t]", rest):
            raise KitError(
                f"the shape `{one:.60}` cannot be read", needed='"A1: 0,0 2,0 2,2 0,2"', do="write its corners"
            )
        flat = [scale * float(number) for number in numbers]
        found.append((name.strip(), tuple(zip(flat[::2], flat[1::2], strict=True))))
    return found


def _lay_rows(
    value: object,
    units: dict[str, FormEntry],
    sizes: dict[str, tuple[float, float] | None],
    pieces: dict[str, PieceFacts],
    terms: SumTerms,
) -> list[tuple[str, Outline]]:
    """Lay the rows "A1 B1 A1" of a unit, the last row at the bottom; a turned part is written `A1(90)`."""
    listed = value if isinstance(value, list) else [value]
    if not all(isinstance(one, str) for one in listed):
        raise KitError("the rows are not texts", needed='"A1 B1 A1"', do="write one text for each row")
    found: list[tuple[str, Outline]] = []
    y = 0.0
    for row in reversed([str(one) for one in listed]):
        x, high = 0.0, 0.0
        for word in row.split():
            name, _, turn = word.partition("(")
            if name in pieces and pieces[name].finished:
                held = pieces[name].finished or ()
                w, h = held[-1], held[0]
            elif name in units and sizes[name] is not None:
                whole = sizes[name] or (0.0, 0.0)
                w, h = whole[0] - 2 * terms.allowance, whole[1] - 2 * terms.allowance
            else:
                raise KitError(
                    f"the row names `{name:.40}`, whose finished size is not known",
                    needed="a piece with its finished size, or a unit with its size",
                    do="add it",
                )
            if turn.startswith(("90", "270")):
                w, h = h, w
            found.append((name, make_rectangle(x, y, w, h)))
            x, high = x + w, max(high, h)
        y += high
    return found


# counts
