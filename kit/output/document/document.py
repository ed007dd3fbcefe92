"""The printed pattern: a tagged PDF for a stranger to sew, set only when every proof holds."""

import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from typing import Any, Literal, TypeAlias, cast

import typst
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject, NameObject

from kit.errors import STILL, CheckError, KitError
from kit.lengths import System
from kit.model.pattern import Pattern
from kit.output.document.colourway_parts import Named, add_colourways
from kit.output.document.edition_parts import join_parts, name_editions
from kit.output.document.language_proof import add_proof, compare_sentences
from kit.output.document.parts import Parts, list_parts
from kit.output.document.printable import SANS, SERIF, SETTING, make_printable
from kit.output.pictures.page_tiles import AREA, TOP
from kit.output.pictures.picture_sizes import LATER_HIGH, LATER_WIDE, STANDARD, Rooms
from kit.output.proof.proof import ProofLine, prove
from kit.output.words.strings import WORDS, check_language, is_original, listen, name_language, use_language
from kit.progress import Progress, keep_quiet, report

Paper: TypeAlias = Literal["Letter", "A4"]
PAPERS: Mapping[str, tuple[float, float]] = {"Letter": (215.9, 279.4), "A4": (210.0, 297.0)}
"""Width and height in millimetres."""
EDITIONS = ("standard", "large print")
IN_FOOTER = 3.0
"""Millimetres for each letter of a title in the footer."""
TALLEST = 0.66
"""The largest part of a page's height for the picture of several steps."""
GAP = 5.0
"""Millimetres between two steps side by side."""
LARGE_LETTER = 14 * 25.4 / 72
"""Millimetres: words in the pictures of large print are set in 14 pt, the least size of large print (common practice,
no source); at the 22 pt of the text they would hide the picture."""


def save(data: bytes, path: str | os.PathLike[str]) -> Path:
    """Write bytes to a file, or give the reason for the failure."""
    place = Path(path)
    try:
        place.write_bytes(data)
    except OSError as error:
        raise KitError(
            f"`{place.name}` cannot be written ({error.strerror})", needed="an existing folder", do="name another"
        ) from None
    return place


def set_document(
    pattern: Pattern | Sequence[Pattern],
    paper: str = "Letter",
    system: System = "inch",
    *,
    edition: str = "standard",
    language: str = "English",
    colourways: Sequence[Sequence[Named]] = (),
    progress: Progress = keep_quiet,
) -> bytes:
    """Return the printed pattern of a study as PDF.

    Prove every line of the proof sheet, set the parts in their order, and mark the file for printing at full size.

    Parameters
    ----------
    pattern
        Every plan of a study; or several patterns, the sizes of one design.
    paper
        "Letter" or "A4". Templates fit within the area common to both.
    system
        "inch" or "metric": the system of the study.
    edition
        "standard", or "large print": 22 pt in one column, every table as sentences.
    language
        "English", or "German": the proofs are those of the English words, and every sentence is checked to be the same
        sentence with the same figures.
    colourways
        For each pattern the title and every plan of its colourways; empty: none are printed.
    progress
        Called as the work goes on.

    Raises
    ------
    KitError
        An unknown paper, system or edition; a pattern drafted in the other system; a proof that fails.

    Notes
    -----
    The same pattern gives the same bytes. About 2 s for 40 pages.
    """
    check_wish("edition", edition, EDITIONS)
    check_wish("paper", paper, tuple(PAPERS))
    check_wish("system", system, ("inch", "metric"))
    patterns = [pattern] if isinstance(pattern, Pattern) else list(pattern)
    for one in patterns:
        _check_system(one, system)
    layout = choose_layout(paper, edition)
    check_language(language)
    with use_language(language):
        parts = prepare(patterns, progress, layout.rooms, colourways)
        report(progress, "pages", 0, 1)
        made = typeset(parts, layout)
    report(progress, "pages", 1, 1)
    return made


