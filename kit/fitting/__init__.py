"""Fitting: a study brought to a wanted size, sizes of beds, and block sizes that divide well."""

from kit.fitting.beds import aim, read_beds
from kit.fitting.fit import fit
from kit.fitting.friendly import friendly_sizes, mix_parts

__all__ = ["aim", "fit", "friendly_sizes", "mix_parts", "read_beds"]
