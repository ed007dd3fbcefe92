"""`kit serve` started for a test, and what it takes of the machine."""

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import psutil

ROOT = Path(__file__).resolve().parents[2]


class ServedRoom:
    """A running `kit serve`: its address, its log, its kernels and their memory."""

    def __init__(self, folder, *words, password="", env=None, settings=None):
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.base, self.log = f"http://127.0.0.1:{self.port}", Path(folder) / "serve.log"
        surroundings = {
            **os.environ,
            **{f"JUPYTER_{place}_DIR": str(Path(folder) / place.lower()) for place in ("CONFIG", "DATA", "RUNTIME")},
            "PYTHONPATH": str(ROOT),
            "TMPDIR": str(folder),
            **({"KIT_PASSWORD": password} if password else {}),
            **(env or {}),
        }
        if settings:
            Path(surroundings["JUPYTER_CONFIG_DIR"]).mkdir(parents=True)
            (Path(surroundings["JUPYTER_CONFIG_DIR"]) / "voila.json").write_text(json.dumps(settings), encoding="utf-8")
        command = [sys.executable, "-m", "kit", "serve", "--no-browser", f"--port={self.port}", *words]
        with self.log.open("w") as out:
            self.server = subprocess.Popen(
                command, cwd=folder, env=surroundings, stdout=out, stderr=subprocess.STDOUT, start_new_session=True
            )
        for _ in range(1200):
            if self.server.poll() is not None:
                raise RuntimeError(self.log.read_text()[-3000:])
            with contextlib.suppress(OSError):
                urllib.request.urlopen(f"{self.base}/", timeout=10).read()
                return
            time.sleep(0.1)
        self.stop()
        raise RuntimeError(self.log.read_text()[-3000:])

    def list_kernels(self):
        """Return the processes of the pages."""
        found = []
        for child in psutil.Process(self.server.pid).children(recursive=True):
            with contextlib.suppress(psutil.Error):
                if "kit.serving.page_kernel" in " ".join(child.cmdline()):
                    found.append(child)
        return found

    def measure(self):
        """Return how many kernels there are, and the memory of all and of the server (MB, shared parts divided)."""
        kernels = self.list_kernels()
        return len(kernels), sum(map(measure_memory, kernels)), measure_memory(psutil.Process(self.server.pid))

    def stop(self):
        os.killpg(self.server.pid, signal.SIGTERM)
        try:
            self.server.wait(20)
        except subprocess.TimeoutExpired:
            os.killpg(self.server.pid, signal.SIGKILL)
            self.server.wait()


def measure_memory(process):
    with contextlib.suppress(psutil.Error):
        return process.memory_full_info().pss / 2**20
    return 0.0
