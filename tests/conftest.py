"""How the tests are run: random examples that are the same each time, and notebooks compared by what they show."""

import asyncio
import os
import shutil
from functools import wraps
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import settings
from nbval.plugin import IPyNbFile

settings.register_profile("ci", derandomize=True, deadline=None)
settings.load_profile("ci")

_APART = TemporaryDirectory(prefix="seamproof-quilts-")
os.environ["SEAMPROOF_QUILTS"] = str(Path(_APART.name) / "none-yet")  # apart from those of whoever runs the tests

UNSTABLE = (
    "application/javascript",
    "application/vnd.bokehjs_load.v0+json",
    "application/vnd.bokehjs_exec.v0+json",
)
"""Outputs that start a plot in the page: they hold fresh ids and no figure."""


def _skip_unstable(make):
    @wraps(make)
    def init(self, *args, **kwargs):
        make(self, *args, **kwargs)
        self.skip_compare = (*self.skip_compare, *UNSTABLE)

    return init


IPyNbFile.__init__ = _skip_unstable(IPyNbFile.__init__)


@pytest.fixture(autouse=True)
def _forget_the_loop_of_a_browser(request):
    """A browser that an earlier test drove leaves a running loop; only tests in a browser are to see it."""
    if "browser" in request.node.path.parts:
        yield
        return
    loop = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(loop)


@pytest.fixture(autouse=True)
def _leave_no_quilt():
    """Take away the quilts that a test has made: the next notebook would open the last of them."""
    yield
    shutil.rmtree(Path(_APART.name) / "none-yet", ignore_errors=True)
