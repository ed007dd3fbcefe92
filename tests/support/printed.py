"""What the tests of the printed pattern share: patterns, bytes, text and numbers of a PDF."""

import re
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path

import pdfplumber

from kit.model.making import MakingWishes
from kit.output.document.document import set_document
from kit.pipeline import make_pattern
from kit.publish import redraft
from kit.study import open_study

NUMBER = re.compile(r"(?<![\w.])(?:\d+\u202f?\d*\u2044\d+|\d*[½¼¾⅛⅜⅝⅞]|\d+(?:\.\d+)?)(?![\w⁄])")


@cache
def pattern_of(name):
    return make_pattern(open_study(f"data/studies/{name}.toml"))


@cache
def metric_of(name):
    return redraft(pattern_of(name), "metric")


@cache
def singly_of(name):
    """Return the pattern of a study with every piece cut and sewn by itself."""
    study = open_study(f"data/studies/{name}.toml")
    return make_pattern(replace(study, cutting=MakingWishes(make="one by one")))


@cache
def document_of(name, paper="Letter"):
    return set_document(pattern_of(name), paper)


@cache
def pages_of(name, paper="Letter"):
    return read_text(document_of(name, paper))


def read_study_text(name):
    return Path(f"data/studies/{name}.toml").read_text(encoding="utf-8")


def read_text(data):
    """Return the text of every page, top to bottom, by an independent reader."""
    with pdfplumber.open(BytesIO(data)) as pdf:
        return [page.extract_text(x_tolerance=1.5) for page in pdf.pages]


def read_cover(pages):
    """Return the text of the cover without its contents, lines that end in dots and a page, and without its footer."""
    lines = pages[0].split("\n")[:-1]
    return "\n".join(line for line in lines if not re.search(r"(?:\. ?){3,}\d+", line))


def cut_out(pages, heading, following):
    """Return the text from one heading to the next, without footers."""
    text = "\n".join("\n".join(page.split("\n")[:-1]) for page in pages)
    start = re.search(rf"^{re.escape(heading)}$", text, re.MULTILINE)
    end = re.search(rf"^{re.escape(following)}$", text[start.end() :], re.MULTILINE)
    return text[start.end() : start.end() + end.start()]


def find_numbers(text):
    """Return every number of a text; letters with a number, such as B1, are names."""
    return set(NUMBER.findall(text.replace("\N{NO-BREAK SPACE}", " ")))
