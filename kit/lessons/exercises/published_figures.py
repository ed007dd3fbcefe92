"""Printed figures of the trade beside the kit's figures, each with its source."""

import csv
import json
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pandas as pd

from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.lengths import Length, take_lengths
from kit.lessons.exercises.exercise import TERMS
from kit.lessons.exercises.lesson_shapes import (
    cut_piece,
    halve_square,
    make_corner,
    make_cut_list,
    make_side,
    quarter_square,
)
from kit.lessons.exercises.strip_exercises import TINY
from kit.model.fabrics import Supply
from kit.planning.cutting.cutting_plan import count_yield

FilePath = str | os.PathLike[str]
FINISHED = 3.0
"""Inches: any finished size shows the same amount."""


def compare_amounts(folder: FilePath) -> pd.DataFrame:
    """Compare the trade's additions to a finished size with those of the kit's cut list.

    Parameters
    ----------
    folder
        The folder of the published tables: `data/published`.

    Raises
    ------
    KitError
        A folder without them.
    """
    rules = json.loads(_read(folder, "cut_size_rules.json"))
    terms = TERMS["inch"]
    made = {
        "square": cut_piece([make_rectangle(0, 0, FINISHED, FINISHED)], terms)["side"],
        "half-square triangle": cut_piece(halve_square(FINISHED), terms)["square"],
        "quarter-square triangle": cut_piece(quarter_square(FINISHED), terms)["square"],
    }
    rows = []
    for rule in rules["rules"]:
        if rule["unit"] in made:
            exact = made[rule["unit"]] - FINISHED
            rows.append(
                {
                    "Shape": rule["unit"],
                    "The trade adds (in)": rule["trade_quarter"],
                    "The kit adds (in)": round(exact, 4),
                    "Trade less exact (in)": round(rule["trade_quarter"] - exact, 4),
                    "Source": "; ".join(_name(rules["sources"][name]) for name in rule["source"]),
                }
            )
    return pd.DataFrame(rows)


def compare_settings(folder: FilePath, blocks: Sequence[int] = (6, 9, 12)) -> pd.DataFrame:
    """Compare a printed chart of setting triangles with the kit's cut list.

    Parameters
    ----------
    folder
        The folder of the published tables.
    blocks
        Finished sides of blocks, whole inches.
    """
    rows = [row for row in _read_rows(folder, "setting_triangles.csv") if int(row["block"]) in blocks]
    terms = TERMS["inch"]
    return pd.DataFrame(
        [
            {
                "Block (in)": int(row["block"]),
                "Side, printed": float(row["side printed"]),
                "Side, by the kit": round(cut_piece([make_side(int(row["block"]))], terms)["square"], 4),
                "Corner, printed": float(row["corner printed"]),
                "Corner, by the kit": round(cut_piece([make_corner(int(row["block"]))], terms)["square"], 4),
                "Source": "a trade reference library, chart of setting triangles, year not given",
            }
            for row in rows
        ]
    )


def compare_counts(folder: FilePath, sizes: Sequence[Length] = (2.5, 4.5, 5, 6.5, 7)) -> pd.DataFrame:
    """Compare a printed chart of squares from a yard with the kit's count, and with dividing areas.

    Parameters
    ----------
    folder
        The folder of the published tables.
    sizes
        Cut sides of the squares, inches or texts with their unit.
    """
    rows, wanted = [], take_lengths(sizes, "size")
    for row in _read_rows(folder, "yardage_counts.csv"):
        size = float(row["size"])
        if row["what"] != "squares" or size not in wanted or row["source"] != "charts page":
            continue
        wide, long = float(row["width"]), float(row["length"])
        rows.append(
            {
                "Cloth (in)": f"{wide:g} × {long:g}",
                "Square, cut (in)": size,
                "By dividing areas": int(wide * long / size**2 + TINY),
                "Printed": int(row["printed"]),
                "Counted by the kit": count_squares(wide, long, size),
                "Verdict": row["verdict"],
                "Source": "a quilt teacher, page of quilting charts, 2002",
            }
        )
    return pd.DataFrame(rows)


def count_squares(wide: float, long: float, size: float) -> int:
    """Return the kit's count of squares in a piece of cloth; cut size, inches."""
    terms = TERMS["inch"]
    side = size - 2 * terms.allowance
    _, cuts = make_cut_list([make_rectangle(0, 0, side, side)], terms)
    return count_yield(cuts, Supply("patch", "remnant", wide, long, 1)) or 0


def read_cases(folder: FilePath, cases: Sequence[str]) -> pd.DataFrame:
    """Return frequent questions, with their answers and the usual mistakes.

    Parameters
    ----------
    folder
        The folder of the published tables.
    cases
        Their numbers: "W08", "W24".

    Raises
    ------
    KitError
        An unknown number.
    """
    found = {row["case"]: row for row in _read_rows(folder, "worked_cases.csv")}
    odd = [case for case in cases if case not in found]
    if odd:
        raise KitError(f"There is no case `{odd[0]}`", needed=", ".join(found), do="choose from these")
    return pd.DataFrame(
        [
            {
                "Asked": found[case]["asked"],
                "Answer": found[case]["answer"],
                "Often said instead": found[case]["often said instead"] or "–",
                "Standing": f"{case}: {found[case]['standing']}",
            }
            for case in cases
        ]
    )


def _read(folder: FilePath, name: str) -> str:
    place = Path(folder) / name
    try:
        return place.read_text(encoding="utf-8")
    except OSError as error:
        raise KitError(
            f"`{place.name}` cannot be read ({error.strerror})",
            needed="the folder of the published tables",
            do='name it, for instance "../data/published"',
        ) from None


def _read_rows(folder: FilePath, name: str) -> list[dict[str, str]]:
    lines = _read(folder, name).splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def _name(source: Mapping[str, Any]) -> str:
    return f"{source['author']}, {source['title']}, year {source['year']}"
