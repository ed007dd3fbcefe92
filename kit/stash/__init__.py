"""The stash: which designs the cloth on hand makes, what is left of it afterwards, and what it offers for finishing."""

from kit.buying_ways import compare_buying
from kit.stash.making_from_stash import fill_from_stash, match_stash
from kit.stash.offers import offer_stash
from kit.stash.putting_back import put_back

__all__ = ["compare_buying", "fill_from_stash", "match_stash", "offer_stash", "put_back"]
