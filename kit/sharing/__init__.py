"""Handing a study on: what made its result, the result kept and compared, and the whole as one file."""

from kit.sharing.packing import pack_study
from kit.sharing.results import compare_result, find_result, open_result, store_result
from kit.sharing.unpacking import unpack_study
from kit.sharing.versions import list_versions

__all__ = [
    "compare_result",
    "find_result",
    "list_versions",
    "open_result",
    "pack_study",
    "store_result",
    "unpack_study",
]
