"""The [stash] table of a study: the file of the cloth on hand, and the fabrics that are taken from it."""

from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from kit.errors import StudyError
from kit.lengths import write_exact
from kit.model.stash import Stash, StashCloth
from kit.study.stash_file import open_stash


def take_from_stash(raw: Mapping[str, Any], place: str, folder: Path | None) -> Mapping[str, Any]:
    """Return the keys of a study with those of its stash under each fabric that names no form.

    A fabric that bears the name of a cloth in the stash, and says nothing of its form, is that cloth, with all that
    there is of it. A study without a folder has its fabrics in full.

    Raises
    ------
    StudyError
        A stash file that is missing, outside the folder of the study, or wrong.
    """
    table, fabrics = raw.get("stash"), raw.get("fabric")
    name = table.get("file") if isinstance(table, Mapping) else None
    if not isinstance(name, str) or not isinstance(fabrics, list | tuple) or folder is None:
        return raw
    if all(not isinstance(one, Mapping) or "form" in one for one in fabrics):
        return raw
    stash = open_stash(find_beside(folder, name, place))
    cloths = {cloth.name: cloth for cloth in stash.cloths}
    filled = []
    for one in fabrics:
        cloth = (
            cloths.get(str(one.get("name")).strip())
            if isinstance(one, Mapping) and not {"form", "cloth"} & {*one}
            else None
        )
        filled.append(one if cloth is None else _fill(one, stash, cloth))
    return {**raw, "fabric": filled}


def _fill(one: Mapping[str, Any], stash: Stash, cloth: StashCloth) -> dict[str, Any]:
    """Return the keys of a fabric laid over those of its cloth."""
    fabric = stash.fabric(cloth, "slot")
    kept: dict[str, Any] = {"colour": fabric.colour, "form": fabric.form, "width": write_exact(fabric.width)}
    if fabric.length is not None:
        kept["length"] = write_exact(fabric.length)
    for key in ("count", "one_way", "nap", "shrinkage", "washed", "lot"):
        value = getattr(fabric, key)
        if value not in (None, False, 0.0) or (value is False and key == "washed"):
            kept[key] = value
    return kept | dict(one)


def find_beside(folder: Path, name: str, place: str = "study") -> Path:
    """Return the path of the stash of a study, in its folder or below it.

    Raises
    ------
    StudyError
        A path that leaves the folder.
    """
    parts = PurePosixPath(name).parts
    path = folder.joinpath(*parts)
    odd = not parts or PurePosixPath(name).is_absolute() or ".." in parts or "\\" in name or ":" in name or "\0" in name
    if odd or not path.resolve().is_relative_to(folder.resolve()):
        raise StudyError(
            f"{place}: `stash.file` is `{name}`, outside the study's folder", needed="a path within that folder",
            do='keep the stash beside its studies and write for instance file = "stash.toml"',
        )  # fmt: skip
    return path
