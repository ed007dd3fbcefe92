"""Names of cloths on paper: fabrics that are cut from one cloth stand together, and so do their parts of the design."""

from collections.abc import Sequence

from kit.model.fabrics import Fabric


def list_together(fabrics: Sequence[Fabric], name: str) -> list[Fabric]:
    """Return the fabrics that are cut from the cloth of a fabric, that one first."""
    return [one for one in fabrics if one.name == name] + [one for one in fabrics if one.cloth == name]


def name_cloth_parts(fabrics: Sequence[Fabric], name: str) -> tuple[str, str]:
    """Return the names of a cloth, and the parts of the design that it fills.

    Prints of one part that are cut together are all named; a fabric in several parts has its own name alone.

    Examples
    --------
    >>> fog = Fabric("ground", "Fog", "#dfe6ea")
    >>> sashes = Fabric("sashing", "Fog sashes", "#dfe6ea", cloth="Fog")
    >>> name_cloth_parts([fog, sashes, Fabric("ground", "Foam", "#eeeeee", cloth="Fog")], "Fog")
    ('Fog, Foam', 'ground, sashing')
    """
    held = list_together(fabrics, name)
    if not held:
        return name, ""
    names = [one.name for one in held if one.slot == held[0].slot]
    return ", ".join(names), ", ".join(dict.fromkeys(one.slot for one in held))
