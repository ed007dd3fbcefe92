"""Random designs: the keys of every family and the tables of every setting, possible or not.

A seed draws them for the sweep in random_studies.py, hypothesis for the tests.
"""

from math import sqrt
from random import Random
from typing import Any

ROOT2 = sqrt(2)
SLOTS = ("tide", "foam", "kelp", "rope")
ROUND = ("counter-clockwise", "clockwise")


class Dice:
    """Draws lengths of whole eighths as text, and lists, from a source of chance: a seeded one, or hypothesis's."""

    def __init__(self, source: Random) -> None:
        self.choice, self.randint, self.random = source.choice, source.randint, source.random
        self.randrange = source.randrange

    def length(self, low: float, high: float) -> str:
        """Return a length between two, in inches."""
        return f"{self.randint(int(low * 8) + 1, max(int(low * 8) + 1, int(high * 8))) / 8:g} in"

    def some(self, values: tuple[Any, ...], low: int, high: int) -> list[Any]:
        """Return a few of the values, repeats allowed."""
        return [self.choice(values) for _ in range(self.randint(low, high))]

    def turns(self, words: tuple[str, ...]) -> list[str]:
        """Return rows of turns."""
        return [" ".join(self.some(words, 1, 2)) for _ in range(self.randint(1, 2))]


def seed_dice(seed: int) -> Dice:
    """Return dice that fall the same way each time."""
    return Dice(Random(seed))  # noqa: S311  studies are drawn with them, no secrets


QUARTER, HALF = ("0", "90", "180", "270"), ("0", "180")


def _bargello(dice: Dice, a: float) -> dict[str, Any]:
    return {
        "strip_cut": dice.length(6 * a, 3.5), "strip_slots": dice.some(SLOTS, 2, 4), "loops": dice.randint(1, 2),
        "widths_cut": [dice.length(4 * a, 3) for _ in range(dice.randint(1, 3))],
        "shifts": [dice.randint(-8, 8) / 2 for _ in range(dice.randint(1, 4))],
    }  # fmt: skip


def _braid(dice: Dice, a: float) -> dict[str, Any]:
    keys: dict[str, Any] = {
        "rows": 1, "pairs": dice.randint(4, 9), "strip_cut": dice.length(5 * a, 3.5),
        "column_finished": dice.length(3, 8), "blades": dice.choice(("angled", "rectangles")),
        "start": dice.choice(("square", "triangle", "open")), "running": dice.choice(("same", "alternate")),
        "accents": dice.choice(("none", "left", "right", "both")), "sides": dice.choice(("one slot", "two slots")),
    }  # fmt: skip
    if dice.random() < 0.4:
        keys["length_finished"] = dice.length(2, 24)
    return keys


def _chevron(dice: Dice, a: float) -> dict[str, Any]:
    strips = dice.randint(1, 5)
    return {
        "strips": strips, "strip_cut": dice.length(4 * a, 4), "column_finished": dice.length(2 * a, 6),
        "points": dice.choice(("up", "down")), "strip_slots": dice.some(SLOTS, 1, 3),
        "mirror_slots": dice.some(SLOTS, 0, 3), "kind": "herringbone" if strips > 3 else "chevron",
    }  # fmt: skip


def _star(dice: Dice, a: float) -> dict[str, Any]:
    return {
        "drafting": dice.choice(("diamonds", "half squares")), "block_finished": dice.length(7 * a, 14),
        "point_slots": dice.some(SLOTS, 1, 4), "turns": dice.turns(QUARTER),
    }  # fmt: skip


def _geese(dice: Dice, a: float) -> dict[str, Any]:
    return {
        "geese": dice.randint(1, 4), "goose_finished": dice.length(2 * a, 3), "goose_slots": dice.some(SLOTS, 1, 3),
        "direction": dice.choice(("up", "down", "left", "right")), "running": dice.choice(("same", "alternate")),
    }  # fmt: skip