def prepare(
    pattern: Pattern | Sequence[Pattern],
    progress: Progress = keep_quiet,
    rooms: Rooms = STANDARD,
    colourways: Sequence[Sequence[Named]] = (),
) -> Parts:
    """Check that the rehearsal and every line of the proof sheet hold, for every size, and return the parts.

    Raises
    ------
    CheckError
        Names the proof that fails, with its figures.
    KitError
        No pattern, or patterns that are not sizes of one design.
    """
    patterns = [pattern] if isinstance(pattern, Pattern) else list(pattern)
    if not patterns:
        raise KitError("There is no pattern", needed="one pattern, or one for each size", do="make one from a study")
    labels = name_editions(patterns) if len(patterns) > 1 else [""]
    others = list(colourways) or [()] * len(patterns)
    room = [rooms, *[rooms.later] * (len(patterns) - 1)]
    parts = [_prepare_one(one, held, progress, its) for one, held, its in zip(patterns, others, room, strict=True)]
    return parts[0] if len(parts) == 1 else join_parts(labels, parts)


def _prepare_one(pattern: Pattern, colourways: Sequence[Named], progress: Progress, rooms: Rooms) -> Parts:
    proof = refuse_unproved(pattern, progress)
    if is_original():
        parts = list_parts(pattern, proof, progress, rooms)
    else:
        with listen() as heard:
            parts = list_parts(pattern, proof, progress, rooms)
        with use_language("English"), listen() as original:
            list_parts(pattern, proof, keep_quiet, rooms)
        parts = add_proof(parts, compare_sentences(original, heard))
    return add_colourways(parts, pattern, colourways, [len(refuse_unproved(made)) for _, made in colourways])


def refuse_unproved(pattern: Pattern, progress: Progress = keep_quiet) -> tuple[ProofLine, ...]:
    """Check that the rehearsal and every line of the proof sheet hold, and return the lines.

    Raises
    ------
    CheckError
        As for `prepare`.
    """
    if not pattern.rehearsal.agrees:
        raise CheckError(
            pattern.rehearsal.differences[0] if pattern.rehearsal.differences else "The rehearsal does not agree",
            needed="steps that give the design",
            do=STILL,
        )
    report(progress, "proofs", 0, 1)
    proof = prove(pattern)
    failed = next((line for line in proof if not line.passed), None)
    if failed:
        raise CheckError(
            f"The proof `{failed.name}` fails: {failed.figures}",
            needed="a proof sheet without a failure",
            do=STILL,
        )
    report(progress, "proofs", 1, 1)
    return proof


def check_wish(what: str, value: str, allowed: tuple[str, ...]) -> None:
    """Refuse an unknown paper, system or edition."""
    if value not in allowed:
        raise KitError(f"The {what} is `{value}`", needed=", ".join(allowed), do="choose one of these")


def _check_system(pattern: Pattern, system: str) -> None:
    drafted = pattern.study.measures.system
    if drafted != system:
        allowance = "1/4 in" if system == "inch" else "0.75 cm"
        raise KitError(
            f"The pattern was drafted in the {drafted} system, but the {system} system is wanted",
            needed=f"a pattern drafted in the {system} system, because single pieces are never converted",
            do=f'set measures.system = "{system}" in the study (with an allowance of {allowance}) and make it again',
        )


