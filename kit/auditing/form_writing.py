"""The form of the kit's own pattern: what it prints, as entries that an audit reads."""

import csv
import io
import os
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

import tomli_w

from kit.auditing.form_pieces import MOST_LAID
from kit.geometry.joined_outline import trace_together
from kit.geometry.outlines import Outline, measure_box
from kit.lengths import CM, System, buying_length, write_buying, write_exact, write_plain
from kit.model.cutting import Piece
from kit.model.pattern import Pattern
from kit.sharing.whole_file import write_whole

Held = dict[str, Any]


def list_form(patterns: Pattern | Sequence[Pattern]) -> Held:
    """Return the form of a pattern, or of its sizes, as data for TOML.

    Parameters
    ----------
    patterns
        A pattern, or one for each size.
    """
    listed = [patterns] if isinstance(patterns, Pattern) else list(patterns)
    return {"title": listed[0].study.title, "size": [_list_size(pattern, k) for k, pattern in enumerate(listed, 1)]}


def write_form(patterns: Pattern | Sequence[Pattern], path: str | os.PathLike[str]) -> Path:
    """Write the form of a pattern, or of its sizes: what `kit.audit` reads, and a model for a form of your own.

    Parameters
    ----------
    patterns
        A pattern, or one for each size.
    path
        The file to write: TOML, or a table if it ends in `.csv`.

    Raises
    ------
    KitError
        A place that cannot be written to.
    """
    place, held = Path(path), list_form(patterns)
    text = write_form_table(held) if place.suffix.lower() == ".csv" else write_form_text(held)
    return write_whole(place, text.encode("utf-8"))


def write_form_table(held: Held) -> str:
    """Return the text of a form as a table: one row per entry, one column per key."""
    rows: list[dict[str, str]] = [{"size": "", "kind": "title", "name": held["title"]}]
    for size in held.get("size", []):
        own = {key: value for key, value in size.items() if not isinstance(value, list | dict)}
        rows.append({"kind": "size", **{key: str(value) for key, value in own.items()}, "size": size["name"]})
        for kind, value in size.items():
            for entry in value if isinstance(value, list) else [value] if isinstance(value, dict) else []:
                cells = {key: " | ".join(one) if isinstance(one, list) else str(one) for key, one in entry.items()}
                if "size" in cells:
                    cells["unit size"] = cells.pop("size")
                rows.append({"size": size["name"], "kind": kind, **cells})
    heads = list(dict.fromkeys(key for row in rows for key in ("size", "kind", "name", *row)))
    text = io.StringIO()
    table = csv.DictWriter(text, heads, lineterminator="\n")
    table.writeheader()
    table.writerows(rows)
    return text.getvalue()


def write_form_text(held: Held) -> str:
    """Return the text of a form in TOML, every entry a table of its own, so that each figure has its line."""
    parts = [tomli_w.dumps({key: value for key, value in held.items() if key != "size"})]
    for size in held.get("size", []):
        own = {key: value for key, value in size.items() if not isinstance(value, list | dict)}
        parts.append(f"\n[[size]]\n{tomli_w.dumps(own)}")
        for kind, value in size.items():
            for entry in value if isinstance(value, list) else [value] if isinstance(value, dict) else []:
                head = f"[[size.{kind}]]" if isinstance(value, list) else f"[size.{kind}]"
                parts.append(f"\n{head}\n{tomli_w.dumps(entry)}")
    return "".join(parts)


