"""The kinds of exercises, and exercises made from a seed: the same seed, the same exercise, everywhere."""

from collections.abc import Callable, Sequence
from random import Random
from typing import TypeAlias

from kit.errors import KitError
from kit.lengths import System
from kit.lessons.exercises import (
    reading_exercises,
    setting_exercises,
    sewing_exercises,
    size_exercises,
    strip_exercises,
    unit_exercises,
)
from kit.lessons.exercises.exercise import TERMS, Draft, Exercise, Terms, finish

Maker: TypeAlias = Callable[[Random, Terms], Draft]

KINDS: dict[str, Maker] = {
    "square": size_exercises.ask_square,
    "rectangle": size_exercises.ask_rectangle,
    "finished from cut": size_exercises.ask_finished,
    "another size": size_exercises.ask_scaled,
    "border": setting_exercises.ask_border,
    "half-square triangle": size_exercises.ask_half_square,
    "quarter-square triangle": size_exercises.ask_quarter_square,
    "blocks on point": setting_exercises.ask_on_point,
    "side triangle": setting_exercises.ask_side_triangle,
    "corner triangle": setting_exercises.ask_corner_triangle,
    "squares from cloth": strip_exercises.ask_squares_from_cloth,
    "strips": strip_exercises.ask_strips,
    "cloth to buy": strip_exercises.ask_yardage,
    "width of a strip set": strip_exercises.ask_set_width,
    "number of strip sets": strip_exercises.ask_sets,
    "braid": sewing_exercises.ask_braid,
    "mirror pairs": sewing_exercises.ask_pairs,
    "whirl": sewing_exercises.ask_whirl,
    "short row": sewing_exercises.ask_row_error,
    "true allowance": sewing_exercises.ask_true_allowance,
    "unfinished unit": unit_exercises.ask_unit_size,
    "eight at a time": unit_exercises.ask_eight,
    "squares for units": unit_exercises.ask_batches,
    "partial seams": unit_exercises.ask_odd_seams,
    "wrong line": reading_exercises.ask_wrong_line,
}
"""Kind -> its maker."""

ATTEMPTS = 400
"""The most drafts tried for a seed; in practice a few are enough."""


def make_exercise(kind: str, seed: int = 1, system: System = "inch") -> Exercise:
    r"""Make an exercise from a seed.

    Draw figures by chance, let the kit work out the answer, and draw again if a named mistake would lead to a
    right answer.

    Parameters
    ----------
    kind
        One of `KINDS`.
    seed
        A whole number; the same seed gives the same exercise.
    system
        "inch", or "metric" with allowances of 0.75 cm.

    Raises
    ------
    KitError
        An unknown kind or system, or a seed that is not a whole number from 0 to a thousand million.

    Notes
    -----
    A few milliseconds: the answer comes from a cut list, a cutting plan or a rehearsal.

    Examples
    --------
    >>> one = make_exercise("half-square triangle", 4)
    >>> one.shown.replace("\xa0", " ")
    '2.3536 in, rounded up 2⅜ in'
    """
    if kind not in KINDS:
        raise KitError(f"There is no exercise `{kind}`", needed=", ".join(KINDS), do="choose one of these")
    if system not in TERMS:
        raise KitError(f"The system is `{system}`", needed="inch or metric", do="choose one of these")
    if isinstance(seed, bool) or not isinstance(seed, int) or not 0 <= seed <= 10**9:
        raise KitError(f"The number of the exercise is `{seed}`", needed="0 to 1000000000", do="take a whole number")
    chance = Random(f"{kind}/{seed}/{system}")  # noqa: S311  exercises, not secrets
    for _ in range(ATTEMPTS):
        exercise = finish(KINDS[kind](chance, TERMS[system]), kind, seed, TERMS[system])
        if exercise is not None:
            return exercise
    raise KitError(f"Exercise {seed} of the kind `{kind}` cannot be made", do="take another number")


def make_set(kinds: Sequence[str], seed: int = 1, count: int = 12, system: System = "inch") -> tuple[Exercise, ...]:
    """Make a set of exercises, the kinds in turn.

    Parameters
    ----------
    kinds
        The kinds, in their order.
    seed
        Seed of the set; exercises are numbered from 100 times the seed.
    count
        The number of exercises, 1 to 200.
    system
        "inch" or "metric".

    Raises
    ------
    KitError
        No kinds, or a count outside its range.
    """
    if not kinds:
        raise KitError("No kind of exercise was named", needed="at least one", do=f"choose from {', '.join(KINDS)}")
    if not 1 <= count <= 200:
        raise KitError(f"The number of exercises is {count}", needed="1 to 200", do="take twelve")
    return tuple(make_exercise(kinds[i % len(kinds)], seed * 100 + i // len(kinds), system) for i in range(count))
