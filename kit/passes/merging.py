"""Merging: pieces with an equal side are joined into blocks, blocks into larger ones, until one row of blocks is left."""
from collections.abc import Sequence
from kit.passes.packing import Kind, Layout
def merge_pieces(kinds: Sequence[Kind], width: int, best: int, bound: int) -> Layout:
    from kit.passes.packing import pack_by_kind
    return pack_by_kind(kinds, width, turned=True)