def _list_size(pattern: Pattern, number: int) -> Held:
    measures = pattern.study.measures
    system = measures.system
    held: Held = {
        "name": pattern.study.edition if number > 1 else pattern.study.edition or "1",
        "finished": _size(pattern.patchwork.finished, system),
        "system": system,
        "seam_allowance": _plain(measures.seam_allowance, system),
        "usable_width": _plain(measures.usable_width, system),
        "round_cuts_to": write_exact(measures.round_cuts_to, system),
    }
    held["piece"] = list(_list_pieces(pattern))
    held["unit"] = list(_list_units(pattern))
    held["batch"] = list(_list_batches(pattern))
    held["cloth"] = list(_list_cloth(pattern))
    held["border"] = list(_list_borders(pattern))
    plan = pattern.finishing
    backing: Held = {"size": _size(plan.backing.needed, system)}
    if plan.backing.overhang[0] == plan.backing.overhang[1]:
        backing["overhang"] = _plain(plan.backing.overhang[0], system)
        if plan.backing.chosen.bought:
            backing |= {
                "buy": _bought(plan.backing.chosen.bought, system),
                "width": _plain(plan.backing.chosen.cloth_width, system),
            }
    held["backing"] = backing
    held["batting"] = {"size": _size(plan.batting.needed, system)}
    held["binding"] = {
        "cut": _plain(plan.binding.cut, system),
        "finished": _plain(plan.binding.finished, system),
        "fold": plan.binding.fold,
        "grain": plan.binding.grain,
    }
    if (
        plan.binding.grain == "straight"
        and not plan.binding.from_left_over
        and abs(plan.binding.cloth_width - measures.usable_width) < 1e-6
        and plan.binding.join == "diagonal"
    ):
        held["binding"] |= {"strips": len(plan.binding.lengths), "buy": _bought(plan.binding.bought, system)}
    held["totals"] = {"pieces": pattern.cut_list.count, "kinds": len(pattern.cut_list.pieces)}
    return {key: value for key, value in held.items() if value not in ([], {})}


def _list_pieces(pattern: Pattern) -> Iterator[Held]:
    """Yield every piece of the top with its fabrics, then the squares and strips of the batches."""
    system = pattern.study.measures.system
    single: dict[str, Counter[str]] = defaultdict(Counter)
    for one in pattern.making.cut_list.pieces:
        single[one.id][one.fabric or one.slot] += one.count
    made = {piece.id: piece for piece in pattern.making.pieces}
    for piece in pattern.cut_list.pieces:
        shares = single.get(piece.id, Counter()) if piece.id in made and made[piece.id].patches else Counter()
        count = sum(shares.values())
        entry = _make_piece(piece, system) | {"count": count}
        yield entry | ({"fabrics": _say_shares(shares)} if count else {})
    for piece in pattern.making.pieces:
        if not piece.patches:
            yield _make_piece(piece, system, blank=True) | {
                "count": piece.count,
                "fabrics": _say_shares(single.get(piece.id, Counter())),
            }


def _make_piece(piece: Piece, system: System, *, blank: bool = False) -> Held:
    entry: Held = {
        "name": piece.id,
        "shape": piece.kind,
        "cut": " x ".join(_plain(one, system) for one in piece.rounded.values()),
    }
    return entry if blank else entry | {"finished": " x ".join(_plain(one, system) for one in piece.finished.values())}


def _list_units(pattern: Pattern) -> Iterator[Held]:
    """Yield each unit with its parts, its unfinished size, and the shapes of its parts as they lie."""
    system, known = pattern.study.measures.system, pattern.patchwork.by_id
    piece_of = pattern.cut_list.piece_of
    trimmed = any(patch.sewn is not None for patch in pattern.patchwork.patches)
    inside = [(frozenset(copy), unit.name) for unit in pattern.sewing.units for copy in unit.copies]
    inside.sort(key=lambda one: -len(one[0]))
    for unit in pattern.sewing.units:
        entry: Held = {
            "name": unit.name,
            "count": unit.count,
            "parts": ", ".join(f"{n} {name}" for name, n in unit.parts),
        }
        parts = _divide(frozenset(unit.copies[0]), unit.name, inside, dict(unit.parts))
        laid: list[tuple[str, Outline]] = []
        for name, patches in parts:
            outlines = [known[patch].outline for patch in sorted(patches)]
            joined = outlines[0] if len(outlines) == 1 else trace_together(outlines)
            laid.append((name or piece_of[next(iter(patches))].id, joined))
        left, bottom, right, top = measure_box(p for _, outline in laid for p in outline)
        a2 = 2 * pattern.cut_list.allowance
        if not trimmed and len(laid) <= MOST_LAID and Counter(name for name, _ in laid) == Counter(dict(unit.parts)):
            entry["size"] = _size((right - left + a2, top - bottom + a2), system)
            entry["shapes"] = [f"{name}: {_write_outline(outline, left, bottom, system)}" for name, outline in laid]
        yield entry


