"""Processor time of `import kit` in a fresh process, here and in another checkout, in turn.

    uv run python tests/benchmarks/import_time.py ../other-checkout [RUNS]

The other checkout needs an environment of its own in `.venv`.
"""

import resource
import subprocess
import sys
from pathlib import Path
from statistics import median

HERE = Path(__file__).resolve().parents[2]


def measure_process(python: str, folder: Path, code: str) -> float:
    """Return user and system seconds of one whole process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([python, "-c", code], cwd=folder, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def compare_checkouts(other: Path, runs: int = 10) -> None:
    """Print both medians, their spread and their ratio."""
    places = {"here": (sys.executable, HERE), "there": (str(other / ".venv/bin/python"), other)}
    found: dict[str, list[float]] = {name: [] for name in places}
    for _ in range(runs):
        for name, (python, folder) in places.items():
            found[name].append(measure_process(python, folder, "import kit"))
    for name, seconds in found.items():
        print(f"{name}: median {median(seconds):.3f} s of {runs}, from {min(seconds):.3f} to {max(seconds):.3f} s")
    print(f"ratio {median(found['here']) / median(found['there']):.4f}")


if __name__ == "__main__":
    compare_checkouts(Path(sys.argv[1]).resolve(), *map(int, sys.argv[2:]))
