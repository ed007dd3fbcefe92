"""Zips that nobody honest packs: each maker takes the files of an honest one and returns the bytes of a bad one."""

import io
import stat
import warnings
import zipfile

HONEST = zipfile.ZIP_STORED


def read_files(path):
    with zipfile.ZipFile(path) as packed:
        return {entry.filename: packed.read(entry) for entry in packed.infolist()}


def write_zip(entries, method=HONEST):
    """Return the bytes of a zip of (name or ZipInfo, data) pairs, written as they stand."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", method) as packed, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of names that are there twice: that is what is wanted
        for name, data in entries:
            entry = name if isinstance(name, zipfile.ZipInfo) else _describe(name, method)
            packed.writestr(entry, data)
    return made.getvalue()


def _describe(name, method):
    entry = zipfile.ZipInfo("x")
    entry.filename = entry.orig_filename = name
    entry.compress_type = method
    entry.external_attr = 0o100644 << 16
    return entry


def add(name, data=b"x"):
    return lambda files: write_zip([*files.items(), (name, data)])


def add_kind(name, kind, data=b"tideline.toml"):
    def make(files):
        entry = _describe(name, HONEST)
        entry.create_system, entry.external_attr = 3, (kind | 0o777) << 16
        return write_zip([*files.items(), (entry, data)])

    return make


def change(name, edit):
    return lambda files: write_zip({**files, name: edit(files[name])}.items())


def drop(name):
    return lambda files: write_zip([(held, data) for held, data in files.items() if held != name])


def swell(name, size):
    """Add a file of zeros that unpacks to `size` bytes from a thousandth of them."""
    return lambda files: write_zip([*files.items(), (name, bytes(size))], zipfile.ZIP_DEFLATED)


def patch_bytes(old, new):
    """Change the raw bytes of the zip wherever they stand."""
    return lambda files: write_zip(files.items()).replace(old, new)


LINK, FIFO, DEVICE = stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR
