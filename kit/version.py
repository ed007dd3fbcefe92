"""The version of the kit, as its installed package gives it."""

from importlib.metadata import PackageNotFoundError, version

try:
    __version__ = version("seamproof")
except PackageNotFoundError:  # a checkout that is read in place and not installed
    __version__ = "0+unknown"


def find_version(name: str) -> str:
    """Return the version of an installed package, or that it is not installed."""
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed"
