"""Several sizes of one design in one document: their parts joined, and what they share told once."""

from collections.abc import Mapping, Sequence
from string import ascii_lowercase
from typing import Any

from kit.errors import KitError
from kit.model.pattern import Pattern
from kit.output.document.cover_parts import write_finished
from kit.output.document.parts import Parts
from kit.output.document.shared_parts import (
    tell_angles_once,
    tell_chains_once,
    tell_maps_once,
    tell_pictures_once,
    tell_sections_once,
)
from kit.output.words.strings import say

MOST = 4
"""The most columns on a page."""


def name_editions(patterns: Sequence[Pattern]) -> list[str]:
    """Return the name of each size: the words of its edition that the others do not share, and its finished size.

    Raises
    ------
    KitError
        Patterns that are not sizes of one design, or more patterns than columns on a page.
    """
    first, *others = patterns
    for other in others:
        if other.study.title != first.study.title or other.study.measures.system != first.study.measures.system:
            raise KitError(
                f"`{first.study.title}` and `{other.study.title}` cannot share a document",
                needed="sizes of one design, all in inches or all metric",
                do="give the patterns of `kit.editions(study)`",
            )
    if len(patterns) > MOST:
        raise KitError(f"The number of sizes is {len(patterns)}", needed=f"at most {MOST}", do="write two documents")
    names = [pattern.study.edition.split(", ", 1)[-1] for pattern in patterns]
    return [f"{name}: {write_finished(pattern)}" for name, pattern in zip(names, patterns, strict=True)]


def join_parts(labels: Sequence[str], parts: Sequence[Parts]) -> Parts:
    """Return the parts of several sizes as those of one document.

    Requirements, pieces and proofs get a column for each size; cutting, sewing and finishing follow in turn under the
    name of the size. A picture or a paragraph that a size shares with the first is printed with the first alone, and
    common parts appear once.

    Parameters
    ----------
    labels
        The name of each size.
    parts
        The parts of each.
    """
    pictures = {_prefix(number, name): svg for number, one in enumerate(parts, 1) for name, svg in one.pictures.items()}
    pages: list[Mapping[str, Any]] = [_rename(one.data, number) for number, one in enumerate(parts, 1)]
    first = pages[0]
    data = {
        **first,
        "cover": {**first["cover"], "sizes": list(labels), "counts": "", "edition": say("editions", count=len(pages))},
        "requirements": _join_requirements(labels, pages),
        "pieces": _join_pieces(labels, pages),
        "key": _share([page["key"] for page in pages], "letter"),
        "templates": _share_templates(labels, pages),
        "scrappy": any(page["scrappy"] for page in pages),
        "colophon": _share_lines([page["colophon"] for page in pages]),
        "errata": say("colo_errata_sizes"),
        "glossary": sorted({tuple(entry) for page in pages for entry in page["glossary"]}),
        "tools": _share_lines([page["tools"] for page in pages]),
        "proof": _join_proofs(labels, pages),
        "notes": [*_share_marked(labels, [_list_common_notes(page) for page in pages]), say("note_enough_sizes")],
        "cautions": _share_marked(labels, [page["cautions"] for page in pages]),
    }
    for name in ("cutting", "drawn", "shapes", "sewing", "chains", "borders", "finishing", "colourways"):
        data[name] = [
            {**entry, "label": label} for label, page in zip(labels, pages, strict=True) for entry in page[name]
        ]
    data["drawn"] = tell_angles_once(data["drawn"])
    data["sewing"] = tell_maps_once(tell_pictures_once(data["sewing"], pictures), pictures)
    data["chains"] = tell_chains_once(data["chains"])
    for name in ("borders", "finishing"):
        data[name] = tell_sections_once(data[name])
    return Parts(data, pictures)


def _prefix(number: int, name: str) -> str:
    return f"size-{number}-{name}"


