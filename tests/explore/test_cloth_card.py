"""The card of a cloth: photographs from the screen, cloth on one patch, two that change places, cloth that is short."""

from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from shown_top import compare_shown, unpack

import kit
from kit.output.pictures.drawing import draw_top
from kit.output.pictures.svg import write_svg
from kit.study import open_study, save_study, study_from_keys, study_keys

NOW = datetime(2026, 1, 1, tzinfo=UTC)
TIDELINE = Path("data/studies/tideline.toml")


@pytest.fixture
def explorer(tmp_path, monkeypatch):
    monkeypatch.setenv("SEAMPROOF_QUILTS", str(tmp_path / "quilts"))
    return kit.explore(open_study(TIDELINE))


def photograph(kind="JPEG", size=(60, 40)):
    """Return a photograph of cloth, red at its foot and blue above."""
    pixels = np.zeros((size[1], size[0], 3), dtype=np.uint8)
    pixels[: size[1] // 2] = (20, 40, 200)
    pixels[size[1] // 2 :] = (200, 30, 20)
    out = BytesIO()
    Image.fromarray(pixels).save(out, kind, quality=95)
    return out.getvalue()


def drop(explorer, data, name="my cloth.jpg"):
    file = {"name": name, "type": "image/jpeg", "size": len(data), "content": memoryview(data), "last_modified": NOW}
    explorer._card.photo.value = (file,)


def choose(explorer, name):
    names = [fabric.name for fabric in explorer.study.fabrics]
    explorer._picture._hear(["cloth", names.index(name), 1])


def find(explorer, name):
    return next(fabric for fabric in explorer.study.fabrics if fabric.name == name)


def test_a_photograph_is_dropped_in_seen_saved_and_undone(explorer, tmp_path):
    before = study_keys(explorer.study)
    choose(explorer, "Kelp")
    drop(explorer, photograph())
    kelp = find(explorer, "Kelp")
    assert kelp.picture == "fabrics/my-cloth.jpg"
    assert (tmp_path / "quilts" / kelp.picture).is_file()
    assert kelp.colour != "#4c6b4f"
    assert int(kelp.colour[1:3], 16) > 80
    place = [fabric.name for fabric in explorer.study.fabrics].index("Kelp")
    assert set(explorer._picture.parts["prints"]) == {place}
    explorer._card.shows.value = "6"
    assert explorer._picture.parts["prints"][place]["wide"] == pytest.approx(6)
    assert explorer._picture.parts["prints"][place]["high"] == pytest.approx(4)
    explorer._card.turn.value = 90
    assert explorer._picture.parts["prints"][place]["wide"] == pytest.approx(4)
    saved = save_study(explorer.study, tmp_path / "quilts" / "mine.toml")
    again = open_study(saved)
    assert again == explorer.study
    assert draw_top(kit.make_sketch(again)).tiles.keys() == {"Kelp"}
    for _ in range(3):
        explorer.undo()
    assert study_keys(explorer.study) == before
    assert explorer._picture.parts["prints"] == {}


@pytest.mark.parametrize(
    ("data", "name", "said"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "bad.png", "is not a readable picture"),
        (photograph()[:-400], "cut.jpg", "damaged or cut short"),
        (b"", "empty.png", "is not a readable picture"),
        (b"\x89PNG\r\n\x1a\n" + b"0" * 21_000_000, "large.png", "at most 20"),
        (photograph(), "../../outside.jpg", ""),
    ],
)
def test_a_hostile_picture_is_refused_in_words_and_leaves_nothing(explorer, tmp_path, data, name, said):
    before = study_keys(explorer.study)
    choose(explorer, "Kelp")
    drop(explorer, data, name)
    files = [path.name for path in tmp_path.rglob("*") if path.is_file() and path.suffix != ".txt"]
    if said:
        assert said in explorer.message.value
        assert study_keys(explorer.study) == before
        assert files == []
    else:
        assert files == ["outside.jpg"]
        assert (tmp_path / "quilts/fabrics/outside.jpg").is_file()


def test_two_cloths_change_places_and_back(explorer):
    before, top = study_keys(explorer.study), explorer.sketch.colouring.assignment
    names = [fabric.name for fabric in explorer.study.fabrics]
    explorer._picture._hear(["swap", names.index("Lantern"), names.index("Fog"), 1])
    assert (find(explorer, "Lantern").slot, find(explorer, "Fog").slot) == ("sashing", "accent")
    turned = {"Lantern": "Fog", "Fog": "Lantern"}
    assert explorer.sketch.colouring.assignment == {patch: turned.get(name, name) for patch, name in top.items()}
    compare_shown(explorer._picture.parts, explorer.sketch)
    explorer.undo()
    assert study_keys(explorer.study) == before


def test_a_patch_takes_another_cloth_of_its_role_and_no_other(explorer):
    patch = next(p for p in explorer.sketch.patchwork.patches if p.slot == "blade")
    place = explorer.sketch.patchwork.patches.index(patch)
    explorer._picture._hear(["patch", place, 1])
    explorer._card.other.value = "Fog"
    explorer._card.buttons["Put it on this patch"].click()
    assert "is for sashing, and this patch is of blade" in explorer.message.value
    other = next(n for n in ("Kelp", "Slate") if n != explorer.sketch.colouring.assignment[patch.id])
    explorer._card.other.value = other
    explorer._card.buttons["Put it on this patch"].click()
    assert explorer.sketch.colouring.assignment[patch.id] == other
    assert dict(explorer.study.rules.pins)[patch.id] == other


def test_what_is_missing_is_added(explorer):
    keys = study_keys(explorer.study)
    fabrics = [fabric for fabric in keys["fabric"] if fabric["slot"] != "blade"]
    fabrics.append({"slot": "blade", "name": "Only", "colour": "#2f5d7c", "form": "strips", "width": "2 1/2 in",
                    "length": "40 in", "count": 3})  # fmt: skip
    explorer.take_study(study_from_keys({**keys, "fabric": fabrics}))
    assert explorer.sketch.cutting.short
    choose(explorer, "Only")
    button = explorer._card.buttons["Add what is missing"]
    assert any(button in getattr(child, "children", ()) for child in explorer._card.children)
    button.click()
    assert not explorer.sketch.cutting.short
    assert find(explorer, "Only").count > 3


def test_prints_stay_in_their_patches_when_the_quilt_grows():
    keys = study_keys(open_study(TIDELINE))
    keys["fabric"][0]["picture"] = "kelp-bed.png"
    sketches = [kit.make_sketch(study_from_keys(keys, folder=Path("data/fabrics")))]
    keys["design"]["sashing"]["finished"] = "2 in"
    sketches.append(kit.make_sketch(study_from_keys(keys, folder=Path("data/fabrics"))))
    seen = []
    for sketch in sketches:
        drawing = draw_top(sketch)
        middles = {p.label: np.mean([np.min(p.points, axis=0), np.max(p.points, axis=0)], axis=0)
                   for p in drawing.polygons}  # fmt: skip
        seen.append({p.label: (round(p.lie.turn, 9), *np.round(p.lie.at - middles[p.label], 6))
                     for p in drawing.polygons if p.lie})  # fmt: skip
    assert len(seen[0]) > 3
    assert seen[0] == seen[1]


def test_the_svg_and_the_screen_lay_a_print_at_one_place():
    keys = study_keys(open_study(TIDELINE))
    keys["fabric"][0]["picture"] = "kelp-bed.png"
    sketch = kit.make_sketch(study_from_keys(keys, folder=Path("data/fabrics")))
    from kit.output.pictures.quilt_top import list_top_parts

    parts = list_top_parts(sketch)
    lies = unpack(parts["lies"], "<f4").reshape(-1, 3)
    text = write_svg(draw_top(sketch))
    for place, polygon in enumerate(draw_top(sketch).polygons):
        if polygon.lie is not None:
            turn, x, y = (float(number) for number in lies[place])
            assert f'id="lie-{place}" href="#cloth-0" patternTransform="translate({x:.2f}' in text.replace(
                f"{polygon.lie.at[0]:.4f}", f"{x:.2f}"
            )
            assert turn == pytest.approx(polygon.lie.turn, abs=1e-6)
            assert y == pytest.approx(polygon.lie.at[1], abs=1e-4)
    assert text.count("<image ") == 1
