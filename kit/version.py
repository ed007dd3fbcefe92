"""The version of the kit, as its installed package gives it."""

from importlib.metadata import PackageNotFoundError, version

try:
    __version__ = version("seamproof")
except PackageNotFoundError:  # a checkout that is read in place and not installed
    __version__ = "0+unknown"
