"""A study whose keys are set to other values and measured, with a bound on how many tops are built for that."""

from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from kit.designs import FAMILIES
from kit.errors import KitError
from kit.fitting.size_keys import SizeKey
from kit.model.fits import KeyChange
from kit.progress import Progress, report
from kit.study import Study, join_units, study_keys

Size = tuple[float, float]
Spot = tuple[int, ...]
"""For each key the place of its value among those to try."""
MOST_BUILDS = 600
"""Tops that one search builds to measure them."""
CLOSE = 1e-5


class SpentError(Exception):
    """The search has built as many tops as it may."""


@dataclass
class KeyedStudy:
    """A study in the search: its size with any of its keys set to other values.

    Attributes
    ----------
    study
        One edition.
    size_keys
        The keys, with their values.
    progress
        Told how many tops are built; a stop goes through.
    sizes
        What was measured; None for what cannot be built.
    reasons
        Why not.
    """

    study: Study
    size_keys: tuple[SizeKey, ...]
    progress: Progress
    sizes: dict[Spot, Size | None] = field(default_factory=dict)
    reasons: dict[Spot, KitError] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find where the search starts: the study's own values, or the nearest that its ranges hold."""
        self.keys = study_keys(self.study)
        self.start: Spot = tuple(
            min(range(len(one.numbers)), key=lambda n, one=one: abs(one.numbers[n] - one.own))  # type: ignore[misc]
            for one in self.size_keys
        )

    def list_changes(self, spot: Spot) -> tuple[KeyChange, ...]:
        """Return the keys that differ from the study, with both values."""
        return tuple(
            KeyChange(one.name, one.write(one.own), one.write(one.numbers[place]))
            for one, place in zip(self.size_keys, spot, strict=True)
            if abs(one.numbers[place] - one.own) > CLOSE
        )

    def set(self, spot: Spot) -> dict[str, Any]:
        """Return the keys of the study with the values of a spot."""
        made = deepcopy(self.keys)
        for one, place in zip(self.size_keys, spot, strict=True):
            if abs(one.numbers[place] - one.own) <= CLOSE:
                continue
            *path, last = one.key.split(".")
            table: Any = made
            for part in path:
                table = table[int(part) - 1] if isinstance(table, list) else table.setdefault(part, {})
            table[last] = one.write(one.numbers[place])
        return made

    def measure(self, spot: Spot) -> Size | None:
        """Return the finished size at a spot, None if it cannot be built.

        Raises
        ------
        SpentError
            A new top after as many as a search may build.
        """
        if spot not in self.sizes:
            if len(self.sizes) >= MOST_BUILDS:
                raise SpentError
            report(self.progress, "sizes", len(self.sizes), MOST_BUILDS)
            try:
                design = FAMILIES[self.study.design.family].model_validate(join_units(self.set(spot)))
                self.sizes[spot] = design.measure(self.study.measures.seam_allowance)
            except (KitError, ValueError) as error:
                self.sizes[spot] = None
                if isinstance(error, KitError):
                    self.reasons[spot] = error
        return self.sizes[spot]

    def move(self, *moves: tuple[int, int]) -> Spot:
        """Return the start with some keys at other places: (key, place)."""
        spot = list(self.start)
        for key, place in moves:
            spot[key] = place
        return tuple(spot)

    def list_near(self, key: int) -> list[int]:
        """Return the places of a key's values, the nearest to the start first, the start left out."""
        here = self.start[key]
        return sorted(
            (n for n in range(len(self.size_keys[key].numbers)) if n != here), key=lambda n: (abs(n - here), -n)
        )
