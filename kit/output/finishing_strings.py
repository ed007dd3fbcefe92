"""The sentences of the finishing, which stand with the other house strings so that they can be translated."""

from collections.abc import Mapping
from types import MappingProxyType

from kit.output.strings import TEXTS

FINISHING: Mapping[str, str] = MappingProxyType(TEXTS["finishing"])


def tell(key: str, **facts: object) -> str:
    """Return a sentence of the finishing with its facts filled in.

    Examples
    --------
    >>> tell("spool_many", count=3)
    '3 spools'
    """
    return FINISHING[key].format(**facts)
