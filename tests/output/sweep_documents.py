"""Every demonstration study on both papers in both systems: numbers, fonts, tags, margins, bytes, pages and seconds.

Run it by itself, for it takes minutes: `python tests/output/sweep_documents.py [study ...]`.
"""

import sys
import time
from io import BytesIO
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import pdfplumber
from printed import read_text
from printed_numbers import compare_numbers
from pypdf import PdfReader

import kit
from kit.output.document import PAPERS, set_document


def find_faults(pattern, paper):
    """Return the faults of one document, its pages and the seconds that it took."""
    begun = time.perf_counter()
    system = pattern.study.measures.system
    data = set_document(pattern, paper, system)
    took = time.perf_counter() - begun
    faults = compare_numbers(pattern, read_text(data))
    if set_document(pattern, paper, system) != data:
        faults.append("other bytes the second time")
    reader = PdfReader(BytesIO(data))
    if not reader.trailer["/Root"]["/MarkInfo"]["/Marked"]:
        faults.append("not tagged")
    with pdfplumber.open(BytesIO(data)) as pdf:
        for number, page in enumerate(pdf.pages, start=1):
            size = (round(float(page.width) / 72 * 25.4, 1), round(float(page.height) / 72 * 25.4, 1))
            if size != PAPERS[paper]:
                faults.append(f"page {number} measures {size}")
            chars = page.chars
            outside = [c for c in chars if min(c["x0"], c["top"], page.width - c["x1"], page.height - c["bottom"]) < 18]
            if outside:
                faults.append(f"page {number}: text outside {''.join(c['text'] for c in outside)[:40]}")
    return faults, len(reader.pages), took


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
                faults, pages, took = find_faults(pattern, paper)
                wrong += bool(faults)
                print(f"{path.stem} {system} {paper}: {pages} pages, {took:.1f} s, {len(faults)} faults", flush=True)
                for fault in faults:
                    print(f"    {fault}")
    return wrong


if __name__ == "__main__":
    sys.exit(1 if main(sys.argv[1:]) else 0)