def _divide(
    whole: frozenset[str], own: str, inside: Sequence[tuple[frozenset[str], str]], parts: dict[str, int]
) -> list[tuple[str, frozenset[str]]]:
    """Return the parts of a unit: the copies of units that it names, the largest first, and single patches."""
    left, found = set(whole), []
    taken: Counter[str] = Counter()
    for patches, name in inside:
        if name != own and taken[name] < parts.get(name, 0) and patches <= left:
            found.append((name, patches))
            left -= patches
            taken[name] += 1
    return [*found, *(("", frozenset([patch])) for patch in sorted(left))]


def _list_batches(pattern: Pattern) -> Iterator[Held]:
    system, piece_of = pattern.study.measures.system, pattern.cut_list.piece_of
    for made in pattern.making.made:
        gives = Counter(piece_of[patch].id for unit in made.units for patch in unit)
        cuts = ", ".join(f"{each} {blank.id}" for blank, each in zip(made.blanks, made.each, strict=True))
        entry: Held = {
            "name": made.id,
            "unit": made.unit,
            "way": made.way,
            "units": len(made.units),
            "finished": _size(made.size, system),
            "gives": _say_shares(gives),
            "cuts": cuts,
        }
        if made.batches * made.makes >= len(made.units) and made.makes and not made.segments:
            entry |= {"batches": made.batches, "makes": made.makes}
        yield entry


def _list_cloth(pattern: Pattern) -> Iterator[Held]:
    system = pattern.study.measures.system
    for plan in pattern.cutting.cloths:
        supply = plan.supply
        several = sum(
            one.supply.fabric == supply.fabric and one.supply.slot == supply.slot for one in pattern.cutting.cloths
        )
        on_hand = supply.length is not None and supply.form == "yardage"
        if several > 1 or on_hand or not plan.strips or supply.cloth or supply.shares or supply.lot or supply.shrinkage:
            continue
        entry: Held = {
            "fabric": supply.fabric or supply.slot,
            "form": supply.form,
            "width": _plain(supply.width, system),
        }
        if supply.length is not None and supply.form != "yardage":
            entry["length"] = _plain(supply.length, system)
        if supply.one_way or supply.nap:
            entry["one_way"] = True
        if supply.repeat or supply.stripes or supply.stack:
            entry["repeat"] = "to be matched"
        entry["buy"] = _bought(plan.as_bought, system) if supply.form == "yardage" else round(plan.as_bought)
        yield entry


def _list_borders(pattern: Pattern) -> Iterator[Held]:
    system = pattern.study.measures.system
    for border in pattern.finishing.borders:
        corners: str = border.corner
        if corners == "butted" and border.lengths[0] > border.inner[1] + 2.5 * pattern.cut_list.allowance:
            corners = "ends first"  # the form's own word
        yield {
            "name": f"{border.number}",
            "inside": _size(border.inner, system),
            "finished": _plain(border.finished, system),
            "cut": _plain(border.cut, system),
            "corners": corners,
            "sides": _plain(border.lengths[0], system),
            "ends": _plain(border.lengths[2], system),
        }


def _say_shares(shares: Counter[str]) -> str:
    return ", ".join(f"{count} {name}" for name, count in shares.items())


def _plain(inches: float, system: System) -> str:
    return f"{_number(inches / CM)} cm" if system == "metric" else write_plain(inches).replace("-", " ")


def _size(size: Iterable[float], system: System) -> str:
    return " x ".join(_plain(one, system) for one in size)


def _bought(inches: float, system: System) -> str:
    text = write_buying(inches, system).replace("\N{NO-BREAK SPACE}", " ")
    return text if buying_length(inches, system) else "0 in"


def _write_outline(outline: Outline, left: float, bottom: float, system: System) -> str:
    scale = 1.0 if system == "inch" else 2.54
    return " ".join(f"{_number(scale * (x - left))},{_number(scale * (y - bottom))}" for x, y in outline)


def _number(value: float) -> str:
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
