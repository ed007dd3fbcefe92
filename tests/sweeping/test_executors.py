"""The same table from one process, from a pool of two and from a Dask cluster on this machine; killed, it goes on."""

import multiprocessing
import os
import signal
import subprocess
import sys
import time
import warnings
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import pandas as pd
import pytest
from small_sweeps import FORTY, SMALL

import kit
from kit.sweeping import running, sweep
from kit.sweeping.measuring import measure_point

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def here():
    return sweep(SMALL, FORTY)


@pytest.fixture(scope="module")
def pool():
    with ProcessPoolExecutor(2, multiprocessing.get_context("spawn")) as executor:
        yield executor


def test_a_pool_of_processes_gives_the_same_table(here, pool):
    there = sweep(SMALL, FORTY, pool)
    pd.testing.assert_frame_equal(there.table, here.table)
    assert there.table.to_csv() == here.table.to_csv()
    assert there.made == here.made


def test_a_dask_cluster_gives_the_same_table(here):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        distributed = pytest.importorskip("distributed")
        with (
            distributed.LocalCluster(
                n_workers=1, threads_per_worker=2, host="127.0.0.1", dashboard_address=None
            ) as cluster,
            distributed.Client(cluster) as client,
            client.get_executor() as executor,
        ):
            there = sweep(SMALL, FORTY, executor)
    pd.testing.assert_frame_equal(there.table, here.table)
    assert there.table.to_csv() == here.table.to_csv()


def test_a_pool_stops_when_it_is_told_and_serves_on(pool):
    begun = time.monotonic()
    stopped = sweep(SMALL, FORTY, pool, progress=lambda _, done, __: done >= 10)
    assert stopped.left > 0
    assert len(stopped.table) + stopped.left == 40
    assert time.monotonic() - begun < 60
    assert pool.submit(pow, 2, 5).result(timeout=60) == 32


def test_workers_that_die_are_told_in_words_and_what_was_done_is_kept(tmp_path):
    class Failing(ProcessPoolExecutor):
        count = 0

        def submit(self, work, /, *words):
            self.count += 1
            return super().submit(work, *words) if self.count <= 3 else super().submit(os._exit, 3)

    with (
        Failing(1, multiprocessing.get_context("spawn")) as executor,
        pytest.raises(kit.KitError, match=r"gave up \(BrokenProcessPool"),
    ):
        sweep(SMALL, FORTY, executor, cache=tmp_path)
    assert 0 < len(list(tmp_path.glob("*.json"))) <= 3


SCRIPT = """
import sys
from small_sweeps import FORTY, SMALL
from kit.sweeping import sweep
sweep(SMALL, FORTY, cache=sys.argv[1])
"""


def test_killed_half_way_it_goes_on_without_making_a_point_again(here, tmp_path, monkeypatch):
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), str(ROOT / "tests" / "sweeps")])}
    running_alone = subprocess.Popen([sys.executable, "-c", SCRIPT, str(tmp_path)], env=env, start_new_session=True)
    try:
        end = time.monotonic() + 90
        while len(list(tmp_path.glob("*.json"))) < 12 and time.monotonic() < end:
            time.sleep(0.005)
    finally:
        os.killpg(running_alone.pid, signal.SIGKILL)
        running_alone.wait(30)
    kept = len(list(tmp_path.glob("*.json")))
    assert 12 <= kept < here.made
    made = []

    def count(keys):
        made.append(keys)
        return measure_point(keys)

    monkeypatch.setattr(running, "measure_point", count)
    resumed = sweep(SMALL, FORTY, cache=tmp_path)
    assert len(made) == resumed.made == here.made - kept
    assert resumed.recalled == kept
    assert resumed.notes == ()
    pd.testing.assert_frame_equal(resumed.table, here.table)
