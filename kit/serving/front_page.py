"""The front page of served notebooks: their titles and first sentences, with pictures, in teaching order."""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from kit.errors import KitError
from kit.shipped import find_shipped

ORDER: dict[str, tuple[tuple[str, str, str], ...]] = {
    "Begin": (
        ("0-begin", "tideline", "colour"),
        ("1-explore", "harbour-light", "colour"),
        ("14-quick-sums", "saltmarsh", "colour"),
    ),
    "Lessons": (
        ("10-allowances", "gull-point", "seams"),
        ("11-triangles-and-strips", "boat-shed", "fabric"),
        ("12-sewing-and-errors", "ferry-steps", "seams"),
    ),
    "Design": (
        ("5-designs", "chandlery", "colour"),
        ("5-units", "harbour-wheel", "colour"),
        ("5-drawn-designs", "regatta-bay", "colour"),
        ("4-colour", "lamplight", "colour"),
        ("6-fit-to-a-bed", "net-loft", "colour"),
    ),
    "Make": (
        ("2-sewing-order", "millwheel", "seams"),
        ("3-cutting", "gull-point", "colour"),
        ("5-foundations", "boat-shed", "colour"),
        ("7-finish", "slipway", "colour"),
        ("8-quilting", "ferry-steps", "colour"),
    ),
    "Check and share": (
        ("9-publish", "town-quay", "colour"),
        ("15-audit", "millwheel", "fabric"),
        ("13-study", "ferry-steps", "fabric"),
    ),
}
"""The pages by group, each with the study and the view of its picture; a notebook that is not named comes last."""
LAST = "More"


@cache
def list_pages() -> list[dict[str, Any]]:
    """Return the groups of the front page: a title each, and the pages with path, title, words and picture (SVG)."""
    folder = find_shipped("notebooks")
    there = {path.stem: path for path in sorted(folder.glob("*.ipynb"))}
    named = {name for pages in ORDER.values() for name, _, _ in pages}
    wanted = {**ORDER, LAST: tuple((name, "", "") for name in there if name not in named)}
    groups = []
    for title, pages in wanted.items():
        found = [_describe(there[name], study, view) for name, study, view in pages if name in there]
        if found:
            groups.append({"title": title, "pages": found})
    return groups


def _describe(notebook: Path, study: str, view: str) -> dict[str, str]:
    title, words = read_heading(notebook)
    return {"path": notebook.name, "title": title, "words": words, "picture": _draw(study, view) if study else ""}


def read_heading(notebook: Path) -> tuple[str, str]:
    """Return the first heading of a notebook and the first sentence below it."""
    book = json.loads(notebook.read_text(encoding="utf-8"))
    text = "\n".join("".join(cell["source"]) for cell in book["cells"] if cell["cell_type"] == "markdown")
    heading = re.search(r"^# +(.+)$", text, re.MULTILINE)
    below = text[heading.end() :] if heading else text
    paragraph = next((part for part in re.split(r"\n\s*\n", below) if part.strip()), "")
    plain = re.sub(r"[*_`]|\[([^]]*)\]\([^)]*\)", r"\1", " ".join(paragraph.split()))
    return heading[1] if heading else notebook.stem, re.split(r"(?<=[.!?]) ", plain)[0]


def _draw(name: str, view: str) -> str:
    """Return a small picture of a demonstration study; nothing if the study is not there."""
    from kit.output.pictures.colour_views import draw_view  # noqa: PLC0415  a server that a hub starts answers sooner
    from kit.output.pictures.svg import write_image  # noqa: PLC0415  as above
    from kit.pipeline import make_sketch  # noqa: PLC0415  as above
    from kit.study import open_study  # noqa: PLC0415  as above

    try:
        sketch = make_sketch(open_study(find_shipped(f"data/studies/{name}.toml")))
    except KitError:
        return ""
    return write_image(draw_view(sketch, view), width=220)
