"""The archive of all files: the same bytes whenever it is made, and a manifest that tells a changed file."""

import hashlib
from io import BytesIO
from zipfile import ZipFile

from kit.output.files.archive import MANIFEST, bundle

CONTENTS = {"b/two.svg": b"<svg/>", "one.csv": "½, שלום".encode()}


def test_the_same_files_in_any_order_give_the_same_bytes():
    assert bundle(CONTENTS) == bundle(dict(reversed(CONTENTS.items())))
    assert bundle(CONTENTS) != bundle({**CONTENTS, "one.csv": b"other"})


def test_every_file_comes_out_as_it_went_in():
    with ZipFile(BytesIO(bundle(CONTENTS))) as archive:
        assert archive.testzip() is None
        assert {name: archive.read(name) for name in archive.namelist() if name != MANIFEST} == CONTENTS


def test_the_manifest_holds_the_hash_of_every_file():
    with ZipFile(BytesIO(bundle(CONTENTS))) as archive:
        lines = archive.read(MANIFEST).decode().splitlines()
    assert lines == [f"{hashlib.sha256(CONTENTS[name]).hexdigest()}  {name}" for name in sorted(CONTENTS)]