def _grid(dice: Dice, a: float) -> dict[str, Any]:
    across, down = dice.randint(1, 3), dice.randint(1, 3)

    def cell() -> str:
        kind = dice.randrange(4)
        if kind == 0:
            return ":".join(dice.some(SLOTS, 4, 4))
        return dice.choice(SLOTS) if kind == 1 else dice.choice(SLOTS) + dice.choice("/\\") + dice.choice(SLOTS)

    keys: dict[str, Any] = {
        "pattern": [" ".join(cell() for _ in range(across)) for _ in range(down)],
        "cell_finished": dice.length(5 * a, 4), "symmetry": dice.choice(("none", "none", "mirrored", "turned")),
        "turns": dice.turns(QUARTER if across == down else HALF),
    }  # fmt: skip
    if dice.random() < 0.3:
        keys["column_widths"] = dice.some((1, 2, 3), across, across)
    return keys


def _cabin(dice: Dice, a: float) -> dict[str, Any]:
    rounds = dice.randint(1, 3)
    count = dice.choice((1, rounds, 4 * rounds))
    return {
        "rounds": rounds, "centre_finished": dice.length(2 * a, 4),
        "log_finished": [dice.length(2 * a, 2.5) for _ in range(count)],
        "order": dice.choice((*ROUND, "courthouse")), "turns": dice.turns(QUARTER if count <= rounds else HALF),
    }  # fmt: skip


def _pinwheel(dice: Dice, a: float) -> dict[str, Any]:
    return {
        "block_finished": dice.length(5 * a, 12), "sails": dice.choice(("single", "double")),
        "direction": dice.choice(ROUND), "turns": dice.turns(("0", "90")),
    }  # fmt: skip


def _sixty(dice: Dice, a: float) -> dict[str, Any]:
    return {
        "shape": dice.choice(("triangles", "diamonds", "hexagons", "tumbling blocks")),
        "edge_finished": dice.length(4 * a, 4), "across": dice.randint(1, 4), "down": dice.randint(1, 4),
    }  # fmt: skip


def _nested(dice: Dice, a: float) -> dict[str, Any]:
    rounds = dice.randint(1, 4)
    return {"rounds": rounds, "block_finished": dice.length(2 * a * ROOT2 ** (rounds + 1), 18)}


def _strings(dice: Dice, a: float) -> dict[str, Any]:
    return {
        "panel_finished": dice.length(4 * a, 10), "strip_slots": dice.some(SLOTS, 1, 3), "turns": dice.turns(QUARTER),
        "strips_cut": [dice.length(4 * a, 3) for _ in range(dice.randint(1, 4))],
    }  # fmt: skip


def _strips(dice: Dice, a: float) -> dict[str, Any]:
    rows, across = dice.randint(1, 3), dice.randint(1, 4)
    keys: dict[str, Any] = {
        "strip_cut": dice.length(4 * a, 3.5),
        "pattern": [" ".join(dice.some(SLOTS, across, across)) for _ in range(rows)],
        "turns": dice.turns(QUARTER if rows in (1, across) else HALF),
    }  # fmt: skip
    if dice.random() < 0.2:
        keys["row_cut"] = dice.length(4 * a, 6)
    return keys


def _frame(dice: Dice, a: float) -> dict[str, Any]:
    return {
        "centre_finished": dice.length(4 * a, 8), "panel_finished": dice.length(4, 7), "direction": dice.choice(ROUND),
        "centre": dice.choice(("plain", "square in a square")), "panels": dice.choice(("plain", "braid")),
        "corners": dice.choice(("none", "triangles")), "strip_cut": dice.length(5 * a, 3),
        "blades": dice.choice(("angled", "rectangles")), "start": dice.choice(("square", "triangle", "open")),
        "accents": dice.choice(("none", "left")),
    }  # fmt: skip


