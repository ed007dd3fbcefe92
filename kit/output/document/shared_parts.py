"""What the sizes of one design have in common, told with the first size alone."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from kit.output.words.strings import say

FIGURE = re.compile(r"[\d½¼¾⅛⅜⅝⅞][\d½¼¾⅛⅜⅝⅞⁄.\u00a0\u202f]*(?<![.\u00a0\u202f])")
"""A number, with its fraction."""
WORD = re.compile(r"<text[^>]*>([^<]*)<")
"""The words of a picture."""


def tell_pictures_once(sizes: Sequence[Mapping[str, Any]], pictures: dict[str, str]) -> list[dict[str, Any]]:
    """Return the sewing of every size, the pictures of a unit that is sewn as in the first size left out there.

    A unit is sewn alike if its steps have the same words but for numbers, and pictures of the same parts. The words
    stay whole, so every size can be followed by itself.

    Parameters
    ----------
    sizes
        The sewing of each size: units with their steps.
    pictures
        File name -> SVG text; those that are left out are taken from it.
    """
    first, *others = sizes
    drawn = {_sign(unit, pictures): unit for unit in first["units"]}
    told = [dict(first)]
    for size in others:
        units = []
        for unit in size["units"]:
            model = drawn.get(_sign(unit, pictures))
            if model is None or not unit["steps"]:
                units.append(unit)
                continue
            for step in unit["steps"]:
                pictures.pop(step["picture"]["file"], None)
                pictures.pop((step.get("near") or {"file": ""})["file"], None)
            said = say("pictures_as", label=first["label"].partition(": ")[0], steps=_name_steps(model["steps"]))
            bare = [{**step, "picture": None, "near": None, "why": ""} for step in unit["steps"]]
            units.append({**unit, "steps": bare, "pictures": said})
        told.append({**size, "units": units})
    return told


def tell_maps_once(sizes: Sequence[Mapping[str, Any]], pictures: dict[str, str]) -> list[dict[str, Any]]:
    """Return the sewing of every size, without the maps that show the same letters at the same places as the first."""
    first, *others = sizes
    shown = _read_map(first, pictures)
    told = [dict(first)]
    for size in others:
        if _read_map(size, pictures) != shown:
            told.append(dict(size))
            continue
        for part in size["map"]["parts"]:
            pictures.pop(part["picture"]["file"], None)
        said = say("map_as", label=first["label"].partition(": ")[0])
        told.append({**size, "map": {**size["map"], "intro": said, "parts": [], "rows": [], "table": None}})
    return told


def _read_map(size: Mapping[str, Any], pictures: Mapping[str, str]) -> object:
    """Return what a map says: how it lies, its letters in their order, and its table."""
    found = size["map"]
    parts = [
        (round(part["picture"]["ratio"], 1), WORD.findall(pictures[part["picture"]["file"]]), part["said"])
        for part in found["parts"]
    ]
    marks = [_count_marks(pictures[part["picture"]["file"]]) for part in found["parts"]]
    return parts, marks, found["rows"], found["table"]


def _sign(unit: Mapping[str, Any], pictures: Mapping[str, str]) -> tuple[object, ...]:
    """Return what two units that are sewn alike have in common."""
    steps = [
        (
            step["number"] == "", _blank(step["text"]), tuple(_blank(text) for item in step["items"] for text in item),
            _blank(step["result"]), _count_marks(pictures.get(step["picture"]["file"], "")),
            tuple(_list_ends(pictures.get(step["picture"]["file"], ""))),
        )
        for step in unit["steps"]
    ]  # fmt: skip
    return _blank(unit["heading"]), _blank(unit["parts"]), unit["sets"] == "", unit["top"], tuple(steps)


def _count_marks(svg: str) -> tuple[int, ...]:
    return tuple(svg.count(f"<{mark}") for mark in ("path", "polygon", "polyline", "line"))


def _list_ends(svg: str) -> list[str]:
    """Return the letters at the ends of seams in a picture, as they are drawn."""
    return [word for word in WORD.findall(svg) if word.islower()]


def _blank(text: str) -> str:
    """Return a text with its numbers blanked."""
    return FIGURE.sub("#", text)


def _name_steps(steps: Sequence[Mapping[str, Any]]) -> str:
    """Return the steps as they are headed: "step 4", "steps 4 to 9"."""
    numbers = [number for step in steps for number in re.findall(r"\d+", step["number"])]
    if not numbers:
        return say("pictures_there")
    if len(set(numbers)) == 1:
        return say("step_named", number=numbers[0])
    return say("steps_named", first=numbers[0], last=numbers[-1])


def tell_chains_once(chains: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the chains of every size, those that are as in the first size as a sentence."""
    first = chains[0] if chains else {}
    name = str(first.get("label", "")).partition(": ")[0]
    return [
        {**one, "rows": [], "intro": say("all_as", label=name)}
        if one is not first and one["rows"] == first["rows"] and one["intro"] == first["intro"]
        else dict(one)
        for one in chains
    ]


def tell_sections_once(sections: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return sections of every size, in later sizes without the lines and pictures that they share with the first.

    A section that is wholly as in the first size becomes one line; one that is not ends with a sentence for the rest.
    """
    first = sections[0]["label"] if sections else ""
    models = {section["heading"]: section for section in sections if section["label"] == first}
    told: list[dict[str, Any]] = []
    for section in sections:
        model = models.get(section["heading"])
        if model is None or section["label"] == first:
            told.append(dict(section))
            continue
        lines = [line for line in section["lines"] if line not in model["lines"]]
        name = first.partition(": ")[0]
        if len(lines) == len(section["lines"]):
            told.append(dict(section))
        elif lines:
            told.append({**section, "lines": [*lines, say("rest_as", label=name)]})
        else:
            told.append({**section, "lines": [say("all_as", label=name)], "picture": None})
    return told


def tell_angles_once(drawn: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the pictures among the cutting; that of angled cuts, which has no measures, once for all sizes alike."""
    told: list[dict[str, Any]] = []
    for one in drawn:
        angled = one["heading"] == say("angled_head")
        if not angled:
            told.append(dict(one))
        elif all((other["heading"], other["lines"]) != (one["heading"], one["lines"]) for other in told):
            told.append({**one, "label": ""})
    return told
