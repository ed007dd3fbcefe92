"""The English of the whole project: plain and modern, as the quilting trade writes it. A list of phrases is banned."""

import ast
import io
import json
import re
import tokenize
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
THINGS = (
    "block|cell|cloth|colour|column|edge|edition|fabric|family|figure|file|kind|key|letter|line|metre|page|patch|piece"
    "|point|row|seam|sheet|slot|stack|stage|step|stitch|strip|student|study|supply|thread|unit|way|week|wish|word"
)
COMPARED = (
    r"(?:longer|more|less|shorter|larger|smaller|wider|narrower|higher|lower|nearer|farther|further|later|better)\b"
)
BANNED = {
    r"\bnought\b": "zero",
    r"\banew\b": "again; a pattern is redrafted",
    r"\breckon\w*": "compute, estimate, count",
    r"\bthat (?:is|are) none\b": "that is not one",
    rf"(?<!there )(?<!here )\b(?:is|are) no (?!{COMPARED})[a-z]\w*": "is not a ...",
    r"\bno \w+ but (?:a|an)\b": "not a ... but a ...",
    rf"\b(?:a|one) (?:{THINGS}) a (?:{THINGS})\b": "one ... per ...",
    r"\bgoes without saying\b": "say it or leave it out",
    r"\bas long as there (?:is|are)\b": "while there is",
    r"\bcomes? to lie\b": "lies",
    r"\b(?:is|are) to be had\b|\bcan be had\b": "can be bought",
    r"\bonce (?:it|they|he|both|every|all|the \w+|its \w+) (?:is|are) (?:seen|shown|known)\b": "check that ..., and",
    r"\bhow (?:high|wide|long|far|large) (?:it|they|a \w+|the \w+) (?:may|can) be\b": "the greatest height",
    r"\b(?:asked|looked|foreseen) (?:for|at|of)[.;]": "a sentence does not end on a preposition",
    r"\b(?:she|her|hers|herself)\b": "the maker, or you",
}
"""What is banned, as a pattern, and what to write instead."""
OPENINGS = {r"See (?:that|whether)\b": "Check that", r"Tell whether\b": "Return True if"}
"""How no docstring begins."""
PERSON = "She makes pieced quilts and teaches others to."
"""The paragraph that introduces the person begins so; it alone may say "she"."""


def find_banned(text: str, *, opening: bool = False) -> list[str]:
    """Return a sentence for each banned phrase of a text; `opening` looks at how a docstring begins as well."""
    plain = " ".join(text.split())
    found = [
        f"`{match[0]}` ({instead})"
        for banned, instead in BANNED.items()
        for match in re.finditer(f"(?i){banned}", plain)
    ]
    first = [f"begins `{match[0]}` ({instead})" for how, instead in OPENINGS.items() if (match := re.match(how, plain))]
    return found + first * opening


def read_python(path: Path) -> Iterator[tuple[str, bool]]:
    """Yield the docstrings (marked True), the other texts, the comments and the names of tests of a Python file."""
    source = path.read_text(encoding="utf-8")
    tree = ast.parse(source)
    documented = {ast.get_docstring(node, clean=True) for node in ast.walk(tree) if has_docstring(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            yield node.name.replace("_", " "), False
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value:
            yield node.value, False
    yield from ((text, True) for text in documented if text)
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type == tokenize.COMMENT:
            yield token.string, False


def has_docstring(node: ast.AST) -> bool:
    """Return True if a node of a syntax tree may have a docstring."""
    return isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)


def read_notebook(path: Path) -> Iterator[tuple[str, bool]]:
    """Yield the sources and the stored outputs of a notebook, pictures left out."""
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        yield "".join(cell["source"]), False
        for output in cell.get("outputs", ()):
            kept = (
                output.get("text", ()),
                *(output.get("data", {}).get(f"text/{kind}", ()) for kind in ("plain", "html")),
            )
            yield from (("".join(lines), False) for lines in kept)


def read_words(path: Path) -> Iterator[tuple[str, bool]]:
    """Yield the paragraphs of a page, but not the one that introduces the person."""
    for paragraph in path.read_text(encoding="utf-8").split("\n\n"):
        if not paragraph.startswith(PERSON):
            yield paragraph, False


def read_comments(path: Path) -> Iterator[tuple[str, bool]]:
    """Yield the comments of a study file."""
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            yield line, False


def list_texts() -> Iterator[tuple[str, str, bool]]:
    """Yield (file, text, whether it is a docstring) of everything that somebody reads, but not this file."""
    readers = (
        (read_python, chain(ROOT.glob("kit/**/*.py"), ROOT.glob("tests/**/*.py"))),
        (
            read_words,
            chain(ROOT.glob("*.md"), ROOT.glob("kit/**/*.toml"), ROOT.glob("kit/**/*.typ"), ROOT.glob(".ci/*")),
        ),
        (read_notebook, ROOT.glob("notebooks/*.ipynb")),
        (read_comments, ROOT.glob("data/studies/*.toml")),
    )
    for read, paths in readers:
        for path in sorted(paths):
            if path != Path(__file__) and ".ipynb_checkpoints" not in path.parts:
                yield from ((path.relative_to(ROOT).as_posix(), *text) for text in read(path))


def test_every_text_is_plain_modern_english():
    found = {f"{name}: {fault}" for name, text, opening in list_texts() for fault in find_banned(text, opening=opening)}
    assert sorted(found) == []


@pytest.mark.parametrize(
    "planted",
    [
        "A length of nought or more.",
        "Every figure is made anew.",
        "The thread is reckoned for the whole quilt.",
        "A width that is none.",
        "A text that is no length.",
        "Return one row a piece.",
        "The frame goes without saying.",
        "Where the joins come to lie.",
        "The paper that was asked for.",
        "What she decides about the borders.",
    ],
)
def test_a_planted_phrase_is_caught(planted):
    assert find_banned(planted)


@pytest.mark.parametrize("planted", ["See that the widths cover.", "Tell whether a cut is one piece."])
def test_a_planted_opening_of_a_docstring_is_caught(planted):
    assert find_banned(planted, opening=True)
    assert not find_banned(f"Sew the seam. {planted}", opening=True)


@pytest.mark.parametrize(
    "plain",
    [
        "The strip is no longer than its join.",
        "There is no seam between them.",
        "One row per piece, and one word per cell.",
        "Check that a length is not a text.",
        "Another quilt, with others of its kind.",
    ],
)
def test_a_plain_sentence_passes(plain):
    assert not find_banned(plain, opening=True)


def test_all_that_somebody_reads_is_looked_through():
    files = {name for name, _, _ in list_texts()}
    assert {"README.md", "DEVELOPERS.md", "kit/output/words/english.toml", "notebooks/1-explore.ipynb"} <= files
    assert {"data/studies/tideline.toml", "kit/errors.py", "tests/test_publish.py"} <= files
