"""The house strings: every sentence of the printed pattern, from one file that can be translated.

They are in `english.toml`, with one table for each part of the work. A translation is another file with the same keys
and the same braces.
"""

import tomllib
from collections.abc import Mapping
from importlib.resources import files
from types import MappingProxyType
from typing import Any

TEXTS: Mapping[str, Any] = MappingProxyType(
    tomllib.loads(files("kit.output.words").joinpath("english.toml").read_text(encoding="utf-8"))
)
"""The whole file."""
LANGUAGE: str = TEXTS["language"]
"""Its tag in BCP 47."""
ENGLISH: Mapping[str, str] = MappingProxyType(TEXTS["pattern"])


def say(key: str, **facts: object) -> str:
    r"""Return a house string with its facts filled in.

    Parameters
    ----------
    key
        Name of the string.
    **facts
        What stands between its braces.

    Examples
    --------
    >>> say("step", number=3)
    'Step 3'
    """
    return ENGLISH[key].format(**facts)


FINISHING: Mapping[str, str] = MappingProxyType(TEXTS["finishing"])


def say_finishing(key: str, **facts: object) -> str:
    """Return a sentence of the finishing with its facts filled in.

    Examples
    --------
    >>> say_finishing("spool_many", count=3)
    '3 spools'
    """
    return FINISHING[key].format(**facts)