@dataclass(frozen=True)
class PageLayout:
    """The layout of pages.

    Attributes
    ----------
    width, height, margin
        Measures of the paper, millimetres.
    body
        Size of the type, points.
    columns
        Steps side by side.
    tall, shown, map_words
        Heights in millimetres: of a step's picture, of the pictures of the finishing, of the other content on the map's
        page.
    letter
        Height of the smallest words in pictures, millimetres.
    cover_words
        Height of the words on the cover, millimetres.
    large
        Tables are written as sentences.
    font
        Name of the font.
    templates
        Whether full-size templates are part of it.
    back
        Whether the last page is the back cover of a booklet.
    """

    width: float
    height: float
    margin: float = 16.0
    body: float = 10.0
    columns: int = 2
    tall: float = 36.0
    shown: float = 72.0
    map_words: float = 46.0
    letter: float = STANDARD.letter
    cover_words: float = 74.0
    large: bool = False
    font: str = SERIF
    templates: bool = True
    back: bool = False

    @property
    def wide(self) -> float:
        """Width of the text, millimetres."""
        return self.width - 2 * self.margin

    @property
    def column(self) -> float:
        """Width of a step, millimetres."""
        return self.wide if self.columns == 1 else (self.wide - GAP) / 2

    @property
    def run(self) -> float:
        """Height of the picture of several steps, millimetres: half a page at most."""
        return min(self.tall * (1.5 if self.large else 1.4), 0.5 * (self.height - 2 * self.margin))

    @property
    def rooms(self) -> Rooms:
        """The room for the pictures."""
        return Rooms(
            (self.column, self.tall), (self.wide, self.run), (self.wide, self.shown),
            (self.wide, self.height - 2 * self.margin - self.map_words), self.letter,
            TALLEST * (self.height - 2 * self.margin), self.large, 1.0 if self.large else STANDARD.beside,
        )  # fmt: skip


def choose_layout(paper: str, edition: str = "standard") -> PageLayout:
    """Return the layout of an edition on a paper."""
    width, height = PAPERS[paper]
    if edition == "large print":
        return PageLayout(
            width, height, 25.4, 22.0, 1, 78.0, 150.0, 118.0, LARGE_LETTER, cover_words=112.0, large=True, font=SANS
        )
    return PageLayout(width, height)


def typeset(parts: Parts, layout: PageLayout, template: str = "pattern.typ") -> bytes:
    """Return parts as a tagged PDF with embedded fonts, for printing at full size.

    Parameters
    ----------
    parts
        From `list_parts`.
    layout
        The layout of pages.
    template
        Layout file beside this one.
    """
    sources = cast("Any", list_sources(parts, layout, template))
    made: bytes = typst.compile(sources, **SETTING, pdf_standards=["ua-1"])
    return forbid_scaling(made)


def list_sources(parts: Parts, layout: PageLayout, template: str = "pattern.typ") -> dict[str, bytes]:
    """Return the typesetter's files by name: the layout, the data and the pictures."""
    data = make_printable({**parts.data, **_write_frame(parts, layout)})
    return {
        "main": files("kit.output.document").joinpath(template).read_bytes(),
        "data.json": json.dumps(data, ensure_ascii=False).encode(),
        **{name: svg.encode() for name, svg in parts.pictures.items()},
    }


def _write_frame(parts: Parts, layout: PageLayout) -> dict[str, object]:
    """Return the layout's data besides the parts: house strings, sizes, the short title of the footer."""
    title = str(parts.data["title"])
    most = int(layout.wide / IN_FOOTER)
    short = title if len(title) <= most else title[:most] + "…"
    return {
        "lang": name_language(),
        "short": short,
        "words": dict(WORDS),
        "layout": {
            **vars(layout),
            "wide": layout.wide,
            "column": layout.column,
            "run": layout.run,
            "beside": STANDARD.beside,
            "later": (LATER_WIDE, LATER_HIGH),
            "title_size": 36 if len(title) <= 30 else 22 if len(title) <= 80 else 14,
            "area": {"top": TOP, "width": AREA[0], "height": AREA[1]},
        },
    }


def forbid_scaling(data: bytes) -> bytes:
    """Return the same PDF with the wish for printing at full size."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(data)))
    writer.pdf_header = "%PDF-1.7"
    root = writer.root_object
    preferences = root.get("/ViewerPreferences", DictionaryObject()).get_object()
    preferences[NameObject("/PrintScaling")] = NameObject("/None")
    root[NameObject("/ViewerPreferences")] = preferences
    # false where it is left out; a reader in wide use calls the word a fault
    root.get("/MarkInfo", DictionaryObject()).get_object().pop("/Suspects", None)
    kept = BytesIO()
    writer.write(kept)
    return kept.getvalue()
