import contextlib
import json
import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CHROME = os.environ.get("KIT_CHROME") or shutil.which("chromium") or shutil.which("google-chrome")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def _find_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@pytest.fixture(scope="session")
def lab(tmp_path_factory):
    """Start the kit's own command on a copy of the project, so that the real notebooks are never touched."""
    tmp = tmp_path_factory.mktemp("lab")
    port, token = _find_port(), secrets.token_hex(8)
    home = tmp / "project"
    for part in ("kit", "notebooks", "data"):
        shutil.copytree(ROOT / part, home / part, ignore=shutil.ignore_patterns(".*", "__pycache__"))
    places = ("CONFIG", "DATA", "RUNTIME")
    env = {
        **{name: value for name, value in os.environ.items() if name != "SEAMPROOF_QUILTS"},
        **{f"JUPYTER_{place}_DIR": str(tmp / place.lower()) for place in places},
        "JUPYTERLAB_SETTINGS_DIR": str(tmp / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(tmp / "workspaces"),
        "IPYTHONDIR": str(tmp / "ipython"),
        "JUPYTER_TOKEN": token,
        "JUPYTER_PORT": str(port),
        "PYTHONPATH": str(home),
        "SEAMPROOF_LAB": "--LabApp.expose_app_in_browser=True",
    }
    log = tmp / "lab.log"
    base = f"http://127.0.0.1:{port}"
    with log.open("w") as out:
        server = subprocess.Popen(
            [sys.executable, "-m", "kit", "open", "--no-browser"],
            cwd=home, env=env, stdout=out, stderr=subprocess.STDOUT, start_new_session=True,
        )  # fmt: skip
        try:
            for _ in range(600):
                if server.poll() is not None:
                    pytest.fail(log.read_text()[-3000:])
                with contextlib.suppress(OSError):
                    urllib.request.urlopen(f"{base}/api/status?token={token}", timeout=2).read()
                    break
                time.sleep(0.1)
            yield base, token
        finally:
            os.killpg(server.pid, signal.SIGTERM)
            try:
                server.wait(15)
            except subprocess.TimeoutExpired:
                os.killpg(server.pid, signal.SIGKILL)
                server.wait()


@pytest.fixture(scope="session")
def browser():
    driver = pytest.importorskip("playwright.sync_api")
    if not CHROME:
        pytest.skip("no Chromium found (set KIT_CHROME)")
    with driver.sync_playwright() as running:
        shown = running.chromium.launch(executable_path=CHROME, args=FLAGS, headless=True)
        yield shown
        shown.close()


def end_kernels(base, token):
    """End every kernel an earlier test left: one that still saves its quilt would bring the folder back."""
    with urllib.request.urlopen(f"{base}/api/kernels?token={token}", timeout=30) as answer:
        kernels = json.load(answer)
    for kernel in kernels:
        asked = urllib.request.Request(f"{base}/api/kernels/{kernel['id']}?token={token}", method="DELETE")
        with contextlib.suppress(urllib.error.HTTPError):  # gone by itself
            urllib.request.urlopen(asked, timeout=60).read()


@pytest.fixture
def quilts(lab, tmp_path_factory):
    """Return the folder of quilts of the copied project, empty."""
    end_kernels(*lab)
    (folder,) = (tmp_path_factory.getbasetemp() / "lab0/project").glob("*/notebooks")  # as the command lays it out
    shutil.rmtree(folder.parent / "quilts", ignore_errors=True)
    (folder / "my-study.toml").unlink(missing_ok=True)  # or a second test that saves would be asked
    return folder.parent / "quilts"


@pytest.fixture
def open_page(lab, browser, quilts):
    """Return a function that opens a notebook; the page may speak to this machine only."""
    base, token = lab
    assert not quilts.exists()
    contexts = []

    def start(notebook, width=1280, height=1300):
        context = browser.new_context(viewport={"width": width, "height": height})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(90_000)
        page.errors, page.external = [], []
        page.on("pageerror", lambda error: page.errors.append(str(error)))

        def fence(route):
            if route.request.url.startswith((base, "data:", "blob:")):
                route.continue_()
            else:
                page.external.append(route.request.url)
                route.abort()

        page.route("**/*", fence)
        page.goto(f"{base}/lab/tree/notebooks/{notebook}?reset&token={token}", wait_until="domcontentloaded")
        page.wait_for_function(
            "window.jupyterapp?.shell.currentWidget?.context?.sessionContext?.session?.kernel?.status === 'idle'"
        )
        return page

    yield start
    for context in contexts:
        context.close()
