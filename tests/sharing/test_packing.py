"""A study as one file: the same bytes each time; opened it is the same; what was tampered with is refused by name."""

import hashlib
import json
import os
import zipfile
from pathlib import PurePosixPath, PureWindowsPath

import pytest
from hostile_zips import (
    DEVICE,
    FIFO,
    LINK,
    add,
    add_kind,
    change,
    drop,
    patch_bytes,
    read_files,
    swell,
    write_zip,
)
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from small_sweeps import SMALL

import kit
from kit.pipeline import make_pattern
from kit.sharing.manifest import LARGEST_FILE, MOST_FILES, check_name, check_names
from kit.sharing.results import compare_result, list_tables, open_result
from kit.study import open_study, save_study, study_from_keys, study_keys


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """Return a folder with a study whose one fabric is a picture in a folder below it."""
    folder = tmp_path_factory.mktemp("studies")
    (folder / "fabrics").mkdir()
    Image.new("RGB", (12, 12), (0x2F, 0x5D, 0x7C)).save(folder / "fabrics/weed.png")
    keys = study_keys(SMALL)
    del keys["fabric"][0]["colour"]
    keys["fabric"][0]["picture"] = "fabrics/weed.png"
    save_study(study_from_keys(keys, folder=folder), folder / "landing.toml")
    return folder


@pytest.fixture(scope="module")
def packed(home, tmp_path_factory):
    return kit.pack_study(home / "landing.toml", tmp_path_factory.mktemp("packed") / "landing.zip")


def unpack(data, tmp_path):
    path = tmp_path / "sent.zip"
    path.write_bytes(data)
    return kit.unpack_study(path, tmp_path / "opened")


def test_it_opens_to_the_same_study_tables_and_picture(home, packed, tmp_path):
    path = kit.unpack_study(packed, tmp_path / "opened")
    assert path == tmp_path / "opened/landing.toml"
    for name in ("landing.toml", "fabrics/weed.png"):
        assert (path.parent / name).read_bytes() == (home / name).read_bytes()
    study = open_study(path)
    assert study.fingerprint == open_study(home / "landing.toml").fingerprint
    pattern = make_pattern(study)
    for name, text in list_tables(pattern).items():
        assert (path.parent / f"tables/{name}.csv").read_bytes() == text.encode()
    assert compare_result(open_result(path.with_name("landing.result.json")), pattern) == ()


def test_packed_again_it_is_the_same_bytes_wherever_it_lies(packed, tmp_path):
    path = kit.unpack_study(packed, tmp_path / "elsewhere" / "opened")
    os.utime(path, (10**9, 10**9))
    again = kit.pack_study(path, tmp_path / "again.zip")
    assert again.read_bytes() == packed.read_bytes()


def test_it_says_what_made_it_and_lists_every_file(packed):
    files = read_files(packed)
    manifest = json.loads(files.pop("manifest.json"))
    assert set(manifest["files"]) == set(files)
    assert "numpy==" in files["versions.txt"].decode()
    assert manifest["study"] == "landing.toml"


def test_an_empty_folder_is_taken_and_a_full_one_is_not(packed, tmp_path):
    (tmp_path / "new").mkdir()
    assert kit.unpack_study(packed, tmp_path / "new").is_file()
    with pytest.raises(kit.KitError, match="already exists"):
        kit.unpack_study(packed, tmp_path / "new")


@pytest.mark.parametrize("climb", ["../outside.png", "fabrics/../../outside.png"])
def test_a_study_that_names_a_picture_outside_its_folder_is_not_packed(climb, tmp_path):
    Image.new("RGB", (4, 4)).save(tmp_path / "outside.png")
    keys = study_keys(SMALL)
    keys["fabric"][0] |= {"picture": climb, "spread": 1.0}
    inner = tmp_path / "inner"
    (inner / "fabrics").mkdir(parents=True)
    save_study(study_from_keys(keys), inner / "landing.toml")
    with pytest.raises(kit.KitError, match=r"outside\.png"):
        kit.pack_study(inner / "landing.toml", tmp_path / "x.zip")
    assert not (tmp_path / "x.zip").exists()


def test_a_linked_picture_that_lies_outside_is_not_packed(tmp_path):
    Image.new("RGB", (4, 4)).save(tmp_path / "outside.png")
    inner = tmp_path / "inner"
    inner.mkdir()
    (inner / "weed.png").symlink_to(tmp_path / "outside.png")
    keys = study_keys(SMALL)
    keys["fabric"][0] |= {"picture": "weed.png", "spread": 1.0}
    save_study(study_from_keys(keys), inner / "landing.toml")
    with pytest.raises(kit.KitError, match="is outside the study's folder"):
        kit.pack_study(inner / "landing.toml", tmp_path / "x.zip")


# ---- what is refused, each by its name -------------------------------------------------------------------------

