"""Sharing a study: the versions behind its result, the stored and compared result, and everything in one file."""

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
