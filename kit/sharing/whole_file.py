"""A file written whole or not at all."""

from pathlib import Path

from kit.errors import KitError


def write_whole(place: Path, data: bytes) -> Path:
    """Write bytes beside their place and move them there, so that a file broken off half way replaces nothing.

    Raises
    ------
    KitError
        When the file cannot be written.
    """
    try:
        beside = place.with_name(place.name + ".part")
        beside.write_bytes(data)
        beside.replace(place)
    except OSError as error:
        raise KitError(
            f"{place.name} cannot be written ({error.strerror})", needed="a folder with permission to write",
            do="choose another folder",
        ) from None  # fmt: skip
    return place
