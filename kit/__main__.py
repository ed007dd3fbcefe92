"""The commands: `kit check`, `write`, `open`, `pack`, `testers` and others; `kit` alone opens the front door."""

import argparse
import os
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path
from pkgutil import resolve_name
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from kit.errors import KitError
from kit.shipped import CHECKOUT, find_shipped, is_checkout
from kit.version import __version__

if TYPE_CHECKING:
    from kit.model.pattern import Pattern
    from kit.study import Study

LAID_OUT = "seamproof"
"""The folder for notebooks and studies where the kit is installed and not read from a checkout."""
BEGIN, FIRST = "0-begin.ipynb", "1-explore.ipynb"
"""The front door, and the notebook that is set to a study which is named."""
QUIET = '{"@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": false}}'
"""Settings of the notebook server: it does not ask a network for news or updates."""


def main(words: Sequence[str] | None = None) -> int:
    """Run one command; return 0 when all is well, 1 when a number disagrees or an input is wrong."""
    given = list(sys.argv[1:] if words is None else words)
    if given[:1] in (["sum"], ["audit"], ["serve"]):
        return answer_apart(*given)
    asked = _make_parser().parse_args(given)
    try:
        if asked.command == "check":
            return store_results(asked.study) if asked.store else check_studies(asked.study, proof=asked.proof)
        if asked.command == "write":
            return write_study_files(asked)
        if asked.command == "buy":
            from kit.stash.stash_commands import tell_buying

            return tell_buying(asked.study)
        if asked.command == "stash":
            from kit.stash.stash_commands import use_stash

            return use_stash(asked, _show_progress)
        if asked.command in {"pack", "unpack", "reference"}:
            return hand_on(asked)
        if asked.command in {"testers", "findings", "errata"}:
            return test_and_correct(asked)
        return open_notebook(getattr(asked, "study", None), browser=not getattr(asked, "no_browser", False))
    except KitError as error:
        print(error, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


def _make_parser() -> argparse.ArgumentParser:
    """Return the words of every command."""
    parser = argparse.ArgumentParser(prog="kit", description="Prove, write and explore quilt studies.")
    parser.add_argument("--version", action="version", version=f"kit {__version__}")
    commands = parser.add_subparsers(dest="command")
    check = commands.add_parser("check", help="prove each study and its editions; exit 1 if any number disagrees")
    check.add_argument("study", nargs="+", help="study files")
    check.add_argument("--proof", action="store_true", help="print every line of each proof sheet")
    check.add_argument("--store", action="store_true", help="store each result beside its study instead of comparing")
    write = commands.add_parser("write", help="write tables, drawings and pages of a study")
    write.add_argument("study", help="a study file")
    write.add_argument("--to", required=True, metavar="DIR", help="the folder to write to")
    write.add_argument("--paper", choices=("Letter", "A4"), help="A4 for a metric study, Letter otherwise")
    write.add_argument("--system", choices=("inch", "metric"), help="redraft the study in this system")
    write.add_argument("--round-sizes", metavar="LENGTH", help="round finished sizes of the redraft to this, 0.5 cm")
    write.add_argument("--large-print", action="store_true", help="set the pattern in large print")
    write.add_argument("--language", default="English", help="English or German: the pattern and the supply list")
    show = commands.add_parser("open", help="open the front door, or a notebook set to a study")
    show.add_argument("study", nargs="?", help="a study file")
    show.add_argument("--no-browser", action="store_true", help="start the notebook server alone")
    commands.add_parser("serve", help="serve the notebooks as pages to a room: `kit serve --help` tells its words")
    pack = commands.add_parser("pack", help="pack a study, its pictures, result and tables into one zip")
    pack.add_argument("study", help="a study file")
    pack.add_argument("zip", nargs="?", help="the zip to write (one of the study's name, here)")
    unpack = commands.add_parser("unpack", help="check a packed study and unpack it into a new folder")
    unpack.add_argument("zip", help="a zip that `kit pack` wrote")
    unpack.add_argument("folder", metavar="dir", help="a folder that is not there yet, or empty")
    stash = commands.add_parser("stash", help="tell which studies the cloth on hand makes, and what it offers")
    stash.add_argument("stash", help="a stash file")
    stash.add_argument("study", nargs="+", help="study files")
    stash.add_argument("--cloths", action="store_true", help="name the cloths of each part of a design")
    stash.add_argument("--save", metavar="FILE", help="save the one study in cloths of the stash")
    stash.add_argument("--offer", action="store_true", help="tell what the stash offers for binding and backing")
    stash.add_argument("--take-off", action="store_true", help="write the stash as it is once the study is cut")
    buy = commands.add_parser("buy", help="tell the ways to buy the cloth of each part: rolls, packs, yardage")
    buy.add_argument("study", nargs="+", help="study files")
    commands.add_parser("sum", help="answer one question: `kit sum` lists them, `kit sum NAME --help` tells its words")
    commands.add_parser("audit", help="audit the form of a written pattern: `kit audit --help` tells its words")
    reference = commands.add_parser("reference", help="write the reference pages of the public names")
    reference.add_argument("--to", default="reference", metavar="DIR", help="the folder to write to (reference)")
    _add_publishing(commands)
    return parser


def answer_apart(command: str, *words: str) -> int:
    """Run a command whose words are read in its own room; return 1 if it is refused."""
    room = {"sum": "sums.sum_command:tell_sum", "audit": "auditing.audit_command:answer_audit",
            "serve": "serving.serve_command:serve_room"}[command]  # fmt: skip
    try:
        return int(resolve_name(f"kit.{room}")(words))
    except KitError as error:
        print(error, file=sys.stderr)
        return 1


def _add_publishing(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the commands with which a pattern is tested before it is sold and corrected afterwards."""
    testers = commands.add_parser("testers", help="write the forms for testers, for every size of a study")
    testers.add_argument("study", help="a study file")
    testers.add_argument("--to", required=True, metavar="DIR", help="the folder to write to")
    found = commands.add_parser("findings", help="read filled forms back: stumbles by step, sizes, what is unfound")
    found.add_argument("tested", help="the study file as it was tested, or the folder of its tester pack")
    found.add_argument("form", nargs="+", help="filled CSV files, one per tester")
    found.add_argument("--to", metavar="DIR", help="a folder for the tables as CSV")
    errata = commands.add_parser("errata", help="list the corrections between two editions of a study")
    errata.add_argument("old", help="the study file that is sold, or the folder of its tester pack, or a record in it")
    errata.add_argument("new", help="the corrected study file")
    errata.add_argument("--findings", nargs="+", default=[], metavar="FORM", help="filled forms of the old edition")
    errata.add_argument("--to", metavar="DIR", help="a folder for the errata as page, text and CSV")
    for one in (testers, errata):
        one.add_argument("--paper", choices=("Letter", "A4"), help="A4 for a metric study, Letter otherwise")
    for one in (testers, found, errata):
        one.add_argument("--system", choices=("inch", "metric"), help="redraft the study in this system")
        one.add_argument("--language", default="English", help="English or German")


def test_and_correct(asked: argparse.Namespace) -> int:
    """Write the forms for testers, report on filled ones, or list the errata; print them, or where they are."""
    from kit.testers.commands import tell_errata, tell_findings, write_forms

    to, system, language = asked.to, asked.system, asked.language
    if asked.command == "testers":
        lines = write_forms(asked.study, to, asked.paper, system, language=language, progress=_show_progress)
    elif asked.command == "findings":
        lines = tell_findings(asked.tested, asked.form, to, system, language)
    else:
        lines = tell_errata(asked.old, asked.new, asked.findings, to, asked.paper, system, language)
    print(*lines, sep="\n")
    return 0


def check_studies(paths: Sequence[str], *, proof: bool = False) -> int:
    """Prove each study and every edition in it, one line for each, with progress; return 1 if anything fails."""
    from kit.colourways import recolour_study
    from kit.study import editions, open_study

    failed = 0
    for path in paths:
        name = Path(path).name
        try:
            study = open_study(path)
            held = list(zip(study.editions, editions(study), strict=True)) if study.editions else []
        except KitError as error:
            failed += 1
            print(f"FAIL  {name}: {str(error).removeprefix(f'{name}: ')}")
            continue
        _show_progress(name, 0, 1 + len(held))
        pattern = prove_study(study, name, proof=proof)
        failed += pattern is None or compare_stored(pattern, path)
        for title, one in recolour_study(pattern) if pattern else ():
            failed += prove_study(one, f"{name}, colourway {title}", proof=proof) is None
        for number, (edition, one) in enumerate(held, 1):
            _show_progress(f"{name}, edition {edition.name}", number, 1 + len(held))
            failed += prove_study(one, f"{name}, edition {edition.name}", proof=proof) is None
    return 1 if failed else 0


def prove_study(study: "Study", name: str, *, proof: bool = False) -> "Pattern | None":
    """Prove one study or edition and print its line, then the failing lines of its proof sheet, or all on request.

    Return its pattern, None if anything fails.
    """
    from kit.lengths import write_length
    from kit.output.proof.proof import prove
    from kit.pipeline import make_pattern

    try:
        pattern = make_pattern(study)
    except KitError as error:
        print(f"FAIL  {name}: {error}")
        return None
    system = pattern.study.measures.system
    width, height = (write_length(size, system) for size in pattern.patchwork.finished)
    lines = prove(pattern)
    passed = all(line.passed for line in lines)
    print(
        f"{'pass' if passed else 'FAIL'}  {name}: {width} × {height} finished,"
        f" {len(pattern.patchwork.patches)} patches,"
        f" {pattern.cut_list.count} pieces of {len(pattern.cut_list.pieces)} kinds,"
        f" {len(pattern.sewing.steps)} steps rehearsed,"
        f" {sum(line.passed for line in lines)} of {len(lines)} proofs hold"
    )
    for line in lines:
        if proof or not line.passed:
            print(f"      {'pass' if line.passed else 'FAIL'}  {line.name}: {line.figures}")
    return pattern if passed else None


def compare_stored(pattern: "Pattern", path: str) -> bool:
    """Compare a pattern with the stored result of its study, if any; return True if a number disagrees."""
    from kit.sharing.results import compare_result, find_result, open_result

    kept = find_result(path)
    if not kept.is_file():
        return False
    try:
        changes = compare_result(open_result(kept), pattern)
    except KitError as error:
        print(f"FAIL  {error}")
        return True
    wrong = any(change.kind in ("figure", "table") for change in changes)
    print(f"{'FAIL' if wrong else 'pass'}  {kept.name}: {'not ' if wrong else ''}the same figures and tables")
    for change in changes:
        print(f"      {change.kind}: {change.sentence}")
    return wrong


def store_results(paths: Sequence[str]) -> int:
    """Prove each study and store its result beside it, as a reference for later checks."""
    from kit.pipeline import make_pattern
    from kit.sharing.results import find_result, store_result
    from kit.study import open_study

    for path in paths:
        print(store_result(make_pattern(open_study(path)), find_result(path)))
    return 0


def write_study_files(asked: argparse.Namespace) -> int:
    """Write every file of one study, with all its sizes in the pattern, and print their names; show progress."""
    from kit.pipeline import make_pattern
    from kit.publish import redraft, write_publication
    from kit.study import editions, open_study

    patterns = []
    for study in editions(open_study(asked.study)):
        _show_progress(f"plans of edition {study.edition}", 0, 1)
        pattern, wanted = make_pattern(study), asked.system or study.measures.system
        patterns.append(redraft(pattern, wanted, round_sizes_to=asked.round_sizes))
    folder, told = asked.to, {"edition": "large print" if asked.large_print else "standard", "language": asked.language}
    written = write_publication(patterns, folder, asked.paper, progress=_show_progress, **told)
    inside = Counter(file.relative_to(folder).parts[0] for file in written)
    for name, count in inside.items():
        print(Path(folder) / name, *([f"({count} pictures)"] if count > 1 else []))
    return 0


def hand_on(asked: argparse.Namespace) -> int:
    """Pack a study, unpack one, or write the reference pages; print where it is."""
    if asked.command == "pack":
        from kit.sharing import pack_study

        print(pack_study(asked.study, asked.zip or Path(asked.study).with_suffix(".zip").name))
    elif asked.command == "unpack":
        from kit.sharing import unpack_study

        print(unpack_study(asked.zip, asked.folder))
    else:
        from kit.reference import write_reference

        print(write_reference(asked.to)[0])
    return 0


def _show_progress(what: str, done: float, whole: float) -> None:
    """Show progress on a terminal, in one line that is overwritten; write nothing to a file or pipe."""
    if sys.stderr.isatty():
        print(f"\r{what}: {100 * done // whole:.0f} %".ljust(60), end="\r", file=sys.stderr, flush=True)


def open_notebook(study: str | None, *, browser: bool = True) -> int:
    """Start JupyterLab on the front door, or on a copy of the first notebook beside a study, set to that study."""
    if find_spec("jupyterlab") is None:
        raise KitError("JupyterLab is not installed", needed="jupyterlab", do="start with: python3 -m uv run kit")
    home = CHECKOUT if is_checkout() else copy_out(Path.cwd() / LAID_OUT)
    notebooks = home / "notebooks"
    folder, start = home, f"lab/tree/notebooks/{BEGIN}"
    if study is not None:
        folder, start = _copy_notebook(Path(study), notebooks / FIRST)
    settings = [
        f"--ServerApp.root_dir={folder}",
        f"--LabApp.default_url=/{start}",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        settings.append("--allow-root")
    if not browser:
        settings.append("--no-browser")
    settings += os.environ.get("SEAMPROOF_LAB", "").split()
    with TemporaryDirectory() as quiet:
        (Path(quiet) / "overrides.json").write_text(QUIET, encoding="utf-8")
        settings.append(f"--LabApp.app_settings_dir={quiet}")
        return subprocess.run([sys.executable, "-m", "jupyter", "lab", *settings], check=False).returncode


def copy_out(folder: Path) -> Path:
    """Copy the notebooks and the data that they read out of the installed package; keep a folder that is there."""
    if (folder / "notebooks" / FIRST).is_file():
        return folder
    if folder.exists():
        raise KitError(
            f"{folder.name} is there and holds no notebooks", needed=f"a new folder {folder.name}", do="rename it"
        )
    try:
        for part in ("notebooks", "data"):
            shutil.copytree(find_shipped(part), folder / part)
    except OSError as error:
        raise KitError(
            f"The notebooks cannot be copied to {folder.name} ({error.strerror or error})",
            needed="a folder that may be written to",
            do="change to such a folder",
        ) from None
    return folder


def _copy_notebook(study: Path, notebook: Path) -> tuple[Path, str]:
    """Copy the first notebook beside a study, set to it; return the folder and the address within it."""
    import json

    from kit.study import open_study

    open_study(study)
    copy = study.resolve().with_name(f"{study.stem}-{notebook.name}")
    if not copy.exists():
        shutil.copyfile(notebook, copy)
        book = json.loads(copy.read_text(encoding="utf-8"))
        for cell in book["cells"]:
            if cell["cell_type"] == "code":
                cell["source"] = [
                    f"path = {study.name!r}\n" if line.startswith("path = ") else line for line in cell["source"]
                ]
                cell["outputs"], cell["execution_count"] = [], None
        copy.write_text(json.dumps(book, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return copy.parent, f"lab/tree/{copy.name}"


if __name__ == "__main__":
    sys.exit(main())
