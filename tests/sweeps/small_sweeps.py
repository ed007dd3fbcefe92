"""A study whose points are made quickly, and the sweeps of it.

Run as a program it makes five hundred points in this process, in a pool of two and on a Dask cluster of two, and says
whether the tables are the same bytes and how long each took.
"""

import hashlib
import multiprocessing
import time
from concurrent.futures import ProcessPoolExecutor

from kit.study import study_from_keys
from kit.sweeping import sweep

SMALL = study_from_keys(
    {
        "title": "Landing Stage",
        "seed": 4,
        "design": {"family": "strips", "columns": 2, "rows": 1, "strip_cut": "2 1/2 in", "pattern": ["deep foam"]},
        "fabric": [
            {"slot": "deep", "name": "Ferry hull", "colour": "#1f3f5b", "width": "42 in", "price": 11.5},
            {"slot": "foam", "name": "Foam", "colour": "#e9eef0", "width": "42 in", "price": 9.0},
        ],
    }
)
FORTY = {
    "design.columns": range(1, 5),
    "design.rows": [1, 2],
    "design.strip_cut": ["1/2 in", "1 1/2 in", "2 in", "2 1/2 in", "6.35 cm"],
}
"""Forty points; half an inch is all allowance and cannot be sewn, and 6.35 cm is 2 1/2 in in other words."""
FIVE_HUNDRED = {
    "design.columns": range(1, 6),
    "design.rows": range(1, 5),
    "design.strip_cut": ["1/2 in", "1 1/2 in", "1 3/4 in", "2 in", "2 1/2 in"],
    "fabric.1.price": [8.0, 9.5, 11.0, 12.5, 14.0],
}


def compare_executors(ranges):
    """Yield the name, the seconds and the hash of the table of each way to run a sweep."""
    from distributed import Client, LocalCluster

    def measure(name, executor=None):
        begun = time.perf_counter()
        table = sweep(SMALL, ranges, executor).table
        took = time.perf_counter() - begun
        return name, len(table), took, hashlib.sha256(table.to_csv().encode()).hexdigest()[:16]

    yield measure("one process")
    with ProcessPoolExecutor(2, multiprocessing.get_context("spawn")) as pool:
        yield measure("process pool of 2", pool)
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None) as cluster,
        Client(cluster) as client,
        client.get_executor() as executor,
    ):
        yield measure("Dask cluster of 2", executor)


if __name__ == "__main__":
    for name, points, took, digest in compare_executors(FIVE_HUNDRED):
        print(f"{name:20} {points} points {took:6.1f} s  {digest}")  # noqa: T201  a program prints
