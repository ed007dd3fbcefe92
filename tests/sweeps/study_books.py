"""Run every notebook that takes any study over quilts that none has seen, and over the demonstration studies.

    PYTHONPATH=.:tests/support python tests/sweeps/study_books.py [NAME ...]

Those that none has seen lie in `her_studies`: inches, centimetres with colourways, a drawing. Prints a line for each
study and each notebook that stops; some minutes a study.
"""

import os
import sys
import time
from pathlib import Path
from shutil import copy
from tempfile import TemporaryDirectory

import pytest
from any_study import BOOKS, ROOT, run_book

from kit.study.quilt_folder import make_folder, set_working


def sweep_books(names: list[str]) -> int:
    """Run the notebooks over these studies; return how many stopped."""
    stopped = 0
    with TemporaryDirectory() as folder:
        os.environ["SEAMPROOF_QUILTS"] = folder
        hers, shown = Path(__file__).parent / "her_studies", ROOT / "data/studies"
        for path in [*sorted(hers.glob("*.toml")), *sorted(shown.glob("*.toml"))]:
            if names and path.stem not in names:
                continue
            set_working(copy(path, make_folder()) if path.parent == hers else path)
            begun, found = time.process_time(), []
            for book in BOOKS:
                try:
                    run_book(book)
                except pytest.fail.Exception as error:
                    found.append(str(error))
            stopped += len(found)
            print(f"{path.stem}: {len(BOOKS) - len(found)} of {len(BOOKS)}, {time.process_time() - begun:.0f} s")
            print(*(f"      {one}" for one in found), sep="\n" if found else "", end="\n" if found else "", flush=True)
    assert Path(folder).name
    return stopped


if __name__ == "__main__":
    sys.exit(bool(sweep_books(sys.argv[1:])))
