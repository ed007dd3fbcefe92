"""The structured twin of the printed instructions: the same figures as data, for following and proving."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import sqrt
from typing import Any, TypeAlias

from kit.errors import CheckError
from kit.geometry.outlines import Outline, measure_angles, measure_area, measure_box, measure_edges
from kit.lengths import buying_length, round_up
from kit.model.cutting import CutList, Piece, PieceKind
from kit.model.making import Made
from kit.model.pattern import Pattern
from kit.model.sewing import Edge, SewingPlan, SewnUnit, Step
from kit.output.files.twin_making import read_made, write_made
from kit.output.words.cutting_words import list_cutting
from kit.output.words.sizes import TRIANGLES
from kit.output.words.step_words import StepSentences
from kit.output.words.unit_measures import measure_aslant, measure_level

Twin: TypeAlias = dict[str, Any]

STRETCHED = ("partial", "close", "set in")
"""Kinds of step with a stretch to sew; the others sew the whole seam."""
NEAR = 1e-6
"""Inches: the tolerance between two figures of one length."""


def write_twin(pattern: Pattern) -> Twin:
    """Return the printed cutting and sewing instructions as plain data for JSON.

    Parameters
    ----------
    pattern
        Every plan of a study.

    Notes
    -----
    Lengths are inches; `rounded` is the printed figure of a cut size, `unfinished` the ruler's figure along the sides
    of a unit. Values without a place on paper (the order of a solver, a bound) are left out.
    """
    plan = pattern.sewing
    writer = StepSentences(pattern, plan)
    return {
        "finished": list(pattern.rehearsal.finished),
        "allowance": pattern.cut_list.allowance,
        "step": pattern.cut_list.step,
        "ruler": pattern.cut_list.step,
        "pieces": [
            {
                "id": piece.id, "kind": piece.kind, "name": piece.name, "slot": piece.slot, "hand": piece.hand,
                "count": piece.count, "cut": dict(piece.cut), "rounded": dict(piece.rounded),
                "angles": list(piece.angles), "outline": _list(piece.outline), "patches": list(piece.patches),
            }
            for piece in pattern.cut_list.pieces
        ],
        "cutting": _write_cutting(pattern),
        "units": [
            {
                "name": unit.name, "make": unit.count, "copies": [list(copy) for copy in unit.copies],
                "parts": [list(part) for part in unit.parts], "unfinished": list(writer.measure(unit)),
            }
            for unit in plan.units
        ],
        "steps": [_write_step(step) for step in plan.steps],
        "partial_seams": plan.partial_seams,
        "set_in_seams": plan.set_in_seams,
        **({"making": [write_made(made) for made in pattern.making.made]} if pattern.making.made else {}),
    }  # fmt: skip


def _write_cutting(pattern: Pattern) -> list[Twin]:
    plans = {plan.supply.fabric or plan.supply.slot: plan for plan in pattern.cutting.cloths}
    system = pattern.study.measures.system
    rows = []
    for lines in list_cutting(pattern):
        plan = plans[lines.fabric]
        yardage = plan.supply.form == "yardage"
        rows.append(
            {
                "fabric": lines.fabric,
                "form": plan.supply.form,
                "system": system,
                "needed": plan.as_bought,
                "squaring_up": plan.squaring_up,
                "margin": plan.margin,
                **({"lead": plan.lead} if plan.lead else {}),
                "shrinkage": plan.supply.shrinkage,
                "buy": buying_length(plan.as_bought, system) if yardage else plan.as_bought,
                "width": plan.supply.width,
                "length": plan.piece_of_cloth[0],
                "first": [
                    {
                        "count": first.count, "height": first.height, "length": first.length,
                        **({} if first.start is None else {"start": first.start, "every": first.every}),
                        "sub": [
                            {
                                "piece": sub.piece, "cut": sub.cut, "gives": sub.gives, "spare": sub.spare,
                                "length": sub.length or None, "times": sub.times,
                                **({"layers": sub.layers} if sub.layers > 1 else {}),
                            }
                            if sub.piece
                            else {"spare_of": sub.of, "spare": sub.spare}
                            if sub.of
                            else {"strips": sub.cut, "height": sub.height, "length": sub.length or None}
                            for sub in first.sub_cuts
                            if sub.piece or sub.cut or sub.of
                        ],
                    }
                    for first in lines.first_cuts
                ],
                "joined": [
                    {
                        "piece": one.sub_cut.piece, "parts": one.parts, "length": one.length,
                        "gives": one.sub_cut.gives, **({"rows": one.rows} if one.rows > 1 else {}),
                    }
                    for one in lines.joined
                ],
            }
        )  # fmt: skip
    return rows


def _write_step(step: Step) -> Twin:
    """Return a step; with its stretch only if it is printed, that is if less than the whole seam is sewn."""
    printed = step.kind in STRETCHED
    return {
        "number": step.number, "unit": step.unit, "kind": step.kind,
        "first": list(step.first), "second": list(step.second),
        "along_first": [[edge.patch, edge.edge] for edge in step.along_first],
        "along_second": [[edge.patch, edge.edge] for edge in step.along_second],
        "offset": step.offset if step.along_second else None, "sewn": list(step.sewn) if printed else None,
        "ragged": step.ragged, "stops": list(step.stops), "trim": _list(step.trim) if step.trim else None,
    }  # fmt: skip


def _list(outline: Outline) -> list[list[float]]:
    """Return an outline to a billionth of an inch: smaller differences are rounding noise."""
    return [[round(x, 9) + 0.0, round(y, 9) + 0.0] for x, y in outline]


def read_twin(twin: Mapping[str, Any], target: Sequence[tuple[str, Outline]]) -> tuple[CutList, SewingPlan]:
    """Check that the figures of a twin agree with one another, and read it back for the rehearsal.

    Parameters
    ----------
    twin
        From `write_twin`, or from JSON.
    target
        The design for comparison: patch id and finished outline.

    Raises
    ------
    CheckError
        Two figures that contradict each other; names both.
    """
    allowance = float(twin["allowance"])
    _agree("marks of the ruler and rounding", twin["ruler"], twin["step"])
    pieces = tuple(_read_piece(entry, float(twin["step"])) for entry in twin["pieces"])
    _check_cutting(twin, _leave_out_made(twin, pieces))
    read_twin_making(twin)
    units = tuple(_read_unit(entry, dict(target), allowance) for entry in twin["units"])
    steps = tuple(_read_step(entry) for entry in twin["steps"])
    partial, set_in = int(twin["partial_seams"]), int(twin["set_in_seams"])
    copies = {unit.name: unit.count for unit in units}
    counted = sum(copies.get(step.unit, 0) for step in steps if step.kind == "partial")
    _agree("partial seams", partial, counted)
    counted = sum(copies.get(step.unit, 0) for step in steps if step.kind == "set in" and step.second)
    later = sum(copies.get(step.unit, 0) for step in steps if step.kind == "set in")
    if not counted <= set_in <= later:
        _agree("set-in seams", set_in, counted)
    plan = SewingPlan(steps, units, partial, set_in, partial, set_in, tuple(target))
    return CutList(pieces, allowance, float(twin["step"])), plan


def read_twin_making(twin: Mapping[str, Any]) -> tuple[Made, ...]:
    """Return the units made several at a time, for their rehearsal.

    Parameters
    ----------
    twin
        From `write_twin`, or from JSON.

    Raises
    ------
    CheckError
        Two figures that contradict each other.
    """
    return tuple(read_made(entry, float(twin["allowance"])) for entry in twin.get("making", ()))


def _agree(what: str, one: float, other: float) -> None:
    if abs(one - other) > NEAR:
        raise CheckError(f"{what}: {one:g} is printed and {other:g} follows", needed="one figure", do="print it again")


def _read_piece(entry: Mapping[str, Any], step: float) -> Piece:
    outline = tuple((float(x), float(y)) for x, y in entry["outline"])
    name = entry["id"]
    for what, size in _measure(entry["kind"], outline).items():
        _agree(f"piece {name}, {what}", entry["cut"][what], size)
        if abs(entry["rounded"][what] - size) > NEAR:  # as wide as its strip, which is not cut to the ruler
            _agree(f"piece {name}, {what} to cut", entry["rounded"][what], round_up(size, step))
    for printed, measured in zip(entry["angles"], measure_angles(outline), strict=True):
        _agree(f"piece {name}, an angle", printed, measured)
    _agree(f"piece {name}, count", entry["count"], len(entry["patches"]))
    patches = tuple(entry["patches"])
    return Piece(
        name, entry["kind"], entry["name"], entry["count"], entry["hand"], entry["slot"], entry["cut"],
        entry["rounded"], {}, outline, tuple(entry["angles"]), (False,) * len(outline), 0, patches, (0,) * len(patches),
    )  # fmt: skip


def _measure(kind: PieceKind, outline: Outline) -> dict[str, float]:
    """Return the cut sizes of a shape, measured on its outline."""
    edges, area = measure_edges(outline), measure_area(outline)
    left, bottom, right, top = measure_box(outline)
    if kind == "square":
        return {"side": edges[0]}
    if kind == "rectangle":
        return {"width": min(edges), "length": max(edges)}
    if kind == "half-square triangle":
        return {"square": min(edges)}
    if kind == "quarter-square triangle":
        return {"square": max(edges)}
    if kind == "half-rectangle triangle":
        return {"short leg": min(edges), "long leg": sum(edges) - min(edges) - max(edges)}
    if kind == "parallelogram":
        return {"strip": area / edges[0], "step": edges[0]}
    if kind == "trapezoid":
        return {"strip": 2 * area / (edges[0] + edges[2]), "long side": edges[0], "short side": edges[2]}
    if kind == "60° triangle":
        return {"strip": edges[0] * sqrt(3) / 2, "side": edges[0]}
    return {"width": right - left, "height": top - bottom}


def _leave_out_made(twin: Mapping[str, Any], pieces: Sequence[Piece]) -> dict[str, Piece]:
    """Return the cut shapes: the pieces except those from batches, and the cut shapes of the batches."""
    making = twin.get("making", ())
    gone = {patch for made in making for unit in made["units"] for patch in unit}
    blanks: Counter[str] = Counter()
    cut = {piece.id: replace(piece, count=sum(patch not in gone for patch in piece.patches)) for piece in pieces}
    for made in making:
        need, come = len(made["units"]), made["batches"] * made["makes"]
        _agree(f"{made['id']}, units that come out", min(need, come), need)
        for blank in made["blanks"]:
            _agree(f"{blank['id']}, count", blank["count"], blank["each"] * made["batches"])
            blanks[blank["id"]] += blank["count"]
            kind: PieceKind = "square" if len(blank["rounded"]) == 1 else "rectangle"
            cut[blank["id"]] = Piece(
                blank["id"], kind, "", blanks[blank["id"]], None, "", {}, blank["rounded"], {}, (), (), (), 0, (), ()
            )
    return {name: piece for name, piece in cut.items() if piece.count}


def _check_need(cloth: Mapping[str, Any]) -> None:
    """Check that strips, squaring up, margin and the way to the first motif add up to what is needed and bought."""
    name, yardage = cloth["fabric"], cloth["form"] == "yardage"
    taken = sum(first["count"] * (first["height"] if yardage else 1) for first in cloth["first"])
    placed = [one for one in cloth["first"] if "start" in one]
    if placed:
        taken = max(one["start"] + (one["count"] - 1) * one["every"] + one["height"] for one in placed)
    more = cloth["squaring_up"] + cloth["margin"] + cloth.get("lead", 0.0)
    need = (taken + more) / (1 - cloth["shrinkage"])
    _agree(f"fabric {name}, needed", cloth["needed"], need)
    _agree(f"fabric {name}, to buy", cloth["buy"], buying_length(need, cloth["system"]) if yardage else need)


def _check_cutting(twin: Mapping[str, Any], pieces: Mapping[str, Piece]) -> None:
    given: Counter[str] = Counter()
    for cloth in twin["cutting"]:
        name, yardage = cloth["fabric"], cloth["form"] == "yardage"
        _check_need(cloth)
        parts, lengths = Counter[str](), Counter[str]()
        for first in cloth["first"]:
            _agree(f"fabric {name}, length of a strip", first["length"], cloth["length"])
            if yardage:
                washed = cloth["width"] * (1 - cloth["shrinkage"])
                _agree(f"fabric {name}, usable width", washed, cloth["length"])
            elif cloth["form"] == "strips":
                _agree(f"fabric {name}, width of a strip", first["height"], cloth["width"])
            for sub in first["sub"]:
                given[sub.get("spare_of", "")] -= sub["spare"] if "spare_of" in sub else 0
                if "piece" not in sub:
                    continue
                given[sub["piece"]] += sub["gives"] * sub["times"]
                if sub["length"]:
                    parts[sub["piece"]] += sub["cut"] * sub["times"]
                    lengths[sub["piece"]] += sub["cut"] * sub["length"] * sub["times"]
                each = TRIANGLES.get(pieces[sub["piece"]].kind, 1)
                came = sub["cut"] * each * sub.get("layers", 1) - sub["spare"]
                _agree(f"piece {sub['piece']} from {name}", came, sub["gives"])
        for one in cloth["joined"]:
            given[one["piece"]] += one["gives"]
            _agree(f"piece {one['piece']}, lengths to join", one["parts"], parts[one["piece"]])
            _agree(f"piece {one['piece']}, their length", one["length"], lengths[one["piece"]])
            left = one["length"] - 2 * twin["allowance"] * (one["parts"] - one.get("rows", 1))
            need = one["gives"] * max(pieces[one["piece"]].rounded.values())
            _agree(f"piece {one['piece']}, length that is left when joined", min(left, need), need)
    for piece in pieces.values():
        _agree(f"piece {piece.id}, cut in all", given[piece.id], piece.count)


def _read_unit(entry: Mapping[str, Any], design: Mapping[str, Outline], allowance: float) -> SewnUnit:
    """Return a unit; the rehearsal measures units as they lie in the top, so a slanted unit is measured here."""
    name = entry["name"]
    _agree(f"unit {name}, make", entry["make"], len(entry["copies"]))
    printed, copies = entry["unfinished"], tuple(tuple(copy) for copy in entry["copies"])
    outlines = [design[patch] for patch in copies[0] if patch in design]
    aslant = measure_aslant(outlines, allowance)
    for figure, measured in zip(printed, aslant or printed, strict=True):
        _agree(f"unit {name}, unfinished", figure, measured)
    wide, high = measure_level(outlines, allowance) if aslant else printed
    return SewnUnit(name, copies, tuple((part, count) for part, count in entry["parts"]), (float(wide), float(high)))


def _read_step(entry: Mapping[str, Any]) -> Step:
    low, high = (float(end) for end in entry["sewn"] or (0.0, 0.0))
    if (entry["kind"] in STRETCHED) != (low < high):
        raise CheckError(
            f"step {entry['number']}, {entry['kind']}: sewn from {low:g} to {high:g} in",
            needed="a stretch only if less than the whole seam is sewn",
            do="print it again",
        )
    return Step(
        entry["number"], entry["unit"], entry["kind"], tuple(entry["first"]), tuple(entry["second"]),
        tuple(Edge(patch, edge) for patch, edge in entry["along_first"]),
        tuple(Edge(patch, edge) for patch, edge in entry["along_second"]),
        float(entry["offset"] or 0.0), (low, high), entry["ragged"], None,
        tuple((float(x), float(y)) for x, y in entry["trim"]) if entry["trim"] else None, tuple(entry["stops"]),
    )  # fmt: skip
