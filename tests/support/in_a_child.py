"""One study after another, each in a child process of its own with limits of time and memory."""

import contextlib
import json
import os
import resource
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

SECONDS = 30.0
"""The longest that a study may take."""
MEMORY = 2 * 1024**3
"""Bytes: the most that the process of a study may hold."""
BAD = ("raw", "own plan", "died", "hung", "memory", "half a sentence")
"""Outcomes that are faults; "made", "refused" and "no plan" are none."""


@dataclass(frozen=True)
class Outcome:
    """What became of a study.

    Attributes
    ----------
    kind
        "made", "refused", "no plan", or one of `BAD`.
    said
        The sentence, or the exception and its place.
    where
        What tells one fault from another: the exception's type and the place that raised it.
    seconds, megabytes
        Processor time, and the most memory.
    """

    kind: str
    said: str
    where: str
    seconds: float = 0.0
    megabytes: float = 0.0

    @property
    def bad(self) -> bool:
        """Whether it is a fault of the kit."""
        return self.kind in BAD


def run_in_child(
    work: Callable[[Mapping[str, Any]], tuple[str, str, str]],
    keys: Mapping[str, Any],
    seconds: float = SECONDS,
    memory: int = MEMORY,
) -> Outcome:
    """Do the work on the keys of a study in a child process; the child is killed when its time is over.

    Time is the child's processor time, so that a busy machine makes no fault; twenty times that by the clock at most.
    """
    with tempfile.TemporaryFile("w+", encoding="utf-8") as answer:
        pid = os.fork()
        if pid == 0:
            _work_in_child(work, keys, answer, seconds, memory)
        begun = time.monotonic()
        status, usage = _wait(pid, begun + 20 * seconds)
        answer.seek(0)
        text = answer.read()
    took, megabytes = usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024
    if text:
        return Outcome(*json.loads(text), took, megabytes)
    if status in (-signal.SIGXCPU, -signal.SIGKILL):
        return Outcome("hung", f"no answer after {took:.0f} s", "hung", took, megabytes)
    return Outcome("died", f"the process ended with {status}", f"status {status}", took, megabytes)


def _wait(pid: int, latest: float) -> tuple[int, resource.struct_rusage]:
    while True:
        found, status, usage = os.wait4(pid, os.WNOHANG)
        if found:
            return os.waitstatus_to_exitcode(status), usage
        if time.monotonic() > latest:
            os.kill(pid, signal.SIGKILL)
            latest = float("inf")
        time.sleep(0.005)


def _work_in_child(work: Any, keys: Any, answer: Any, seconds: float, memory: int) -> None:
    """Never returns."""
    try:
        now = sum(resource.getrusage(resource.RUSAGE_SELF)[:2])
        resource.setrlimit(resource.RLIMIT_CPU, (int(now + seconds) + 1, int(now + seconds) + 3))
        resource.setrlimit(resource.RLIMIT_AS, (memory + _measure_address_space(), resource.RLIM_INFINITY))
        signal.signal(signal.SIGXCPU, signal.SIG_DFL)
        with open(os.devnull, "w", encoding="utf-8") as nothing:  # noqa: PTH123  the child's own outputs
            os.dup2(nothing.fileno(), 1)
            os.dup2(nothing.fileno(), 2)
        found = _judge(work, keys)
        json.dump(found, answer)
        answer.flush()
    finally:
        os._exit(0 if sys.exc_info()[0] is None else 3)


def _measure_address_space() -> int:
    pages = Path("/proc/self/statm").read_text(encoding="ascii").split()[0]
    return int(pages) * resource.getpagesize()


def _judge(work: Any, keys: Any) -> tuple[str, str, str]:
    from kit.errors import CheckError, KitError, NoPlanError

    try:
        return work(keys)
    except CheckError as error:
        return "own plan", str(error), f"{type(error).__name__} in {_find_place(error)}"
    except NoPlanError as error:
        return "no plan", str(error), _find_place(error)
    except KitError as error:
        whole = (error.found and error.needed and error.do) or any(
            way in str(error).casefold() for way in ("write", "leave it out")
        )
        return ("refused" if whole else "half a sentence"), str(error), _find_place(error)
    except MemoryError as error:
        return "memory", "MemoryError", _find_place(error)
    except BaseException as error:  # noqa: BLE001  whatever else is raised is what is looked for
        with contextlib.suppress(Exception):
            return "raw", f"{type(error).__name__}: {error!s:.300}", f"{type(error).__name__} in {_find_place(error)}"
        return "raw", type(error).__name__, type(error).__name__


def _find_place(error: BaseException) -> str:
    """Return the deepest place of the kit that an error went through."""
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if f"{os.sep}kit{os.sep}" in frame.filename]
    return f"{Path(frames[-1].filename).name} {frames[-1].name}" if frames else "outside the kit"