def _whirl(dice: Dice, a: float) -> dict[str, Any]:
    return {
        "centre_finished": dice.length(2 * a, 5), "rectangle_finished": dice.length(2 * a, 5),
        "direction": dice.choice(ROUND), "rectangle_slots": dice.some(SLOTS, 1, 4),
    }  # fmt: skip


FAMILIES = {
    "bargello": _bargello, "braid": _braid, "chevron": _chevron, "eight-pointed star": _star, "flying geese": _geese,
    "grid blocks": _grid, "log cabin": _cabin, "pinwheel": _pinwheel, "sixty degrees": _sixty,
    "square in square": _nested, "string panels": _strings, "strips": _strips, "turned frame": _frame, "whirl": _whirl,
}  # fmt: skip


def _sash(dice: Dice, a: float, **more: Any) -> dict[str, Any]:
    return {"finished": dice.length(2 * a, 2.5), "outer": dice.random() < 0.5, **more}


def _point(dice: Dice) -> dict[str, Any]:
    keys: dict[str, Any] = {}
    if dice.random() < 0.5:
        keys["side_cut"] = dice.choice(("quarter-square", "half-square"))
        keys["corner_cut"] = dice.choice(("half-square", "quarter-square"))
    return keys


def draw_settings(dice: Dice, a: float) -> dict[str, dict[str, Any]]:
    """Return one of every setting, its lengths drawn."""
    return {
        "straight": {},
        "alternate": {"alternate": {"first": dice.choice(("block", "plain"))}},
        "sashing": {"sashing": _sash(dice, a)},
        "cornerstones": {"sashing": _sash(dice, a, cornerstones=True)},
        "offset": {"offset": {"shifts": ["whole", dice.length(2 * a, 5)]}},
        "offset with sashing": {
            "offset": {"shifts": ["whole", dice.length(2 * a, 5)]}, "sashing": _sash(dice, a)
        },
        "on point": {"on_point": _point(dice)},
        "on point, float": {"on_point": _point(dice) | {"float_finished": dice.length(0, 2)}},
        "on point, oversize": {
            "on_point": {"oversize": dice.length(0, 1)} | ({"float_finished": "1 in"} if dice.random() < 0.5 else {})
        },
        "on point, alternate": {"on_point": {}, "alternate": {}},
        "on point, sashing": {
            "on_point": {}, "sashing": _sash(dice, a) | {"outer": True, "cornerstones": dice.random() < 0.5}
        },
        "bars": {"bars": _sash(dice, a)},
        "bars, drops": {"bars": _sash(dice, a) | {"drops": ["whole", dice.length(2 * a, 5)]}},
        "bars, on point": {
            "bars": _sash(dice, a), "on_point": {"float_finished": "1/2 in"} if dice.random() < 0.5 else {}
        },
        "quarters turned": {"quarters": {"images": "turned"}},
        "quarters mirrored": {"quarters": {"images": "mirrored"}},
        "quarters with paths": {
            "quarters": {"images": dice.choice(("turned", "mirrored")), "between_finished": dice.length(2 * a, 3)}
        },
    }  # fmt: skip


def draw_border(dice: Dice, a: float) -> dict[str, Any]:
    kind = dice.choice(("butted", "mitred", "cornerstones", "turned", "squares", "half squares", "geese", "teeth"))
    keys: dict[str, Any] = {"finished": dice.length(4 * a, 4)}
    if kind in ("butted", "mitred", "cornerstones", "turned"):
        return keys | {"corners": kind, "first": dice.choice(("sides", "ends"))}
    keys |= {"pieces": kind, "fit": dice.choice(("spacer", "spacer", "stretch", "exact"))}
    if dice.random() < 0.5:
        keys["unit_finished"] = dice.length(4 * a, 5)
    if dice.random() < 0.3:
        keys["running"] = "mirrored"
    return keys


SETTINGS = tuple(draw_settings(seed_dice(0), 0.25))
"""What the settings are called."""
