"""The keys of new quilts: of a family, in a system of measures, with colours taken from a picture of cloth."""

from collections import Counter
from collections.abc import Mapping, Sequence
from copy import deepcopy
from pathlib import Path
from typing import Any

from PIL import Image, ImageOps

from kit.designs import FAMILIES
from kit.errors import KitError
from kit.explore.gallery import write_example
from kit.lengths import System
from kit.study import Study, study_from_keys, study_keys

CHOSEN = tuple(name for name in FAMILIES if name not in ("lines", "outlines", "units"))
"""The families that are begun by a choice; the others are drawn or composed."""
SAID = {
    "strips": "Strips\nrail fence, nine-patch",
    "turned frame": "Turned frame\nround a centre",
    "grid blocks": "Grid blocks\nsquares and triangles",
    "square in square": "Square in square",
    "eight-pointed star": "Eight-pointed star",
    "chevron": "Chevron\nor herringbone",
    "bargello": "Bargello\nwaves of strips",
    "sixty degrees": "Sixty degrees\nblocks, diamonds, hexagons",
    "whirl": "Whirl\nround a square",
}
"""What stands on the tile of a family, where its name alone says too little."""
SHARED = ("sashing", "border")
"""Keys of the design that every family has, and that a change of family keeps where the new one can be built so."""
LOOKS = ("name", "colour", "picture", "spread")
"""What stays of a fabric on hand, whose strips or squares were for the pieces of the old design."""
ROUND = "0.5 cm"
COLOURS = 5
"""Colours that are taken from a picture of cloth."""


def list_family_keys(
    family: str,
    title: str,
    system: System = "inch",
    colours: Sequence[str] = (),
    design: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Return the keys of a new quilt of a family, in its usual size.

    Parameters
    ----------
    family
        Its name in a study file.
    title
        The title of the quilt.
    system
        "metric" gives sizes in round centimetres.
    colours
        Colours to use in turn; without any, the kit's own.
    design
        Keys of the design besides.

    Raises
    ------
    KitError
        An unknown family, or keys that do not go together.
    """
    raw = write_example(family, design or {}) | {"title": title}
    for number, fabric in enumerate(raw["fabric"]):
        alone = sum(other["slot"] == fabric["slot"] for other in raw["fabric"]) == 1
        fabric["name"] = fabric["slot"].capitalize() if alone else fabric["name"].capitalize()
        if colours:
            fabric["colour"] = colours[number % len(colours)]
    if system == "metric":
        rounded = raw | {"measures": {"system": "metric", "round_sizes_to": ROUND}}
        raw = study_keys(study_from_keys(rounded, place="This design"))
        del raw["measures"]["round_sizes_to"]
    return raw


def change_family(study: Study, family: str) -> Study:
    """Return a quilt as one of another family: title, measures, fabrics, finishing and frames stay, the design is new.

    The fabrics go to the slots of the new design in their order; slots without one get colours of the kit. Wishes for
    single patches, for the quilting of parts and for other sizes belong to the old design and are left out.

    Raises
    ------
    KitError
        An unknown family, or a design that cannot be built with these measures.
    """
    keys = deepcopy(study_keys(study))
    shared = {key: keys["design"][key] for key in SHARED if key in keys["design"]}
    for kept in (shared, {}):
        try:
            return study_from_keys(_write_changed(keys, family, kept), place="This design")
        except KitError:
            if not kept:
                raise
    raise AssertionError(family)  # the last of the tries returns or raises


def _write_changed(keys: dict[str, Any], family: str, kept: Mapping[str, Any]) -> dict[str, Any]:
    new = list_family_keys(family, keys["title"], keys["measures"]["system"], design=kept)
    names = [fabric["name"] for fabric in keys["fabric"]]
    used = iter(keys["fabric"])
    fabrics = []
    for fabric in new["fabric"]:
        old = next(used, None)
        if old is not None and "cloth" not in old:
            bought = old.get("form", "yardage") == "yardage"
            fabrics.append((old if bought else {k: old[k] for k in LOOKS if k in old}) | {"slot": fabric["slot"]})
        else:
            while fabric["name"] in names:
                fabric["name"] += " 2"
            fabrics.append(fabric)
        names.append(fabrics[-1]["name"])
    left = {key: value for key, value in keys.items() if key in ("seed", "date", "cover", "measures", "finishing")}
    edition = keys["edition"] if isinstance(keys["edition"], str) else keys["edition"]["number"]
    sewing = {key: value for key, value in keys.get("sewing", {}).items() if key != "assembly"}
    return {
        "title": keys["title"], "edition": edition, **left, "design": new["design"], "fabric": fabrics,
        **({"sewing": sewing} if sewing else {}),
    }  # fmt: skip


def take_colours(path: Path) -> list[str]:
    """Return the colours of a picture of cloth, the one that covers most first: "#rrggbb".

    The picture is made small and its colours are put together by median cut.

    Raises
    ------
    KitError
        Not a picture.

    References
    ----------
    Heckbert, P., Color image quantization for frame buffer display, 1982: median cut (from memory).
    """
    try:
        with Image.open(path, formats=("PNG", "JPEG", "WEBP")) as picture:
            small = ImageOps.exif_transpose(picture).convert("RGB")
            small.thumbnail((160, 160))
            found = small.quantize(COLOURS, method=Image.Quantize.MEDIANCUT)
    except (OSError, ValueError, SyntaxError) as error:
        raise KitError(
            f"`{path.name}` is not a readable picture ({error})",
            needed="PNG, JPEG or WEBP",
            do="save it as one of these",
        ) from None
    palette = found.getpalette() or []
    counted = sorted(Counter(found.tobytes()).items(), key=lambda one: (-one[1], one[0]))
    return ["#{:02x}{:02x}{:02x}".format(*palette[3 * number : 3 * number + 3]) for number, _ in counted]
