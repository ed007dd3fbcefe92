"""How full the pages of a printed pattern are: an independent reader draws each page and looks for rows without ink."""

from dataclasses import dataclass
from io import BytesIO

import numpy as np
import pypdfium2
from pypdf import PdfReader
from pypdf.generic import Destination

DOTS = 40
"""Dots to the inch: a line of text is six rows."""
REACH = 7.0
"""Millimetres: what lies as close above or below ink as this is part of it, as between two lines or paragraphs."""
AT_TOP = 40.0
"""Millimetres: a heading as close to the upper edge as this begins its page."""


@dataclass(frozen=True)
class PageFill:
    """One page: which it is, the part of its height that holds ink, and whether a part of the document ends with it."""

    number: int
    fill: float
    last: bool
    part: str


def measure_fill(data, margin):
    """Return how full every page of a pattern is.

    Parameters
    ----------
    data
        Bytes of the PDF.
    margin
        The page's margin in millimetres.
    """
    reader = PdfReader(BytesIO(data))
    begun, parts = _find_beginnings(reader)
    document = pypdfium2.PdfDocument(data)
    found, part = [], ""
    for number, page in enumerate(document):
        grey = np.asarray(page.render(scale=DOTS / 72, grayscale=True).to_numpy()).squeeze()
        rows = (grey < 200).any(axis=1)  # a light tint alone does not count
        step = 25.4 / DOTS
        edge = round(margin / step)
        rows = rows[edge : len(rows) - edge]
        reach = round(REACH / step)
        near = np.convolve(rows, np.ones(2 * reach + 1), mode="same") > 0
        part = parts.get(number, part)
        ends = number + 1 == len(document) or number + 1 in begun
        found.append(PageFill(number + 1, float(near.mean()), ends, part))
    return found


def _find_beginnings(reader):
    """Return the pages that a part begins at the top of, and the last part that begins on each page."""
    begun, parts = set(), {}
    for one in reader.outline:
        if isinstance(one, Destination):
            page = reader.get_destination_page_number(one)
            height = float(reader.pages[page].mediabox.height)
            if height - float(one.top or height) < AT_TOP * 72 / 25.4:
                begun.add(page)
            parts[page] = str(one.title)
    return begun, parts
