"""A study as one file: the study, its pictures, its result and tables, the versions, and a list with their hashes."""

import os
import zipfile
from io import BytesIO
from pathlib import Path, PurePosixPath

from kit.errors import KitError
from kit.output.pictures.drawing import draw_top
from kit.output.pictures.raster import write_raster
from kit.pipeline import make_pattern
from kit.sharing.manifest import LARGEST_FILE, LARGEST_SUM, MANIFEST, check_names, write_manifest
from kit.sharing.results import ENDING, list_tables, make_result, write_result
from kit.sharing.versions import SOURCE
from kit.sharing.whole_file import write_whole
from kit.study import Study, open_study
from kit.study.stash_in_study import find_beside

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The date of every entry: the earliest in a zip, so that the day of packing changes no byte."""
PLAIN_FILE = 0o100644 << 16
VERSIONS = "versions.txt"


def pack_study(path: str | os.PathLike[str], target: str | os.PathLike[str]) -> Path:
    """Pack a study with everything behind its result into one zip.

    Open the study, make its pattern, gather the study's own bytes, its pictures, a picture of the quilt (PNG), the
    fresh result, every table as CSV and the versions; list them with their hashes; store them uncompressed, so that the
    bytes do not depend on a compression library.

    Parameters
    ----------
    path
        The study file.
    target
        The zip to write.

    Returns
    -------
    Path
        The zip.

    Raises
    ------
    KitError
        No study, or a study that cannot be made; a picture outside its folder; a zip that cannot be written.

    Notes
    -----
    The same study and versions give the same bytes on every machine. For a study with editions the result is that of
    the study itself.
    """
    place, goal = Path(path), Path(target)
    study = open_study(place)
    files = _gather(place, study)
    check_names([MANIFEST, *files])
    if sum(map(len, files.values())) > LARGEST_SUM:
        raise KitError(
            f"The study with its pictures is over {LARGEST_SUM // 10**6} megabytes",
            needed="less, so that it can be opened again", do="save the pictures smaller",
        )  # fmt: skip
    entries = {MANIFEST: write_manifest(place.name, study.fingerprint, files)} | dict(sorted(files.items()))
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as made:
        for name, data in entries.items():
            made.writestr(_describe(name), data)
    return write_whole(goal, packed.getvalue())


def _gather(place: Path, study: Study) -> dict[str, bytes]:
    """Return name -> bytes of everything but the manifest."""
    pattern = make_pattern(study)
    result = make_result(pattern)
    versions = [f"{name}=={number}" for name, number in result["versions"].items() if name != SOURCE]
    files = {
        place.name: place.read_bytes(),
        place.stem + ENDING: write_result(result).encode(),
        VERSIONS: "".join(f"{line}\n" for line in versions).encode(),
    }
    files[f"{place.stem}-quilt.png"] = write_raster(draw_top(pattern))
    files |= {f"tables/{name}.csv": text.encode() for name, text in list_tables(pattern).items()}
    for name in sorted({fabric.picture for fabric in study.fabrics if fabric.picture}):
        files[PurePosixPath(name).as_posix()] = _read_picture(place.parent, name)
    if study.stash:
        files[PurePosixPath(study.stash).as_posix()] = find_beside(place.parent, study.stash).read_bytes()
    return files


def _read_picture(folder: Path, name: str) -> bytes:
    """Return the bytes of a picture in the study's folder or below it."""
    path = folder.joinpath(*PurePosixPath(name).parts)
    try:
        inside = path.resolve().is_relative_to(folder.resolve())
        small = path.stat().st_size <= LARGEST_FILE
    except OSError as error:
        raise KitError(
            f"The picture `{name}` cannot be read ({error.strerror})", needed="a picture beside the study file",
            do="put it back",
        ) from None  # fmt: skip
    if not inside or not small:
        why = "is too large" if inside else "is outside the study's folder"
        raise KitError(f"The picture `{name}` {why}", needed="a picture in that folder", do="copy it there, smaller")
    return path.read_bytes()


def _describe(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, EARLIEST)
    entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_STORED, 3, PLAIN_FILE
    return entry