HOSTILE = {
    "climbs out": (add("../up.toml"), "`../up.toml` climbs out of the folder"),
    "climbs out below": (add("fabrics/../../up.png"), "`fabrics/../../up.png` climbs out of the folder"),
    "absolute": (add("/etc/up.toml"), "`/etc/up.toml` is an absolute path"),
    "drive": (add("C:/up.toml"), "`C:/up.toml` holds a backslash or a colon"),
    "drive, relative": (add("C:up.toml"), "`C:up.toml` holds a backslash or a colon"),
    "backslash": (add("..\\up.toml"), "`..\\up.toml` holds a backslash or a colon"),
    "share": (add("\\\\host\\share\\up.toml"), "holds a backslash or a colon"),
    "stream": (add("landing.toml:hidden.txt"), "holds a backslash or a colon"),
    "device": (add("fabrics/con.png"), "`fabrics/con.png` cannot be a file on every system"),
    "empty part": (add("fabrics//up.png"), "`fabrics//up.png` has an empty part"),
    "here": (add("./up.toml"), "`./up.toml` has an empty part"),
    "trailing dot": (add("fabrics./up.png"), "ends in a blank or a dot"),
    "folder": (add("fabrics/", b""), "`fabrics/` has an empty part"),
    "nameless": (add("", b"x"), "is not a name of a file"),
    "unseen": (add("up\u202egnp.toml"), "is not a name of a file"),
    "long": (add("x" * 300 + ".txt"), "is not a name of a file"),
    "program": (add("read-me.html"), "`read-me.html` is of a kind that no study needs"),
    "source": (add("sitecustomize.py"), "`sitecustomize.py` is of a kind that no study needs"),
    "drawing": (add("picture.svg"), "`picture.svg` is of a kind that no study needs"),
    "twice": (add("landing.toml"), "`landing.toml` occurs twice"),
    "twice but for capitals": (add("Landing.TOML"), "`Landing.TOML` occurs twice (once as `landing.toml`)"),
    "file and folder": (add("landing.toml/x.png"), "`landing.toml/x.png` lies in `landing.toml`, but that is a file"),
    "link": (add_kind("fabrics/sail.png", LINK), "`fabrics/sail.png` is a link"),
    "pipe": (add_kind("fabrics/sail.png", FIFO), "`fabrics/sail.png` is not a plain file"),
    "machine": (add_kind("fabrics/sail.png", DEVICE), "`fabrics/sail.png` is not a plain file"),
    "bomb": (swell("fabrics/sail.png", 20_000_000), "`fabrics/sail.png` unpacks to over 100 times its bytes"),
    "giant": (swell("fabrics/sail.png", LARGEST_FILE + 1), "`fabrics/sail.png` unpacks to 25 megabytes"),
    "crowd": (
        lambda files: write_zip([*files.items(), *((f"fabrics/{n}.png", b"") for n in range(MOST_FILES))]),
        "files. Needed: at most 1000",
    ),
    "uncommon": (
        lambda files: write_zip(files.items(), zipfile.ZIP_BZIP2), "`manifest.json` is packed in an uncommon way",
    ),
    "not listed": (add("fabrics/sail.png"), "`fabrics/sail.png` is not in `manifest.json`"),
    "changed table": (
        change("tables/pieces.csv", lambda data: data.replace(b"4", b"5", 1)),
        "`tables/pieces.csv` was changed after it was packed",
    ),
    "changed study": (
        change("landing.toml", lambda data: data.replace(b"columns = 2", b"columns = 3")),
        "`landing.toml` was changed after it was packed",
    ),
    "changed picture": (change("fabrics/weed.png", lambda data: data + b"\0"), "`fabrics/weed.png` was changed"),
    "changed result": (change("landing.result.json", lambda data: data + b" "), "`landing.result.json` was changed"),
    "missing table": (drop("tables/steps.csv"), "`tables/steps.csv` was packed and is missing"),
    "missing picture": (drop("fabrics/weed.png"), "`fabrics/weed.png` was packed and is missing"),
    "not a list": (drop("manifest.json"), "`manifest.json` is not in sent.zip"),
    "list of nothing": (change("manifest.json", lambda _: b"{}"), "`manifest.json` is not a list of files"),
    "list that is deep": (change("manifest.json", lambda _: b"[" * 90_000), "`manifest.json` is not a list of files"),
    "name of a drive in the directory alone": (
        patch_bytes(b"versions.txt", b"C:\\rsion.txt"), "holds a backslash or a colon",
    ),
    "no zip": (lambda _: b"PK\x03\x04 and no more", "cannot be read as a zip"),
    "nothing": (lambda _: b"", "cannot be read as a zip"),
    "cut short": (lambda files: write_zip(files.items())[:-400], "cannot be read as a zip"),
}  # fmt: skip


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_zip_is_refused_by_name_and_leaves_nothing_behind(kind, packed, tmp_path):
    make, said = HOSTILE[kind]
    inner = tmp_path / "inner"
    inner.mkdir()
    data = make(read_files(packed))
    with pytest.raises(kit.KitError) as refused:
        unpack(data, inner)
    assert said in str(refused.value)
    assert sorted(path.name for path in inner.iterdir()) == ["sent.zip"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["inner"]


def test_files_that_come_to_too_much_together_are_refused(packed, tmp_path, monkeypatch):
    total = sum(map(len, read_files(packed).values()))
    for most, fits in ((total, True), (total - 1, False)):
        monkeypatch.setattr("kit.sharing.unpacking.LARGEST_SUM", most)
        if fits:
            assert kit.unpack_study(packed, tmp_path / "fits").is_file()
        else:
            with pytest.raises(kit.KitError, match="The zip unpacks to"):
                kit.unpack_study(packed, tmp_path / "too much")
    assert not (tmp_path / "too much").exists()


def test_a_zip_that_is_too_large_is_refused_unread(packed, tmp_path, monkeypatch):
    monkeypatch.setattr("kit.sharing.unpacking.LARGEST_ZIP", packed.stat().st_size - 1)
    with pytest.raises(kit.KitError, match="is too large for a packed study"):
        kit.unpack_study(packed, tmp_path / "opened")


def _forge(files, table, edit):
    """Change a table and the list's hash of it, but not the result."""
    data = edit(files[table])
    manifest = json.loads(files["manifest.json"])
    manifest["files"][table] = {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
    return write_zip({**files, table: data, "manifest.json": json.dumps(manifest).encode()}.items())


def test_a_table_changed_with_its_hash_is_found_by_the_result(packed, tmp_path):
    data = _forge(read_files(packed), "tables/pieces.csv", lambda old: old.replace(b"4", b"5", 1))
    with pytest.raises(kit.KitError, match=r"`tables/pieces\.csv` is not the table in"):
        unpack(data, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["sent.zip"]


def test_a_study_changed_with_its_hash_is_found_by_a_fresh_run(packed, tmp_path, capsys):
    from kit.__main__ import main

    edit = lambda old: old.replace(b'title = "Landing Stage"', b'title = "Landing Place"').replace(  # noqa: E731
        b"columns = 2", b"columns = 3"
    )
    path = unpack(_forge(read_files(packed), "landing.toml", edit), tmp_path)
    assert main(["check", str(path)]) == 1
    assert "design.columns was 2, is 3" in capsys.readouterr().out


def test_bytes_that_lie_about_their_size_are_refused(packed, tmp_path):
    data = bytearray(write_zip(read_files(packed).items(), zipfile.ZIP_DEFLATED))
    with zipfile.ZipFile(packed) as honest:
        size = honest.getinfo("tables/steps.csv").file_size
    at = data.rindex(b"tables/steps.csv") - 46 + 24
    assert int.from_bytes(data[at : at + 4], "little") == size
    data[at : at + 4] = (size - 7).to_bytes(4, "little")
    with pytest.raises(kit.KitError):
        unpack(bytes(data), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["sent.zip"]


@given(data=st.data())
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_bytes_are_turned_it_is_opened_whole_or_refused(data, packed, tmp_path_factory):
    sent = bytearray(packed.read_bytes())
    for at in data.draw(st.lists(st.integers(0, len(sent) - 1), min_size=1, max_size=4)):
        sent[at] ^= data.draw(st.integers(1, 255))
    place = tmp_path_factory.mktemp("turned")
    try:
        path = unpack(bytes(sent), place)
    except kit.KitError:
        assert [path.name for path in place.iterdir()] == ["sent.zip"]
    else:
        whole = read_files(packed)
        assert path.read_bytes() == whole["landing.toml"]
        assert {p.relative_to(path.parent).as_posix() for p in path.parent.rglob("*") if p.is_file()} == {*whole} - {
            "manifest.json"
        }


@given(st.text(max_size=12) | st.lists(st.sampled_from(["..", ".", "a", "", "C:", "con", "b.png", " "])).map("/".join))
@settings(max_examples=300)
def test_a_name_that_passes_stays_in_its_folder_and_is_a_file_on_any_system(name):
    try:
        check_names([name])
    except kit.KitError:
        return
    for kind in (PurePosixPath, PureWindowsPath):
        path = kind(name)
        assert not path.is_absolute()
        assert not path.drive
        assert not path.root
        assert ".." not in path.parts
        assert path.as_posix() == name
    assert not os.path.isreserved(name) if hasattr(os.path, "isreserved") else not PureWindowsPath(name).is_reserved()


def test_plain_names_pass():
    for name in ("tideline.toml", "fabrics/fog.png", "tables/pieces.csv", "versions.txt", "a/b/c d.webp", "Möwe.toml"):
        check_name(name)


def test_one_name_in_two_ways_of_writing_its_letters_is_twice():
    with pytest.raises(kit.KitError, match="occurs twice"):
        check_names(["m\N{LATIN SMALL LETTER O WITH DIAERESIS}we.toml", "MO\N{COMBINING DIAERESIS}WE.toml"])
