"""Run every notebook that takes any study over every demonstration study, and over a metric one of each family.

    PYTHONPATH=.:tests/support python tests/sweeps/study_books.py [NAME ...]

Prints a line for each study and each notebook that stops; some minutes a study.
"""

import os
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from any_study import BOOKS, ROOT, run_book

from kit.study.quilt_folder import set_working


def sweep_books(names: list[str]) -> int:
    """Run the notebooks over these studies; return how many stopped."""
    stopped = 0
    with TemporaryDirectory() as folder:
        os.environ["SEAMPROOF_QUILTS"] = folder
        for path in sorted((ROOT / "data/studies").glob("*.toml")):
            if names and path.stem not in names:
                continue
            set_working(path)
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
