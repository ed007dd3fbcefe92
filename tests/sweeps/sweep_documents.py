"""Every demonstration study on both papers in both systems: numbers, fonts, tags, margins, templates, contrast, bytes.

Run it by itself, for it takes minutes: `python tests/sweeps/sweep_documents.py [study ...]`; the document test has a
representative part.
"""

import sys
import time
from io import BytesIO
from itertools import pairwise
from math import dist
from pathlib import Path

import pdfplumber
from printed_contrast import find_faint
from printed_numbers import compare_numbers
from pypdf import PdfReader

import kit
from kit.output.document.document import PAPERS, set_document

MM = 25.4 / 72
"""Millimetres in a point."""
QUARTER_INCH = 18
"""Points: what no printer prints on."""
EMBEDDED = {"/FontFile", "/FontFile2", "/FontFile3"}


def find_faults(data, pattern, paper):
    """Return in sentences what is wrong with a document: its text, its pages, its tags and its vectors."""
    with pdfplumber.open(BytesIO(data)) as pdf:
        texts = [page.extract_text(x_tolerance=1.5) for page in pdf.pages]
        faults = [fault for page in pdf.pages for fault in find_outside(page, paper)]
        sheets = [page for page, text in zip(pdf.pages, texts, strict=True) if "template sheet" in text]
        faults += measure_templates(sheets, pattern)
    return [*faults, *compare_numbers(pattern, texts), *find_untagged(PdfReader(BytesIO(data)))]


def find_outside(page, paper):
    """Name pages of another size than the paper, and text on what no printer prints."""
    size = (round(float(page.width) * MM, 1), round(float(page.height) * MM, 1))
    if size != PAPERS[paper]:
        yield f"page {page.page_number} measures {size}"
    outside = [
        char["text"]
        for char in page.chars
        if min(char["x0"], char["top"], page.width - char["x1"], page.height - char["bottom"]) < QUARTER_INCH
    ]
    if outside:
        yield f"page {page.page_number}: text outside {''.join(outside)[:40]}"


def list_outlines(page):
    """Return the corners, in millimetres, of every closed outline that the page's vectors draw."""
    shapes = []
    for curve in [*page.curves, *page.rects, *page.lines]:
        points = [(x * MM, y * MM) for x, y in curve["pts"]]
        if len(points) > 1 and dist(points[0], points[-1]) < 1e-3:
            points.pop()
        shapes.append(points)
    return shapes


def measure_sides(points):
    """Return the sides of an outline, shortest first."""
    return sorted(dist(a, b) for a, b in pairwise([*points, points[0]]))


def measure_templates(sheets, pattern):
    """Name each template whose vectors are not its cut piece to a tenth of a millimetre, and squares of other sides."""
    drawn = [measure_sides(points) for page in sheets for points in list_outlines(page) if len(points) > 2]
    for piece in pattern.cut_list.pieces:
        if piece.kind == "template":
            wanted = [side * 25.4 for side in measure_sides(piece.outline)]
            near = [sides for sides in drawn if len(sides) == len(wanted)]
            if not any(max(abs(a - b) for a, b in zip(sides, wanted, strict=True)) < 0.1 for sides in near):
                yield f"no outline of template {piece.id} measures {[round(side, 1) for side in wanted]}"
    for page in sheets:
        squares = sorted(round(rect["width"] * MM, 2) for rect in page.rects if 20 < rect["width"] * MM < 40)
        heights = sorted(round(rect["height"] * MM, 2) for rect in page.rects if 20 < rect["width"] * MM < 40)
        if not squares == heights == [25.4, 30.0]:
            yield f"page {page.page_number}: test squares of {squares} by {heights} mm"


def walk(node):
    """Yield a node of the structure and all below it."""
    node = node.get_object()
    if isinstance(node, list):
        for kid in node:
            yield from walk(kid)
    elif isinstance(node, dict):
        yield node
        if "/K" in node:
            yield from walk(node["/K"])


def list_fonts(resources, seen):
    """Yield the fonts of a page and of the forms on it."""
    for font in resources.get("/Font", {}).values():
        yield font.get_object()
    for form in resources.get("/XObject", {}).values():
        inner = form.get_object()
        if "/Resources" in inner and id(inner) not in seen:
            seen.add(id(inner))
            yield from list_fonts(inner["/Resources"].get_object(), seen)


def find_untagged(reader):
    """Name what is not tagged, pictures without words, and fonts that are not in the file."""
    root = reader.trailer["/Root"]
    if not root["/MarkInfo"]["/Marked"] or root["/Lang"] != "en":
        yield "not tagged, or in no language"
    nodes = [node for node in walk(root["/StructTreeRoot"]) if "/S" in node]
    kinds = {str(node["/S"]) for node in nodes}
    if not {"/H1", "/H2", "/H3", "/Table", "/TH", "/TD", "/Figure", "/L", "/LI"} <= kinds:
        yield f"tags {sorted(kinds)}"
    bare = [node for node in nodes if node["/S"] == "/Figure" and len(str(node.get("/Alt", ""))) < 10]
    if bare:
        yield f"{len(bare)} pictures without words"
    for page in reader.pages:
        for font in list_fonts(page["/Resources"].get_object(), set()):
            inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
            if not EMBEDDED & set(inner["/FontDescriptor"].get_object()):
                yield f"font {font['/BaseFont']} is not embedded"


def main(names):
    """Print a line for each document, and its faults; return how many documents have any."""
    wrong = 0
    for path in sorted(Path("data/studies").glob("*.toml")):
        if names and path.stem not in names:
            continue
        made = kit.make_pattern(kit.open_study(path))
        for system in ("inch", "metric"):
            pattern = kit.redraft(made, system)
            for paper in PAPERS:
                begun = time.process_time()
                data = set_document(pattern, paper, system)
                took = time.process_time() - begun
                faults = find_faults(data, pattern, paper)
                with pdfplumber.open(BytesIO(data)) as pdf:
                    faults += [f"page {page}: contrast {least} of {signs}" for page, least, signs in find_faint(pdf)]
                if set_document(pattern, paper, system) != data:
                    faults.append("other bytes the second time")
                wrong += bool(faults)
                pages = len(PdfReader(BytesIO(data)).pages)
                said = f"{pages} pages, {took:.1f} s of processor time, {len(faults)} faults"
                print(f"{path.stem} {system} {paper}: {said}", flush=True)
                for fault in faults:
                    print(f"    {fault}")
    return wrong


if __name__ == "__main__":
    sys.exit(1 if main(sys.argv[1:]) else 0)
