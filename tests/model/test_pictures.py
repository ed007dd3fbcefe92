import io
import zlib

import numpy as np
import pytest
from PIL import Image

from kit.errors import KitError
from kit.model import pictures
from kit.model.colour import measure_difference
from kit.model.pictures import read_cloth


def put(folder, name, array, **options):
    Image.fromarray(np.asarray(array, dtype=np.uint8)).save(folder / name, **options)
    return name


def plain(colour, size=(20, 20)):
    return np.tile(np.array(colour, dtype=np.uint8), (*size, 1))


def refusal(folder, name):
    with pytest.raises(KitError) as caught:
        read_cloth(folder, name)
    return str(caught.value)


def test_a_plain_cloth_has_its_colour_and_no_spread(tmp_path):
    cloth = read_cloth(tmp_path, put(tmp_path, "plain.png", plain((0x2F, 0x5D, 0x7C))))
    assert cloth.colour == "#2f5d7c"
    assert cloth.spread == 0
    assert not cloth.busy


def test_a_check_of_black_and_white_has_the_mean_of_its_light_and_is_busy(tmp_path):
    """Half the light of white is sRGB 188, not 128."""
    y, x = np.mgrid[0:64, 0:64]
    check = np.repeat((((x // 4 + y // 4) % 2) * 255)[..., None], 3, axis=2)
    cloth = read_cloth(tmp_path, put(tmp_path, "check.png", check))
    assert measure_difference(cloth.colour, "#bcbcbc") < 0.5
    assert cloth.spread == pytest.approx(50, abs=3)
    assert cloth.busy


def test_a_camera_held_sideways_is_turned_right(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    cloth = read_cloth(tmp_path, put(tmp_path, "side.jpg", plain((90, 90, 90), (10, 30)), exif=exif))
    assert cloth.size == (10, 30)


def test_what_is_see_through_lies_on_white(tmp_path):
    clear = np.zeros((8, 8, 4), dtype=np.uint8)
    Image.fromarray(clear).save(tmp_path / "clear.png")
    assert read_cloth(tmp_path, "clear.png").colour == "#ffffff"


@pytest.mark.parametrize("mode", ["L", "P", "1", "LA", "CMYK", "I;16"])
def test_every_kind_of_pixel_is_read(tmp_path, mode):
    name = "kind.jpg" if mode == "CMYK" else "kind.png"
    Image.new(mode, (9, 9)).save(tmp_path / name)
    assert read_cloth(tmp_path, name).spread == pytest.approx(0, abs=1)


def test_text_named_as_a_picture_is_refused(tmp_path):
    (tmp_path / "note.png").write_text("this is not a picture")
    assert "`note.png` is not a readable picture" in refusal(tmp_path, "note.png")


@pytest.mark.parametrize("suffix", ["png", "jpg", "webp"])
@pytest.mark.parametrize("part", [0.3, 0.6, 0.95])
def test_a_picture_cut_short_is_refused(tmp_path, suffix, part):
    noise = np.random.default_rng(1).integers(0, 256, (60, 60, 3))
    name = put(tmp_path, f"whole.{suffix}", noise)
    data = (tmp_path / name).read_bytes()
    (tmp_path / f"part.{suffix}").write_bytes(data[: int(len(data) * part)])
    assert read_cloth(tmp_path, name).busy
    message = refusal(tmp_path, f"part.{suffix}")
    assert "damaged or cut short" in message or "not a picture" in message


def test_a_huge_picture_is_refused_before_it_is_decoded(tmp_path):
    head = io.BytesIO()
    Image.new("1", (9_000, 9_000)).save(head, "PNG")
    (tmp_path / "huge.png").write_bytes(head.getvalue())
    assert "9000 x 9000 pixels. Needed: at most 40 million" in refusal(tmp_path, "huge.png")


def test_a_picture_that_claims_more_pixels_than_any_library_takes_is_refused(tmp_path):
    data = bytearray((tmp_path / put(tmp_path, "small.png", plain((1, 2, 3)))).read_bytes())
    data[16:24] = (60_000).to_bytes(4, "big") * 2
    data[29:33] = zlib.crc32(data[12:29]).to_bytes(4, "big")
    (tmp_path / "bomb.png").write_bytes(bytes(data))
    message = refusal(tmp_path, "bomb.png")
    assert "pixels" in message or "damaged" in message


def test_a_file_too_long_is_refused_unread(tmp_path, monkeypatch):
    name = put(tmp_path, "long.png", plain((1, 2, 3)))
    monkeypatch.setattr(pictures, "LARGEST_FILE", 10)
    assert "megabytes" in refusal(tmp_path, name)


@pytest.mark.parametrize(
    "name", ["../out.png", "/etc/passwd", "a/../../out.png", "C:\\out.png", "..\\out.png", "", "a\0b.png"]
)
def test_a_path_that_leaves_the_folder_is_refused(tmp_path, name):
    home = tmp_path / "home"
    home.mkdir()
    put(tmp_path, "out.png", plain((1, 2, 3)))
    assert "is outside the study's folder" in refusal(home, name)


def test_a_link_that_leaves_the_folder_is_refused(tmp_path):
    home = tmp_path / "home"
    home.mkdir()
    put(tmp_path, "out.png", plain((1, 2, 3)))
    (home / "link.png").symlink_to(tmp_path / "out.png")
    assert "is outside the study's folder" in refusal(home, "link.png")


def test_a_picture_that_is_not_there_or_is_a_folder_is_a_sentence(tmp_path):
    (tmp_path / "folder.png").mkdir()
    assert "does not exist" in refusal(tmp_path, "none.png")
    assert "Needed" in refusal(tmp_path, "folder.png")


@pytest.mark.parametrize(
    ("name", "busy"), [("fog", False), ("linen-sail", False), ("kelp-bed", True), ("deck-chair", True)]
)
def test_the_pictures_that_come_with_the_kit_are_busy_or_calm_as_they_look(name, busy):
    assert read_cloth("data", f"fabrics/{name}.png").busy == busy