def _rename(value: Any, number: int) -> Any:
    """Return data with the names of its pictures among those of all sizes."""
    if isinstance(value, Mapping):
        return {
            key: _prefix(number, entry) if key == "file" else _rename(entry, number) for key, entry in value.items()
        }
    return [_rename(entry, number) for entry in value] if isinstance(value, list) else value


def _join_requirements(labels: Sequence[str], pages: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    rows = _join_rows(
        [[(tuple(row[:3]), _write_bought(page, row)) for row in page["requirements"]["rows"]] for page in pages]
    )
    return {"head": [*pages[0]["requirements"]["head"][:3], *labels], "rows": rows}


def _list_common_notes(page: Mapping[str, Any]) -> list[str]:
    """Return the notes of a size without the widths that are enough: those stand beside what to buy."""
    return [line for line in page["notes"] if line != page["enough"].get("")]


def _write_bought(page: Mapping[str, Any], row: Sequence[str]) -> str:
    """Return what is bought of a fabric, and the usable width from which that is enough."""
    enough = page["enough"].get(row[1], "") if row[0] != say("none") else ""
    return say("buy_enough", buy=row[3], width=enough) if enough else row[3]


def _join_pieces(labels: Sequence[str], pages: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    rows = _join_rows([[(tuple(row[:4]), f"({row[4]}) {row[6]}") for row in page["pieces"]["rows"]] for page in pages])
    return {"head": [*pages[0]["pieces"]["head"][:4], *labels], "rows": rows}


def _join_rows(tables: Sequence[Sequence[tuple[tuple[str, ...], str]]]) -> list[list[str]]:
    """Return rows with the same beginning as one row, with a cell for each table; a dash if a table lacks the row."""
    order = list(dict.fromkeys(key for table in tables for key, _ in table))
    order.sort(key=lambda key: max(i for table in tables for i, (other, _) in enumerate(table) if other == key))
    cells = [dict(table) for table in tables]
    return [[*key, *(one.get(key, say("none")) for one in cells)] for key in order]


def _join_proofs(labels: Sequence[str], pages: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the proofs as one table with the figures of every size side by side."""
    found = [{line["name"]: line for one in page["proof"] for line in one["lines"]} for page in pages]
    names = list(dict.fromkeys(name for lines in found for name in lines))
    lines = [
        {
            "name": name,
            "figures": [lines[name]["figures"] if name in lines else say("none") for lines in found],
            "passed": ", ".join(dict.fromkeys(lines[name]["passed"] for lines in found if name in lines)),
        }
        for name in names
    ]
    return [{"label": "", "head": list(labels), "lines": lines}]


def _share(lists: Sequence[Sequence[Mapping[str, Any]]], key: str) -> list[Mapping[str, Any]]:
    found: dict[str, Mapping[str, Any]] = {}
    for entries in lists:
        for entry in entries:
            found.setdefault(entry[key], entry)
    return [found[name] for name in sorted(found, key=lambda name: (len(name.rstrip(ascii_lowercase)), name))]


def _share_lines(lists: Sequence[Sequence[str]]) -> list[str]:
    return list(dict.fromkeys(line for lines in lists for line in lines))


def _share_marked(labels: Sequence[str], lists: Sequence[Sequence[str]]) -> list[str]:
    """Return the lines of all sizes, each once; one that not every size has begins with the names of those that do."""
    names = [label.partition(": ")[0] for label in labels]
    found = []
    for line in _share_lines(lists):
        having = [name for name, lines in zip(names, lists, strict=True) if line in lines]
        found.append(line if len(having) == len(names) else f"{', '.join(having)}: {line}")
    return found


def _share_templates(labels: Sequence[str], pages: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the template sheets once if all sizes have the same, else each with the name of its size."""
    if all(page["templates"] == pages[0]["templates"] for page in pages):
        return list(pages[0]["templates"])
    return [
        {**sheet, "tile": f"{label}. {sheet['tile']}".strip()}
        for label, page in zip(labels, pages, strict=True)
        for sheet in page["templates"]
    ]
