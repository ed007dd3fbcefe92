"""A learner's progress in the learner's own small file, never lost and never overwritten unread."""

import json
import os
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from tempfile import NamedTemporaryFile

from kit.errors import KitError
from kit.lessons.exercises.exercise import Exercise
from kit.lessons.exercises.marking import Mark

VERSION = 2
LARGEST = 2_000_000
"""Bytes: the kit does not write a larger file."""
SHOWN = 60


@dataclass(frozen=True, slots=True)
class Try:
    """One given answer.

    Attributes
    ----------
    kind, seed, system
        Those of the exercise.
    typed
        The typed text, at most 60 characters.
    verdict
        "right", "mistake", "wrong" or "unread"; "shown" for a right answer after the way had been shown, and, with
        nothing typed, for the showing itself.
    mistakes
        Names of the mistakes behind it.
    """

    kind: str
    seed: int
    system: str
    typed: str
    verdict: str
    mistakes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LearnerProgress:
    """A learner's answers so far.

    Attributes
    ----------
    tries
        The answers in order.
    """

    tries: tuple[Try, ...] = ()

    def add(self, exercise: Exercise, typed: str, found: Mark) -> "LearnerProgress":
        """Return the progress with one more answer; a repeated answer counts once."""
        new = Try(
            exercise.kind, exercise.seed, exercise.terms.system, typed.strip()[:SHOWN], found.verdict, found.mistakes
        )
        if self.tries and self.tries[-1] == new:
            return self
        return replace(self, tries=(*self.tries, new))

    def show(self, exercise: Exercise) -> "LearnerProgress":
        """Return the progress with the note that the way to an answer was shown; once for each exercise."""
        if self.was_shown(exercise):
            return self
        note = Try(exercise.kind, exercise.seed, exercise.terms.system, "", "shown")
        return replace(self, tries=(*self.tries, note))

    def was_shown(self, exercise: Exercise) -> bool:
        """Return True if the way to an answer was shown."""
        own = (exercise.kind, exercise.seed, exercise.terms.system)
        return any(one.verdict == "shown" and (one.kind, one.seed, one.system) == own for one in self.tries)

    def count(self, kinds: Sequence[str]) -> tuple[int, int]:
        """Return the number of answered exercises of some kinds, and the number answered rightly without help."""
        mine = [one for one in self.tries if one.kind in kinds and one.verdict != "unread" and one.typed]
        asked = {(one.kind, one.seed, one.system) for one in mine}
        right = {(one.kind, one.seed, one.system) for one in mine if one.verdict == "right"}
        return len(asked), len(right)

    def count_shown(self, kinds: Sequence[str]) -> int:
        """Return the number of exercises of some kinds whose way was shown."""
        return len(
            {(one.kind, one.seed, one.system) for one in self.tries if one.kind in kinds and one.verdict == "shown"}
        )

    def find_slips(self, kinds: Sequence[str]) -> tuple[tuple[str, int], ...]:
        """Return the mistakes in some kinds, the most frequent first."""
        counts: dict[str, int] = {}
        for one in self.tries:
            for name in one.mistakes if one.kind in kinds else ():
                counts[name] = counts.get(name, 0) + 1
        return tuple(sorted(counts.items(), key=lambda pair: (-pair[1], pair[0])))


def read_progress(path: str | os.PathLike[str]) -> LearnerProgress:
    """Read a learner's file; a missing file is an empty progress.

    Parameters
    ----------
    path
        Path of the file.

    Raises
    ------
    KitError
        A file that is damaged, of a later version or not a progress file. It is not changed.
    """
    place = Path(path)
    try:
        if not place.exists():
            return LearnerProgress()
        if place.stat().st_size > LARGEST:
            raise _refuse(place.name, f"holds {place.stat().st_size} bytes", f"at most {LARGEST}")
        held = place.read_bytes()
    except OSError as error:
        raise _refuse(place.name, f"cannot be read ({error.strerror})", "a file that may be read") from None
    return take_progress(held, place.name)


def take_progress(held: bytes, name: str) -> LearnerProgress:
    """Return the progress that the bytes of a learner's file hold.

    Parameters
    ----------
    held
        The file, for instance as it was handed in on a page.
    name
        Its name, for the message.

    Raises
    ------
    KitError
        As for `read_progress`.
    """
    if len(held) > LARGEST:
        raise _refuse(name, f"holds {len(held)} bytes", f"at most {LARGEST}")
    try:
        kept = json.loads(held.decode("utf-8"))
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError) as error:
        raise _refuse(name, f"is damaged ({type(error).__name__})", "the file as it was written") from None
    shape = {"version": int, "tries": list}
    if not isinstance(kept, dict) or not all(isinstance(kept.get(key), kind) for key, kind in shape.items()):
        raise _refuse(name, "is not a progress file", "an object with `version` and `tries`")
    if kept["version"] > VERSION:
        raise _refuse(name, f"has version {kept['version']}", f"version {VERSION}, or a newer kit")
    return LearnerProgress(tuple(_read_try(name, number, one) for number, one in enumerate(kept["tries"], start=1)))


def _read_try(place: str, number: int, one: object) -> Try:
    kinds: dict[str, type] = {
        "kind": str, "seed": int, "system": str, "typed": str, "verdict": str, "mistakes": list,
    }  # fmt: skip
    if not isinstance(one, dict) or set(one) != {field.name for field in fields(Try)}:
        raise _refuse(place, f"is damaged in entry {number}", "the keys of an answer")
    wrong = next((name for name, kind in kinds.items() if not isinstance(one[name], kind)), None)
    if wrong or not all(isinstance(name, str) for name in one["mistakes"]):
        raise _refuse(place, f"is damaged in entry {number}, `{wrong or 'mistakes'}`", "what the kit writes there")
    return Try(**{**one, "mistakes": tuple(one["mistakes"])})


def _refuse(name: str, found: str, needed: str) -> KitError:
    return KitError(f"{name}: the file {found}", needed=needed, do="move it away to start again; it was not changed")


def write_progress(progress: LearnerProgress, path: str | os.PathLike[str]) -> Path:
    """Write a learner's progress, whole or not at all: into a new file that then replaces the old one.

    Answers written by another page in the meantime are kept.

    Raises
    ------
    KitError
        A damaged file at that place (it is not changed), or a file that cannot be written.
    """
    place = Path(path)
    merged = _merge(read_progress(place), progress)
    whole = {"version": VERSION, "tries": [asdict(one) for one in merged.tries]}
    text = json.dumps(whole, ensure_ascii=False, indent=1)
    kept = None
    try:
        with NamedTemporaryFile(dir=place.parent, prefix=".", suffix=".part", delete=False) as new:
            kept = Path(new.name)
            new.write(f"{text}\n".encode())
            new.flush()
            os.fsync(new.fileno())
        kept.replace(place)
    except OSError as error:
        if kept is not None:
            kept.unlink(missing_ok=True)
        raise KitError(
            f"`{place.name}` cannot be written ({error.strerror})", needed="a folder of your own", do="name another"
        ) from None
    return place


def _merge(there: LearnerProgress, ours: LearnerProgress) -> LearnerProgress:
    """Return the union of both, each with its greater count, those of the file first."""
    left = list(ours.tries)
    for one in there.tries:
        if one in left:
            left.remove(one)
    return LearnerProgress((*there.tries, *left))
