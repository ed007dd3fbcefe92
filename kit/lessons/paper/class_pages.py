"""Pages for the class: the page with supplies, kits, samples and timetable, and the seam test card."""

import os
from io import BytesIO
from pathlib import Path

import pandas as pd
from pypdf import PdfReader

from kit.lengths import CM, MM, System, write_length
from kit.lessons.exercises.exercise import TERMS
from kit.lessons.paper.class_plan import list_supplies, pack_kits, plan_day, plan_samples
from kit.lessons.paper.typesetting import set_page
from kit.model.pattern import Pattern
from kit.output.document.document import save
from kit.rehearsal.by_hand import find_allowance

STRIPS = 3
"""Strips in the test set."""
SIZES = (10.0, 9.0, 8.0, 7.0)
"""Sizes of type, in points, tried until everything fits one page."""
CAUTIONS = (
    "Rotary cutter: cut away from yourself, fingers behind the edge of the ruler; close the guard after every cut.",
    "Iron and needles: switch the iron off when you leave it; take pins out before they reach the needle; count them.",
)


def write_class_page(  # noqa: PLR0913  each is a quantity of its own, named at the call
    pattern: Pattern,
    path: str | os.PathLike[str],
    students: int,
    *,
    spare: int = 1,
    samples: int = 4,
    start: str = "10:00",
    hours: float = 6.0,
    pace: float = 1.5,
    cut_at_home: bool = False,
    paper: str = "Letter",
) -> Path:
    """Write a teacher's page: shopping and packing lists, samples, and the day's timetable.

    Parameters
    ----------
    pattern
        Every plan of a study.
    path
        The file to write; no other file is written.
    students, spare, samples, start, hours, pace, cut_at_home
        As for `list_supplies`, `pack_kits`, `plan_samples` and `plan_day`.
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        As for those four; an unknown paper; a file that cannot be written.

    Notes
    -----
    The type is made smaller, down to 7 points, until everything fits one page; a study of very many fabrics takes two.
    """
    made = set_class_page(
        pattern, students, spare=spare, samples=samples, start=start, hours=hours, pace=pace, cut_at_home=cut_at_home,
        paper=paper,
    )  # fmt: skip
    return save(made, path)


def set_class_page(  # noqa: PLR0913  as above
    pattern: Pattern,
    students: int,
    *,
    spare: int = 1,
    samples: int = 4,
    start: str = "10:00",
    hours: float = 6.0,
    pace: float = 1.5,
    cut_at_home: bool = False,
    paper: str = "Letter",
) -> bytes:
    """Return the teacher's page as PDF; parameters and errors are those of `write_class_page`."""
    data = {
        "title": f"Class: {pattern.study.title}",
        "note": f"{students} students, {spare} to spare; at {pace:g} times the plan's own times for a cut and a seam."
        " Lengths for all are counted strip by strip and squared up once.",
        "tables": [
            _write_table("What to buy", list_supplies(pattern, students)),
            _write_table("Contents of each kit", pack_kits(pattern, students, spare)),
            _write_table("Samples to make beforehand", plan_samples(pattern, samples)),
            _write_table("The day", plan_day(pattern, start, hours, pace, cut_at_home=cut_at_home)),
        ],
        "cautions": list(CAUTIONS),
    }
    made = b""
    for size in SIZES:
        made = set_page("class.typ", {**data, "size": size}, paper)
        if len(PdfReader(BytesIO(made)).pages) == 1:
            break
    return made


def _write_table(heading: str, table: pd.DataFrame) -> dict[str, object]:
    rows = [[str(cell) for cell in row] for row in table.itertuples(index=False)]
    return {"heading": heading, "columns": [str(name) for name in table.columns], "rows": rows}


def read_seam_test(system: System = "inch") -> pd.DataFrame:
    r"""Return the table of a test set: its measured width, the allowance actually sewn, and the remedy.

    Three strips are sewn side by side; the two seams take four allowances from their width.

    Parameters
    ----------
    system
        "inch": strips cut 1 1/2 in; "metric": strips cut 4 cm.

    Examples
    --------
    >>> [text.replace("\xa0", " ") for text in read_seam_test().iloc[4, :2]]
    ['3½ in', '¼ in']
    """
    terms = TERMS[system]
    cut, step = (1.5, 1 / 16) if system == "inch" else (4 * CM, 0.1 * CM)
    rows = []
    for k in range(-4, 5):
        measured = STRIPS * cut - 2 * (STRIPS - 1) * terms.allowance + k * step
        sewn = find_allowance([cut] * STRIPS, measured)
        off = sewn - terms.allowance
        side = "nearer to" if off > 0 else "farther from"
        do = f"move the guide {_write_small(abs(off), system)} {side} the needle" if k else "keep it there"
        rows.append(
            {
                "Measures": write_length(measured, system),
                "Allowance sewn": _write_small(sewn, system),
                "What to do": do,
            }
        )
    return pd.DataFrame(rows)


def _write_small(inches: float, system: System) -> str:
    return write_length(inches, system) if system == "inch" else f"{inches / MM:.2f}".rstrip("0").rstrip(".") + " mm"


def write_seam_card(path: str | os.PathLike[str], system: System = "inch", paper: str = "Letter") -> Path:
    """Write the seam test card: a ruler and squares at full size, a bar for the test set, and its table.

    Parameters
    ----------
    path
        The file to write; no other file is written.
    system
        "inch" or "metric".
    paper
        "Letter" or "A4".

    Raises
    ------
    KitError
        An unknown system or paper; a file that cannot be written.
    """
    return save(set_page("seam-card.typ", describe_seam_card(system), paper), path)


def describe_seam_card(system: System = "inch") -> dict[str, object]:
    """Return the contents of the seam test card."""
    terms = TERMS[system]
    cut = 1.5 if system == "inch" else 4 * CM
    target = STRIPS * cut - 2 * (STRIPS - 1) * terms.allowance
    table = read_seam_test(system)
    unit = 1.0 if system == "inch" else CM
    return {
        "title": "Seam test card",
        "steps": [
            "Print at full size, never fitted to the page. Lay a ruler on both squares: the sides must measure 1 in and"
            " 3 cm exactly. If they do not, print again.",
            f"Cut {STRIPS} strips {terms.write(cut)} wide and about as long as a hand.",
            f"Sew them side by side with your usual allowance, {terms.write(terms.allowance)} by your machine; press.",
            f"Lay the set on the bar below, one raw edge at zero. It should reach {terms.write(target)}; the strip in"
            f" the middle should measure {terms.write(cut - 2 * terms.allowance)} from seam to seam.",
            "Find its width in the table. Move the guide, and sew the test again.",
        ],
        "columns": list(table.columns),
        "rows": [list(row) for row in table.itertuples(index=False)],
        "target": target / MM,
        "bar": (5 * unit if system == "inch" else 12 * unit) / MM,
        "tick": (1 / 16 if system == "inch" else 0.1 * CM) / MM,
        "each": 16 if system == "inch" else 10,
        "half": 8 if system == "inch" else 5,
        "unit": "in" if system == "inch" else "cm",
        "reaches": f"the set reaches to here, {terms.write(target)}",
        "cautions": list(CAUTIONS),
    }
