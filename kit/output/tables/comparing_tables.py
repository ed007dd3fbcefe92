"""Quilts side by side: one row per study, one column per edition, one row per way to a wanted size."""

from collections.abc import Sequence
from math import ceil
from typing import Literal

import pandas as pd

from kit.lengths import PLAIN_NOTATION, System, write_buying, write_length, write_nearest
from kit.model.fits import Fit, Option
from kit.model.pattern import Pattern, Sketch
from kit.output.tables.buying_tables import shopping
from kit.output.words.key_words import name_key

ABOUT = PLAIN_NOTATION.about


def compare(patterns: Sequence[Sketch], columns: Literal["figures", "editions"] = "figures") -> pd.DataFrame:
    """Return one row per study: sizes, patches, pieces, seams, fabric, cost, hours; or the editions of one in columns.

    For patterns, cost and hours are those of the whole quilt, finishing included, at the maker's own speeds. If a
    sketch is among them, they are those of the tops only, at 20 s per cut and 60 s per seam, pressing included (common
    practice, no source). If two have the same title, a second column names the editions.

    Parameters
    ----------
    patterns
        Patterns or sketches.
    columns
        "figures", or "editions": then each has a column, as in `compare_editions`.
    """
    if columns == "editions":
        return compare_editions(patterns)
    whole = all(isinstance(pattern, Pattern) for pattern in patterns)
    rows = [_summarise(pattern, whole=whole) for pattern in patterns]
    if len({row["Title"] for row in rows}) < len(rows):
        names = [pattern.study.edition for pattern in patterns]
        rows = [{"Title": row["Title"], "Edition": name} | row for row, name in zip(rows, names, strict=True)]
    return pd.DataFrame(rows)


def compare_editions(patterns: Sequence[Sketch]) -> pd.DataFrame:
    """Return one column per edition: sizes, counts, amounts to buy of each fabric, cost and hours.

    Parameters
    ----------
    patterns
        A sketch or a pattern of each edition, from `kit.editions`.
    """
    columns: dict[str, dict[str, object]] = {}
    whole = all(isinstance(pattern, Pattern) for pattern in patterns)
    for pattern in patterns:
        facts = _summarise(pattern, whole=whole)
        buys = {f"{row['Fabric']}, buy": row["Buy"] for _, row in shopping(pattern).iterrows()}
        counts = {"Pieces": pattern.cut_list.count} | {
            key: facts[key] for key in ("Patches", "Kinds of piece", "Seams")
        }
        shown = {"Finished": facts["Finished"]} | counts | buys | {"Cost": facts["Cost"], "Hours": facts["Hours"]}
        name = pattern.study.edition.partition(", ")[2] or pattern.study.edition
        columns[name if name not in columns else f"{name} ({len(columns) + 1})"] = shown
    return pd.DataFrame(columns, dtype=object).fillna("–")


def fits(fit: Fit) -> pd.DataFrame:
    """Return one row per way to a wanted size, the least odd first: its settings, its finished size and its cloth.

    Where the search went through keys of the study by name, the changed ones stand in one column, with both values.

    Parameters
    ----------
    fit
        From `kit.fit`.
    """
    rows = []
    for option in fit.options:
        facts, system = _summarise(option.sketch, whole=False), option.sketch.study.measures.system
        chosen = option.choice
        lengths = zip(fit.names[2:], (chosen.block, chosen.sashing, chosen.border), strict=True)
        row: dict[str, object] = {"Changed": write_changes(option)}
        if not fit.keys:
            row = {_title(fit.names[0]): chosen.across}
            row |= {_title(fit.names[1]): chosen.down} if fit.names[1] else {}
            row |= {_title(key): write_length(inches, system) for key, inches in lengths if key and inches is not None}
        off = (option.finished[0] - fit.target.width, option.finished[1] - fit.target.height)
        row |= {"Finished": facts["Finished"], "Off": " × ".join(_write_off(inches, system) for inches in off)}
        row |= {"Oddness": round(option.oddness, 1), "Because of": _list_points(option)}
        rows.append(row | {key: facts[key] for key in ("Patches", "Yardage", "Strips", "Cost")})
    return pd.DataFrame(rows)


def write_changes(option: Option) -> str:
    """Write what a way to a size changes, each in plain words and from what to what.

    Parameters
    ----------
    option
        From `kit.fit`.
    """
    return ", ".join(f"{name_key(change.key)} {change.old} → {change.new}" for change in option.changes) or "–"


def _title(key: str) -> str:
    return key.replace("_", ", ").capitalize()


def _write_off(inches: float, system: System) -> str:
    if abs(inches) < 1 / 64:
        return "0"
    said, sign = write_nearest(abs(inches), system), "+" if inches > 0 else "−"
    return f"{ABOUT}{sign}{said.removeprefix(ABOUT)}" if said.startswith(ABOUT) else f"{sign}{said}"


def _list_points(option: Option) -> str:
    ranked = sorted(option.points, key=lambda entry: -entry[1])
    return ", ".join(f"{name} {points:.1f}" for name, points in ranked if points >= 0.05) or "nothing"


def _summarise(pattern: Sketch, *, whole: bool) -> dict[str, object]:
    system = pattern.study.measures.system
    width, height = pattern.patchwork.finished
    yardage = sum(plan.used + plan.squaring_up for plan in pattern.cutting.cloths if plan.supply.form == "yardage")
    strips = sum(len(plan.strips) for plan in pattern.cutting.cloths if plan.supply.form == "strips")
    prices = shopping(pattern)["Cost"]
    patches = len(pattern.patchwork.patches)
    seams = patches - 1
    cost, work = float(prices.fillna(0).sum()), (patches * 20 + seams * 60) / 3600
    if whole and isinstance(pattern, Pattern):
        cost, work = pattern.finishing.cost.total, pattern.finishing.hours
    return {
        "Title": pattern.study.title,
        "Finished": f"{write_length(width, system)} × {write_length(height, system)}",
        "Patches": patches,
        "Kinds of piece": len(pattern.cut_list.pieces),
        "Seams": seams,
        "Fabrics": len(pattern.study.fabrics),
        "Yardage": write_buying(yardage, system) if yardage else "–",
        "Strips": strips,
        "Cost": round(cost, 2),
        "Hours": ceil(round(work * 10, 6)) / 10,
    }
