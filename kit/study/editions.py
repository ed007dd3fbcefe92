"""Editions: one study kept in several sizes, each a study of its own that differs in a few keys."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from kit.errors import StudyError
from kit.study.overrides import freeze_edition, split_editions
from kit.study.read_file import read_edition
from kit.study.study_record import Study
from kit.study.write_file import study_keys


def editions(study: Study) -> tuple[Study, ...]:
    """Return every edition of a study as a study of its own, in the order of the file.

    Each has the study's keys, with the edition's keys in their place; its `edition` is the number and the edition's
    name.

    Parameters
    ----------
    study
        From `open_study`.

    Returns
    -------
    tuple of Study
        The study itself where it has no editions.

    Raises
    ------
    StudyError
        Names the edition, the key and the remedy; opening a study from a file has already built each edition.

    Examples
    --------
    >>> from kit.study import open_study
    >>> [one.edition for one in editions(open_study("data/studies/lamplight.toml"))]
    ['1, wall', '1, throw', '1, queen']
    """
    if not study.editions:
        return (study,)
    return tuple(read_edition(study, edition.name, edition.overrides()) for edition in study.editions)


def add_edition(study: Study, name: str, other: Study) -> Study:
    """Return a study with the other study as a further edition: the keys that differ become the edition's.

    Parameters
    ----------
    study
        The study; if it has no editions yet, it is itself kept as the first, `as written`.
    name
        The name of the edition; an edition of the same name is replaced.
    other
        A study of the same family, for instance a way to a size found by `kit.fit`.

    Raises
    ------
    StudyError
        A name that is not allowed, or another study without a key that this one sets.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from kit.study import open_study
    >>> study = open_study("data/studies/gull-point.toml")
    >>> longer = replace(study, design=study.design.model_copy(update={"geese": 24}))
    >>> [one.edition for one in editions(add_edition(study, "long", longer))]
    ['1, as written', '1, long']
    """
    base, wanted = (_list_keys(replace(one, editions=(), edition=study.edition)) for one in (study, other))
    overrides = _find_changes(base, wanted, "")
    split_editions({"edition": {name: overrides}}, "This study")
    kept = study.editions or (freeze_edition("as written", {}, "This study"),)
    edition = freeze_edition(name, overrides, f"edition `{name}`")
    found = replace(study, editions=(*(one for one in kept if one.name != name), edition))
    made = read_edition(study, name, overrides)
    if replace(made, edition=other.edition) != replace(other, editions=()):
        raise StudyError(
            f"Edition `{name}` would not give the wanted study",
            needed="a study whose keys can replace those of this one",
            do="save it as a study of its own",
        )
    return found


def _list_keys(study: Study) -> dict[str, Any]:
    """Return the keys of a study, with the design keys at their default too, so that they can be put back."""
    keys = study_keys(study)
    whole = study.design.model_dump(mode="json", exclude_none=True, exclude={"unit"})
    return keys | {"design": whole | keys["design"]}


def _find_changes(base: Mapping[str, Any], wanted: Mapping[str, Any], key: str) -> dict[str, Any]:
    """Return the keys that turn the one study into the other."""
    left_out = [f"{key}.{name}" if key else name for name in base if name not in wanted]
    if left_out:
        raise StudyError(
            f"`{left_out[0]}` is set here and left out there",
            needed="keys that an edition can override",
            do="save the other as a study of its own",
        )
    changes: dict[str, Any] = {}
    for name, value in wanted.items():
        old = base.get(name)
        if isinstance(old, Mapping) and isinstance(value, Mapping):
            inside = _find_changes(old, value, f"{key}.{name}" if key else name)
            if inside:
                changes[name] = inside
        elif old != value:
            changes[name] = value
    return changes
