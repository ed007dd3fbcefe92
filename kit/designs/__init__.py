"""Front ends: the parameters of a family of quilts become a `Patchwork`."""

from kit.designs.braid import Braid
from kit.designs.family import Family
from kit.designs.log_cabin import LogCabin
from kit.designs.strips import Strips

FAMILIES: dict[str, type[Family]] = {
    "braid": Braid,
    "log cabin": LogCabin,
    "strips": Strips,
}
"""Every family by the name that a study file gives it."""

__all__ = ["FAMILIES", "Braid", "Family", "LogCabin", "Strips"]
