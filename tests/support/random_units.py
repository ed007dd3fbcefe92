"""Random studies of units: trees of families, patches, rows, joins, copies about a point and settings, which close.

Every length that has to match another is written as an edge of a unit, so a tree closes whatever its strips and counts
are. Dice of random_designs.py throw for it: a seed's, or hypothesis's.
"""

from typing import Any

from random_designs import Dice

Tables = dict[str, dict[str, Any]]
STRIPS = ("2 in", "2 1/2 in", "3 in", "6.5 cm")
TURNS = ("", "(180)", "(mirror)", "(mirror 180)")


def _braid(dice: Dice) -> dict[str, Any]:
    return {
        "family": "braid", "pairs": dice.randint(5, 7), "column_finished": dice.choice(("6 in", "3 strips + 1 in")),
        "start": dice.choice(("square", "triangle")), "blade_slot": "blade",
    }  # fmt: skip


def _geese(dice: Dice) -> dict[str, Any]:
    return {
        "family": "flying geese", "geese": dice.randint(1, 4), "goose_finished": dice.choice(("2 in", "1 strip")),
        "direction": dice.choice(("up", "down", "left", "right")),
    }  # fmt: skip


def _cabin(dice: Dice) -> dict[str, Any]:
    return {"family": "log cabin", "rounds": dice.randint(1, 2), "log_finished": [dice.choice(("1 1/2 in", "1 strip"))]}


def _pinwheel(dice: Dice) -> dict[str, Any]:
    return {"family": "pinwheel", "block_finished": dice.choice(("6 in", "4 strips"))}


def _rectangle(dice: Dice) -> dict[str, Any]:
    return {
        "patch": "rectangle", "slot": "ground", "width_finished": dice.choice(("3 in", "2 strips")),
        "height_finished": dice.choice(("4 in", "3 strips")),
    }  # fmt: skip


LEAVES = {"braid": _braid, "geese": _geese, "cabin": _cabin, "pinwheel": _pinwheel, "plain": _rectangle}
AWAY = {"left": "right", "right": "left", "bottom": "top", "top": "bottom"}
"""The sides of a rectangle, each with the one across."""


def name_edge(unit: str, side: str) -> str:
    """Return what a unit calls a side: a braid has a start and an end."""
    return {"bottom": "start", "top": "end"}.get(side, side) if unit == "braid" else side


def _pair(dice: Dice, inner: str, tables: Tables, name: str) -> bool:
    """Lay copies side by side."""
    words = [f"{inner}{dice.choice(TURNS)}" for _ in range(dice.randint(1, 3))]
    tables[name] = {"rows": [" ".join(words)]}
    if dice.random() < 0.4:
        tables[name]["down"] = dice.randint(1, 3)
    return True


def _widen(dice: Dice, inner: str, tables: Tables, name: str) -> bool:
    """Join a plain strip, written by the edge that it lies along, to one side or to two opposite ones; turn it all."""
    side = dice.choice(tuple(AWAY))
    away, side = name_edge(inner, AWAY[side]), name_edge(inner, side)
    tables[f"{name}-strip"] = {
        "patch": "rectangle", "slot": "strip", "width_finished": f"{inner}.{side}", "height_finished": "3 in",
    }  # fmt: skip
    turn = dice.choice(("", "(30)", "(90)", "(mirror)", "(mirror 17.5)"))
    joined = [f"{inner}{turn}", f"{name}-strip.bottom to {inner}.{side}"]
    if dice.random() < 0.5:
        joined.append(f"{name}-strip(mirror).top to {inner}.{away}")
    tables[name] = {"join": joined}
    return True


def _roof(dice: Dice, inner: str, tables: Tables, name: str) -> bool:
    """Join half a square with its long edge to one side: not a rectangle any more."""
    side = name_edge(inner, dice.choice(tuple(AWAY)))
    tables[f"{name}-roof"] = {"patch": "right triangle", "slot": "sky", "long_finished": f"{inner}.{side}"}
    tables[name] = {"join": [inner, f"{name}-roof.long to {inner}.{side}"]}
    return False


def _fold(dice: Dice, inner: str, tables: Tables, name: str) -> bool:
    """Turn or mirror a copy about the middle of an edge."""
    images = dice.choice(("turned", "mirrored"))
    tables[name] = {"around": f"{inner}.left", "times": 2, "images": images}
    return True


def _quarter(dice: Dice, inner: str, tables: Tables, name: str) -> bool:
    """Mirror a quarter into the whole."""
    corner = dice.choice(("lower left", "lower right", "upper left", "upper right", 1, 3))
    tables[name] = {"around": inner, "times": 4, "corner": corner, "images": "mirrored"}
    return True


def _whirl(dice: Dice, inner: str, tables: Tables, name: str) -> bool:
    """Lay four copies round a square that is as long as their side, each along an edge: corners stay open."""
    edge = name_edge(inner, "bottom")
    tables[f"{name}-middle"] = {"patch": "square", "slot": "middle", "side_finished": f"{inner}.{edge}"}
    tables[name] = {"around": f"{inner}.{edge}", "times": 4, "centre": f"{name}-middle.{dice.choice(('left', 'top'))}"}
    return False


def _set(dice: Dice, inner: str, tables: Tables, name: str) -> bool:
    """Set it out with sashing or a border."""
    tables[name] = {"block": inner, "columns": dice.randint(1, 2), "border": [{"finished": "2 in", "slot": "border"}]}
    if dice.random() < 0.5:
        tables[name]["sashing"] = {"finished": "1 strip"}
    return True


INNER = (_pair, _widen, _fold, _quarter, _set)
LAST = (*INNER, _roof, _whirl)


def draw_units(dice: Dice) -> dict[str, Any]:
    """Return the [design] table of a study of units and its [unit] tables, under their keys in a study file."""
    kind = dice.choice(tuple(LEAVES))
    tables: Tables = {kind: LEAVES[kind](dice)}
    inner = kind
    depth = dice.randint(1, 3)
    for level in range(1, depth + 1):
        name = f"part-{level}" if level < depth else "whole"
        make = dice.choice(LAST if level == depth else INNER)
        make(dice, inner, tables, name)
        inner = name
    return {"design": {"family": "units", "top": inner, "strip_cut": dice.choice(STRIPS)}, "unit": tables}


def make_design(keys: dict[str, Any]) -> dict[str, Any]:
    """Return the keys as the family takes them, its units within the design."""
    return {**keys["design"], "unit": keys["unit"]}
