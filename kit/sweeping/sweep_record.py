"""The result of a sweep: its points in order, their table, the front, and the study of any point."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import pandas as pd

from kit.errors import KitError
from kit.lengths import CM, SLACK, YARD, write_nearest
from kit.model.pattern import Pattern
from kit.pipeline import make_pattern
from kit.study import Study, study_from_keys
from kit.sweeping.front import FOUR, find_front
from kit.sweeping.sweep_points import Ranges, SweepPoint

COUNTS = {
    "Pieces": "pieces",
    "Kinds": "kinds",
    "Seams": "seams",
    "Partial seams": "partial_seams",
    "Set-in seams": "set_in_seams",
    "Pieces short": "short",
}
METRE = 100 * CM
Bounds = tuple[float, float]
ANY: Bounds = (float("-inf"), float("inf"))


@dataclass(frozen=True)
class Sweep:
    """The finished points of a sweep.

    Attributes
    ----------
    study
        The swept study.
    ranges
        Each key with its values.
    points
        The finished points by number, in any order of completion.
    figures
        The figures of each.
    made, recalled
        The number of patterns made now, and of remembered ones; points with the same meaning in other words are one
        pattern.
    left
        The number not made because the sweep was stopped.
    notes
        Sentences on damaged points that were made again.
    """

    study: Study
    ranges: Ranges
    points: tuple[SweepPoint, ...]
    figures: tuple[Mapping[str, Any], ...]
    made: int
    recalled: int
    left: int = 0
    notes: tuple[str, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """The swept keys."""
        return tuple(key for key, _ in self.ranges)

    @property
    def units(self) -> dict[str, str]:
        """The units of lengths and cloth."""
        metric = self.study.measures.system == "metric"
        return {"length": "cm" if metric else "in", "cloth": "m²" if metric else "sq yd"}

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per point.

        Its swept keys; finished width and length; pieces, kinds and seams; cloth, cost and hours; the number of pieces
        that the cloth on hand does not yield; and the reason if the point cannot be made.

        Cloth is that of the top: lengths over the whole width, and whole pre-cuts. Cost is of everything with a
        price. Hours are those of the whole quilt.
        """
        swept = {key: [_show(point.setting[i]) for point in self.points] for i, key in enumerate(self.keys)}
        table = pd.DataFrame(swept | self._list_columns())
        whole = dict.fromkeys(COUNTS, "Int64")
        real = dict.fromkeys((*self.sizes, self.cloth, "Cost", "Hours"), "float64")
        return table.astype({**whole, **real, "Finished": "str", "Error": "str"})

    @property
    def cloth(self) -> str:
        """The column of the cloth."""
        return f"Cloth ({self.units['cloth']})"

    @property
    def sizes(self) -> tuple[str, str]:
        """The columns of the finished width and length."""
        unit = self.units["length"]
        return f"Finished width ({unit})", f"Finished length ({unit})"

    def _list_columns(self) -> dict[str, list[Any]]:
        system = self.study.measures.system
        long, area = (1 / CM, 1 / METRE**2) if system == "metric" else (1.0, 1 / YARD**2)
        wide, high = self.sizes

        def scale(name: str, factor: float, digits: int) -> list[float | None]:
            return [round(row[name] * factor, digits) if name in row else None for row in self.figures]

        return {
            "Finished": [
                " × ".join(write_nearest(row[side], system) for side in ("width", "length")) if "width" in row else "–"
                for row in self.figures
            ],
            wide: scale("width", long, 3),
            high: scale("length", long, 3),
            **{shown: [row.get(name) for row in self.figures] for shown, name in COUNTS.items()},
            self.cloth: scale("cloth", area, 4),
            "Cost": scale("cost", 1.0, 2),
            "Hours": scale("hours", 1.0, 2),
            "Error": [row.get("error") or row.get("fault", "") for row in self.figures],
        }

    def front(self, by: Sequence[str] = FOUR, width: Bounds = ANY, length: Bounds = ANY) -> pd.DataFrame:
        """Return the rows that no other row equals in every column and beats in one.

        Parameters
        ----------
        by
            The columns that count; less is better.
        width, length
            (from, to), in the units of the table. The smallest quilt takes the least of everything, so a front is
            useful among quilts of similar size.

        Notes
        -----
        Points that need more cloth than on hand are left out.
        """
        return self.table.iloc[self.find_front(by, width, length)]

    def find_front(self, by: Sequence[str] = FOUR, width: Bounds = ANY, length: Bounds = ANY) -> list[int]:
        """Return the places in the table of the rows of `front`."""
        table = self.table
        fits = table["Pieces short"].fillna(1).to_numpy() == 0
        for (least, most), column in zip((width, length), self.sizes, strict=True):
            fits &= table[column].between(least - SLACK, most + SLACK).to_numpy()
        places = [int(place) for place in fits.nonzero()[0]]
        columns = [self.cloth if name == "Cloth" else name for name in by]
        return [places[i] for i in find_front(table.iloc[places], columns)]

    def find_study(self, place: int) -> Study:
        """Return the study of the point in a row of the table.

        Raises
        ------
        KitError
            A row missing from the table, or a point that cannot be made.
        """
        if not 0 <= place < len(self.points):
            raise KitError(f"The sweep has no row {place}", needed=f"0 to {len(self.points) - 1}", do="see its table")
        folder = None if self.study.folder is None else Path(self.study.folder)
        return study_from_keys(self.points[place].keys, place=f"row {place}", folder=folder)

    def make_pattern(self, place: int) -> Pattern:
        """Return the pattern of the point in a row of the table, made again because a table holds only figures."""
        return make_pattern(self.find_study(place))


def _show(value: Any) -> Any:
    """Return a value for a cell: a list as text."""
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else value
