"""Files of a pattern: tables as CSV, the top and its steps as SVG, a stand-alone page, the instructions as data."""

import json
import os
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pandas as pd

from kit.errors import KitError
from kit.model.pattern import Pattern
from kit.output import tables
from kit.output.files.quilt_page import write_page
from kit.output.files.twin import write_twin
from kit.output.pictures.cutting_picture import draw_cutting
from kit.output.pictures.drawing import draw_top
from kit.output.pictures.quilting_picture import write_tracing
from kit.output.pictures.route_picture import write_route_page
from kit.output.pictures.step_picture import draw_step
from kit.output.pictures.svg import write_svg
from kit.output.words.step_words import StepSentences
from kit.progress import Progress, keep_quiet, report


def write_files(contents: Mapping[str, bytes], folder: str | os.PathLike[str]) -> list[Path]:
    """Write files into a folder; make the folder if it does not exist.

    Parameters
    ----------
    contents
        Name, with a subfolder before a slash -> bytes.
    folder
        The folder to write; nothing is written elsewhere.

    Returns
    -------
    list of Path
        The written files.

    Raises
    ------
    KitError
        The folder or a file in it cannot be written.
    """
    place = Path(folder)
    written = []
    try:
        for name, data in contents.items():
            path = place / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
            written.append(path)
    except OSError as error:
        raise KitError(
            f"The folder `{place.name}` cannot be written to ({error.strerror})",
            needed="a folder with permission to write",
            do="name another folder",
        ) from None
    return written


def list_files(pattern: Pattern, progress: Progress = keep_quiet) -> Iterator[tuple[str, str]]:
    """Yield the name and text of each file of a pattern; the same study gives the same texts.

    Parameters
    ----------
    pattern
        Every plan of a study.
    progress
        Called as the pictures of the steps are drawn.
    """
    stem = make_stem(pattern.study.title)
    yield f"{stem}-pieces.csv", write_csv(tables.pieces(pattern))
    yield f"{stem}-shopping.csv", write_csv(tables.shopping(pattern))
    yield f"{stem}-cutting.csv", write_csv(tables.cutting(pattern))
    yield f"{stem}-ways.csv", write_csv(tables.ways(pattern))
    if pattern.making.made:
        yield f"{stem}-making.csv", write_csv(tables.making(pattern))
    yield from _list_diagrams(pattern, stem)
    yield f"{stem}-steps.csv", write_csv(tables.steps(pattern))
    yield f"{stem}-chains.csv", write_csv(tables.chains(pattern))
    yield f"{stem}-finishing.csv", write_csv(tables.finishing(pattern))
    yield f"{stem}-costs.csv", write_csv(tables.costs(pattern))
    yield f"{stem}.svg", write_svg(draw_top(pattern))
    yield f"{stem}-outlines.svg", write_svg(draw_top(pattern, "seams"))
    yield f"{stem}-quilting.svg", write_tracing(pattern, pattern.quilting)
    yield f"{stem}-quilting.csv", write_csv(tables.quilting(pattern))
    words = {word for fabric in pattern.study.fabrics for word in (fabric.name, fabric.slot)}
    yield f"{stem}.html", _renumber_names(write_page(pattern), words)
    yield f"{stem}-quilting.html", _renumber_names(write_route_page(pattern, pattern.quilting), words)
    yield f"{stem}-instructions.json", json.dumps(write_twin(pattern), ensure_ascii=False, indent=1) + "\n"
    writer, steps = StepSentences(pattern, pattern.sewing), [step for step in pattern.sewing.steps if step.told]
    for step in steps:
        yield (
            f"{stem}-steps/step-{step.told:03}.svg",
            write_svg(draw_step(pattern, pattern.sewing, step, writer)),
        )
        report(progress, "pictures of steps", step.told, len(steps))


def _list_diagrams(pattern: Pattern, stem: str) -> Iterator[tuple[str, str]]:
    """Yield a cutting diagram for each cloth; fabrics with the same file name are numbered."""
    seen: set[str] = set()
    for fabric, drawing in draw_cutting(pattern).items():
        base, number = make_stem(fabric), 1
        name = base
        while name in seen:
            number += 1
            name = f"{base}-{number}"
        seen.add(name)
        yield f"{stem}-cutting-{name}.svg", write_svg(drawing)


_FRESH = re.compile(r"\b[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}\b")
_OBJECT = re.compile(r'"id":"(p[0-9]+)"')


def _renumber_names(page: str, words: set[str]) -> str:
    """Return a page of the drawing library with its fresh names numbered from one, so that its bytes repeat.

    A word of the study that looks like such a name is left alone, and so is that name.
    """
    objects = sorted(set(_OBJECT.findall(page)) - words, key=lambda name: int(name[1:]))
    names = {old: f"p{1001 + number}" for number, old in enumerate(objects)}
    page = re.sub(r'"(p[0-9]+)"', lambda found: f'"{names.get(found[1], found[1])}"', page)
    fresh = {old: f"part-{number + 1}" for number, old in enumerate(dict.fromkeys(_FRESH.findall(page)))}
    return _FRESH.sub(lambda found: fresh[found[0]], page)


def make_stem(title: str) -> str:
    """Return a file name of small letters, digits and hyphens made from a title.

    Examples
    --------
    >>> make_stem("../Ferry Steps <b>")
    'ferry-steps-b'
    """
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60] or "study"


def write_csv(table: pd.DataFrame) -> str:
    """Return a table as CSV, with fractions hyphenated, and no cell that a spreadsheet would take for a formula."""
    plain = table.map(_plain_cell)
    return str(plain.to_csv(index=False, lineterminator="\n"))


_BUILT = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


def _plain_cell(cell: object) -> object:
    if not isinstance(cell, str):
        return cell
    text = re.sub(r"(\d)?([½¼¾⅛⅜⅝⅞])", lambda m: f"{m[1]}-{_BUILT[m[2]]}" if m[1] else _BUILT[m[2]], cell)
    text = text.replace("\N{NARROW NO-BREAK SPACE}", "-").replace("\N{NO-BREAK SPACE}", " ")
    text = text.replace("\N{FRACTION SLASH}", "/")
    return "'" + text if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
