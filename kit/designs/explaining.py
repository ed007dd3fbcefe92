"""Mistakes in the keys of a study file, in the words of the kit."""

import re
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from kit.errors import StudyError


def explain_refusal(error: ValidationError, model: type[BaseModel], place: str, prefix: str) -> StudyError:
    """Return one mistake found by pydantic, an unknown key first, in the words of the kit."""
    found = min(error.errors(), key=lambda entry: entry["type"] != "extra_forbidden")
    path = [part for part in found["loc"] if not (isinstance(part, str) and part.startswith("function-"))]
    key = _shorten(prefix + ".".join(str(part + 1) if isinstance(part, int) else str(part) for part in path))
    value = show_value(found.get("input"))
    kind = found["type"]
    if kind == "extra_forbidden":
        known = _known_keys(model, path[:-1])
        near = get_close_matches(str(path[-1])[:60], known, n=1)
        return StudyError(
            f"{place}: unknown key `{key}`",
            needed="one of " + ", ".join(known),
            do=f"write `{near[0]}`" if near else "correct or remove it",
        )
    if kind == "missing":
        return StudyError(f"{place}: `{key}` is missing", needed=f"`{key}`", do=f"add the key `{path[-1]}`")
    if kind == "value_error":
        cause = str(found["ctx"]["error"]) if "ctx" in found else found["msg"]
        return StudyError(f"{place}: `{key}`: {cause}")
    if kind == "string_pattern_mismatch":
        return StudyError(
            f"{place}: `{key}` is {value}", needed="a colour of the form #rrggbb", do='write for instance "#dfe6ea"'
        )
    needed = _say(found["msg"])
    if needed == A_TABLE and (known := _known_keys(model, path)) != _known_keys(model, path[:-1]):
        needed = f"{A_TABLE}: {', '.join(known)}"
    return StudyError(f"{place}: `{key}` is {value}", needed=needed, do="correct that value")


A_TABLE = "a table of keys"
_WORDS = (
    (r"^Input should be ", ""),
    (r"^String should have ", "a text of "),
    (r"^Tuple should have (.*?) items? after validation.*", r"a list of \1"),
    (r"(?<!\S)greater than or equal to ", "at least "),
    (r"(?<!\S)less than or equal to ", "at most "),
    (r"a valid dictionary.*", A_TABLE),
    (r"a valid tuple", "a list"),
    (r"a valid string", "a text in quotes"),
    (r"a valid integer.*", "a whole number"),
)
"""Phrases of pydantic, and the kit's phrase for each."""


def _say(text: str) -> str:
    for pattern, plain in _WORDS:
        text = re.sub(pattern, plain, text)
    return text


def _known_keys(model: type[BaseModel], path: list[int | str]) -> list[str]:
    """Return the known keys at a place in the file."""
    for part in path:
        if isinstance(part, str) and part in model.model_fields:
            model = _find_model(model.model_fields[part].annotation) or model
    return list(model.model_fields)


def _find_model(kind: Any) -> type[BaseModel] | None:
    """Return the table of keys in an annotation: the annotation itself, or a part of a union or a list."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind
    return next((model for part in get_args(kind) if (model := _find_model(part))), None)


def _shorten(text: str, limit: int = 80) -> str:
    return text if len(text) <= limit else f"{text[: limit - 3]}..."


def show_value(value: object) -> str:
    """Return a value as a sentence shows it: short, and tables by their kind."""
    if isinstance(value, str | int | float | bool):
        return _shorten(repr(value), 60)
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    return "a table" if isinstance(value, dict) else f"a {type(value).__name__}"
