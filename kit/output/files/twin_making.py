"""The making of units several at a time in the twin: written as data, read back, and made again from its figures."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any, TypeAlias, get_args

from kit.errors import CheckError
from kit.geometry.outlines import Outline, Point
from kit.model.cutting import Piece, PieceKind
from kit.model.foundations import FoundationPlan, PaperPiece, PaperSection, SectionJoin
from kit.model.making import Made, MadeUnit, WayName
from kit.model.strip_sets import SetSegment
from kit.output.proof.batch_proof import measure_batches

Twin: TypeAlias = dict[str, Any]
NEAR = 1e-4
"""Inches: the tolerance between two figures of one length."""


def write_made(made: Made) -> Twin:
    """Return one kind of unit made several at a time as plain data; lengths are inches, as printed."""
    written: Twin = {
        "id": made.id, "unit": made.unit, "way": made.way, "size": list(made.size), "fabrics": list(made.fabrics),
        "batches": made.batches, "makes": made.makes, "units": [list(unit) for unit in made.units],
        "over": made.over, "roles": [made.blanks[use].id for use in made.uses],
        "blanks": [
            {"id": blank.id, "fabric": blank.fabric, "rounded": dict(blank.rounded), "sewn": list(size),
             "each": each, "count": blank.count}
            for blank, size, each in zip(made.blanks, made.sizes, made.each, strict=True)
        ],
    }  # fmt: skip
    if made.papers is not None:
        written |= {"papers": asdict(made.papers), "name": made.name}
    if made.unit == "corners":
        written["legs"] = list(made.legs)
    if made.unit == "half-rectangle":
        written["rising"] = made.rising
    if made.unit == "strip set":
        written |= {"widths": list(made.widths), "left": list(made.left)}
    if made.slant != 90:
        written["slant"] = made.slant
    if made.segment:
        written["segment"] = made.segment
    if made.segments:
        written |= {
            "loop": made.loop, "lengths": list(made.lengths),
            "segments": [asdict(one) for one in made.segments], "apart": [asdict(one) for one in made.apart],
        }  # fmt: skip
    return written


def read_made(entry: Mapping[str, Any], allowance: float) -> Made:
    """Read an entry, and check that its figures agree with one another; `find_wrong` makes its units again from them.

    Parameters
    ----------
    entry
        From `write_made`, or from JSON.
    allowance
        Seam allowance, inches.

    Raises
    ------
    CheckError
        Figures that contradict each other.
    """
    try:
        made = _read(entry)
        _check_figures(entry, made, allowance)
    except (ValueError, IndexError, KeyError, ZeroDivisionError) as error:
        raise _refuse(entry, f"{error}") from None
    return made


def _check_figures(entry: Mapping[str, Any], made: Made, allowance: float) -> None:
    """Check what the making of the units alone does not show: sizes that are too large, and what comes off."""
    for blank in entry["blanks"]:
        printed, sewn = sorted(blank["rounded"].values()), sorted(blank["sewn"])
        if any(abs(side - sewn[i]) > NEAR for i, side in enumerate(printed * (2 if len(printed) == 1 else 1))):
            raise _refuse(entry, f"{blank['id']} is cut {printed} and sewn {sewn}")
    if made.segments:
        return _check_sets(entry, made, allowance)
    if made.papers is not None:
        return None  # the rehearsal sews the block by its papers
    over = [come - need for what, come, need in measure_batches(made, allowance) if what != "set"]
    if made.unit == "corners":
        over = [0.0] if max(abs(one) for one in over) < NEAR else []
    if not any(abs(one - made.over) < NEAR for one in over):
        raise _refuse(entry, f"{made.over:.4f} in comes off, and {over} is too large")
    if made.unit == "strip set":
        _check_left(entry, made)
    return None


def _check_sets(entry: Mapping[str, Any], made: Made, allowance: float) -> None:
    _check_left(entry, made)
    for one in (*made.segments, *made.apart):
        if not -NEAR < one.width - one.finished - 2 * allowance < 1:
            raise _refuse(entry, f"a segment is cut {one.width:g} in for {one.finished:g} in")


def _check_left(entry: Mapping[str, Any], made: Made) -> None:
    if any(abs(a - b) > NEAR for a, b in zip(entry["left"], made.left, strict=True)):
        raise _refuse(entry, f"{entry['left']} in is left of the sets, and {made.left} follows")
    if abs(sum(made.widths) - made.size[0]) > NEAR:
        raise _refuse(entry, f"strips of {made.widths} do not make {made.size[0]:g} in")


def _read(entry: Mapping[str, Any]) -> Made:
    if entry["unit"] not in get_args(MadeUnit) or entry["way"] not in get_args(WayName):
        raise ValueError(f"there are no {entry['unit']} units made {entry['way']}")
    places = [blank["id"] for blank in entry["blanks"]]
    return Made(
        entry["id"], entry["unit"], entry["way"], (entry["size"][0], entry["size"][1]), tuple(entry["fabrics"]),
        tuple(tuple(unit) for unit in entry["units"]), tuple(_read_blank(blank) for blank in entry["blanks"]),
        tuple((blank["sewn"][0], blank["sewn"][1]) for blank in entry["blanks"]),
        tuple(blank["each"] for blank in entry["blanks"]), tuple(places.index(role) for role in entry["roles"]),
        entry["batches"], entry["makes"], entry["over"], legs=tuple(entry.get("legs", ())),
        widths=tuple(entry.get("widths", ())), segment=entry.get("segment", 0.0), slant=entry.get("slant", 90.0),
        rising=entry.get("rising", True), segments=tuple(SetSegment(**one) for one in entry.get("segments", ())),
        apart=tuple(SetSegment(**one) for one in entry.get("apart", ())), lengths=tuple(entry.get("lengths", ())),
        loop=entry.get("loop", False), papers=_read_papers(entry["papers"]) if "papers" in entry else None,
        name=entry.get("name", ""),
    )  # fmt: skip


def _read_papers(entry: Mapping[str, Any]) -> FoundationPlan:
    """Return papers that were written as data."""
    sections = tuple(
        PaperSection(
            one["name"], tuple(_read_paper_piece(piece) for piece in one["pieces"]), _read_points(one["outline"])
        )
        for one in entry["sections"]
    )
    joins = tuple(
        SectionJoin(tuple(one["first"]), tuple(one["second"]), one["kind"], _read_line(one["ends"]))
        for one in entry["joins"]
    )
    return FoundationPlan(
        sections, joins, entry["least"], entry["copies"], entry["allowance"], entry["ease"],
        tuple((name, _read_points(outline)) for name, outline in entry["target"]), _read_points(entry["block"]),
        entry["name"], entry["mirrored"],
    )  # fmt: skip


def _read_paper_piece(entry: Mapping[str, Any]) -> PaperPiece:
    line = None if entry["line"] is None else _read_line(entry["line"])
    return PaperPiece(
        entry["patch"], entry["number"], entry["slot"], line, _read_points(entry["rectangle"]), entry["width"],
        entry["height"], entry["grain"],
    )  # fmt: skip


def _read_points(points: Sequence[Sequence[float]]) -> Outline:
    return tuple((float(x), float(y)) for x, y in points)


def _read_line(points: Sequence[Sequence[float]]) -> tuple[Point, Point]:
    first, last = _read_points(points)
    return first, last


def _read_blank(blank: Mapping[str, Any]) -> Piece:
    kind: PieceKind = "square" if len(blank["rounded"]) == 1 else "rectangle"
    return Piece(
        blank["id"],
        kind,
        "",
        blank["count"],
        None,
        "",
        {},
        blank["rounded"],
        {},
        (),
        (),
        (),
        0,
        (),
        (),
        blank["fabric"],
    )


def _refuse(entry: Mapping[str, Any], what: str) -> CheckError:
    return CheckError(f"{entry['id']}: {what}", needed="figures that give the units", do="print it again")
