"""Each import contract of the project refuses, by its name, every import that it forbids."""

import re
import shutil
import subprocess
import sys
import tomllib
from itertools import pairwise, permutations
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]["contracts"]
NAMES = [contract["name"] for contract in CONTRACTS]


@pytest.fixture(scope="module")
def copied(tmp_path_factory):
    """Copy the package and its contracts, so that imports can be planted without touching the kit."""
    folder = tmp_path_factory.mktemp("house")
    shutil.copytree(ROOT / "kit", folder / "kit", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


def list_forbidden(contract):
    """Return the (importer, imported) pairs that a contract forbids: all of them, of layers each with the next."""
    if contract["type"] == "forbidden":
        return [(source, target) for source in contract["source_modules"] for target in contract["forbidden_modules"]]
    if contract["type"] == "independence":
        return list(permutations(contract["modules"], 2))
    assert contract["type"] == "layers", f"no import is planted for a contract of type {contract['type']}"
    pairs = []
    for room in contract["containers"]:
        layers = [[f"{room}.{name.strip()}" for name in layer.split("|")] for layer in contract["layers"]]
        pairs += [(low, high) for above, below in pairwise(layers) for low in below for high in above]
        pairs += [pair for layer in layers for pair in permutations(layer, 2)]
    return pairs


def lint(folder):
    """Return the verdict on each contract, by name, and all that was said."""
    command = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run([command, "--no-cache"], cwd=folder, capture_output=True, text=True, check=False)
    verdicts = dict(re.findall(r"^(.+) (KEPT|BROKEN)$", done.stdout, re.MULTILINE))
    assert list(verdicts) == NAMES, done.stdout + done.stderr
    assert done.returncode == ("BROKEN" in verdicts.values())
    return verdicts, done.stdout


def find_file(folder, module):
    """Return the file of a module, of a package its first."""
    place = folder.joinpath(*module.split("."))
    return place / "__init__.py" if place.is_dir() else place.with_suffix(".py")


def test_the_kit_keeps_every_contract(copied):
    verdicts, said = lint(copied)
    assert set(verdicts.values()) == {"KEPT"}, said


@pytest.mark.parametrize("contract", CONTRACTS, ids=NAMES)
def test_each_import_that_a_contract_forbids_is_refused_by_the_name_of_the_contract(copied, contract):
    pairs = list_forbidden(contract)
    assert pairs
    files = {find_file(copied, source) for source, _ in pairs}
    before = {file: file.read_bytes() for file in files}
    try:
        for source, target in pairs:
            with find_file(copied, source).open("a", encoding="utf-8") as file:
                file.write(f"\nimport {target}\n")
        verdicts, said = lint(copied)
    finally:
        for file, text in before.items():
            file.write_bytes(text)
    assert verdicts[contract["name"]] == "BROKEN"
    said = said.split("Broken contracts", 1)[1].split(contract["name"], 1)[1]
    said = said.split("\n---", 2)[1]
    refused = set(re.findall(r"^(\S+) is not allowed to import (\S+?):?$", said, re.MULTILINE))
    assert set(pairs) <= refused


@pytest.mark.parametrize("contract", [c for c in CONTRACTS if c.get("exhaustive")], ids=lambda c: c["name"])
def test_a_room_without_a_place_among_the_layers_is_refused(copied, contract):
    for room in contract["containers"]:
        file = copied.joinpath(*room.split("."), "attic.py")
        file.write_text('"""A room that nobody gave a place."""\n', encoding="utf-8")
        try:
            verdicts, said = lint(copied)
        finally:
            file.unlink()
        assert verdicts[contract["name"]] == "BROKEN"
        assert "attic" in said
