import ipywidgets as widgets
import pytest
from shown_top import compare_shown

import kit
from kit.explore.explorer import Explorer
from kit.explore.fitting import fit_counts
from kit.explore.quantities import DESIGN, FRAME, MEASURES, read_value
from kit.explore.side_panel import SidePanel
from kit.study import study_from_keys, study_keys

pytestmark = pytest.mark.slow

STUDIES = ["tideline", "lamplight", "ferry-steps"]


def walk(widget):
    if isinstance(widget, SidePanel):
        widget.open_all()
    yield widget
    for child in getattr(widget, "children", ()):
        yield from walk(child)


def find(explorer, label):
    found = [w for w in walk(explorer) if getattr(w, "description", "") == label]
    assert len(found) == 1, label
    return found[0]


@pytest.fixture(params=STUDIES)
def explorer(request):
    return kit.explore(f"data/studies/{request.param}.toml")


@pytest.fixture
def tideline():
    return kit.explore("data/studies/tideline.toml")


def test_every_control_has_a_label_and_lengths_have_their_unit(explorer):
    kinds = (widgets.IntSlider, widgets.FloatSlider, widgets.Dropdown, widgets.Checkbox, widgets.BoundedFloatText)
    for control in walk(explorer):
        if isinstance(control, kinds):
            assert control.description or control.tooltip
        if isinstance(control, widgets.FloatSlider):
            assert "(in" in control.description


@pytest.mark.parametrize("family", DESIGN)
def test_every_design_control_names_a_key_of_its_family(family):
    from kit.designs import FAMILIES

    for quantity in (*DESIGN[family], *FRAME):
        assert quantity.path[1] in FAMILIES[family].model_fields


def test_a_moved_slider_changes_study_picture_and_tables(tideline):
    before = tideline._picture.parts["corners"], tideline._tabs.tables["To buy"].value
    find(tideline, "Columns across").value = 5
    assert tideline.study.design.columns == 5
    assert tideline.sketch.patchwork.finished[0] == pytest.approx(36)
    assert (tideline._picture.parts["corners"], tideline._tabs.tables["To buy"].value) != before


def test_every_slider_may_be_pulled_to_either_end_and_nothing_is_raised(explorer):
    for control in list(walk(explorer)):
        if isinstance(control, widgets.IntSlider | widgets.FloatSlider):
            before = control.value
            for value in (control.min, min(control.max, before * 3 + 2), before):
                control.value = value
                assert "Traceback" not in explorer.message.value
                assert "could not be done" not in explorer.message.value


def test_an_impossible_setting_is_a_sentence_and_the_last_good_picture_stays(tideline):
    before = tideline._picture.parts["corners"]
    find(tideline, "Column, finished width (in)").value = 2
    assert "too narrow for a blade" in tideline.message.value
    assert tideline._picture.parts["corners"] == before
    find(tideline, "Column, finished width (in)").value = 7
    assert "too narrow" not in tideline.message.value
    assert tideline.study.design.column_finished == 7


def find_field(explorer, label):
    return next(w for w in walk(explorer) if isinstance(w, widgets.Text) and (w.tooltip or "").startswith(f"{label}:"))


def test_a_length_is_typed_in_any_notation_and_the_slider_follows(tideline):
    field, slider = find_field(tideline, "Strip, cut width"), find(tideline, "Strip, cut width (in)")
    for text in ('2 1/4"', "2¼ in", "2-1/4in", "5.715 cm"):
        slider.value = 3
        assert field.value == "3 in"
        field.value = text
        assert slider.value == pytest.approx(2.25)
        assert tideline.study.design.strip_cut == pytest.approx(2.25)


def test_a_length_between_the_steps_of_the_slider_is_kept_as_it_was_typed(tideline):
    find_field(tideline, "Strip, cut width").value = "2.3 in"
    assert tideline.study.design.strip_cut == pytest.approx(2.3)


def test_a_number_alone_takes_the_unit_of_its_label(tideline):
    find_field(tideline, "Strip, cut width").value = "2 5/16"
    assert tideline.study.design.strip_cut == 2.3125
    assert find_field(tideline, "Strip, cut width").value == "2 5/16 in"
    find(tideline, "Lengths in").value = "metric"
    find_field(tideline, "Strip, cut width").value = "5.9"
    assert tideline.study.design.strip_cut == pytest.approx(5.9 / 2.54, rel=1e-15)
    assert find_field(tideline, "Strip, cut width").value == "5.9 cm"


def test_what_is_not_a_length_is_answered_with_the_correction_and_the_picture_stays(tideline):
    before = tideline._picture.parts["corners"]
    find_field(tideline, "Strip, cut width").value = "2 3/8 lb"
    assert "not a length but a measure of mass" in tideline.message.value
    assert find_field(tideline, "Strip, cut width").value == "2 3/8 lb"
    assert tideline._picture.parts["corners"] == before
    find_field(tideline, "Sashing, finished").value = ""
    find_field(tideline, "Strip, cut width").value = "2 3/8 in"
    assert tideline.study.design.sashing is None


def test_a_slot_that_a_change_brings_gets_a_fabric_of_its_own(tideline):
    find(tideline, "Cornerstones").value = True
    assert "cornerstone" in [fabric.slot for fabric in tideline.study.fabrics]
    find(tideline, "Inner border, finished (in, 0 = off)").value = 3
    assert tideline.sketch.patchwork.finished[0] == pytest.approx(28)


def test_sashing_and_borders_can_be_switched_off_again(tideline):
    find(tideline, "Sashing, finished (in, 0 = off)").value = 0
    assert tideline.study.design.sashing is None
    assert tideline.sketch.patchwork.finished[0] == pytest.approx(18)


def test_centimetres_show_the_same_quilt(tideline):
    size = tideline.sketch.patchwork.finished
    find(tideline, "Lengths in").value = "metric"
    assert tideline.sketch.patchwork.finished == pytest.approx(size)
    assert find_field(tideline, "Strip, cut width").value == "6.35 cm"
    assert find(tideline, "Strip, cut width (cm)").value in (6.3, 6.4)
    assert "cm" in tideline._summary.value


def test_another_arrangement_changes_the_scraps_and_nothing_else(tideline):
    before = dict(tideline.sketch.colouring.assignment)
    find(tideline, "Deal again").click()
    assert tideline.study.seed == 8
    assert tideline.sketch.colouring.assignment != before
    assert tideline.sketch.colouring.violations == 0


def test_a_study_is_saved_and_opened_again(tideline, tmp_path):
    find(tideline, "Columns across").value = 4
    find(tideline, "Study file").value = str(tmp_path / "mine.toml")
    find(tideline, "Save the study").click()
    assert kit.open_study(tmp_path / "mine.toml") == tideline.study
    other = kit.explore("data/studies/lamplight.toml")
    find(other, "Study file").value = str(tmp_path / "mine.toml")
    find(other, "Open this file").click()
    assert other.study == tideline.study
    find(other, "Study file").value = str(tmp_path / "none.toml")
    find(other, "Open this file").click()
    assert "none.toml does not exist" in other.message.value
    assert other.study == tideline.study


def test_a_wanted_size_sets_the_counts(explorer):
    find(explorer, "Quilt, finished width (in)").value = "60"
    find(explorer, "Quilt, finished length (in)").value = "70 in"
    find(explorer, "Come closest to this size").click()
    width, height = explorer.sketch.patchwork.finished
    assert abs(width - 60) <= 5
    assert abs(height - 70) <= 5


def test_a_pointed_braid_comes_closest_to_a_wanted_size_by_its_pairs():
    keys = study_keys(kit.open_study("data/studies/tideline.toml"))
    keys["design"] = {"family": "braid", "columns": 1, "pairs": 7, "column_finished": "8 in", "ends": "pointed"}
    study = study_from_keys(keys)
    fit_counts(keys, study, kit.make_sketch(study), (30.0, 60.0))
    columns, pairs = keys["design"]["columns"], keys["design"]["pairs"]
    lengths = [study_from_keys(_give(keys, n)).make_patchwork().finished[1] for n in (pairs - 1, pairs, pairs + 1)]
    assert columns == 1
    assert min(lengths, key=lambda length: abs(length - 60)) == lengths[1]


def _give(keys, pairs):
    return keys | {"design": keys["design"] | {"pairs": pairs}}


def test_names_reach_the_screen_as_text(tideline):
    find(tideline, "Title").value = "<img src=x onerror=alert(1)>"
    assert "<img" not in tideline._summary.value
    assert "&lt;img" in tideline._summary.value


def test_a_fabric_can_be_taken_out_added_and_recoloured(tideline):
    rows = tideline._panel.rows
    picker = next(w for w in walk(rows) if isinstance(w, widgets.ColorPicker))
    picker.value = "#123456"
    assert tideline.study.fabrics[0].colour == "#123456"
    bins = [w for w in walk(rows) if isinstance(w, widgets.Button) and w.icon == "trash"]
    bins[0].click()
    assert len(tideline.study.fabrics) == 14
    find(tideline, "Add a fabric").click()
    assert len(tideline.study.fabrics) == 15


def test_the_last_fabric_of_a_slot_may_go_and_is_made_good(tideline):
    rows = tideline._panel.rows
    bins = [w for w in walk(rows) if isinstance(w, widgets.Button) and w.icon == "trash"]
    bins[-1].click()
    assert "sashing" in [fabric.slot for fabric in tideline.study.fabrics]


@pytest.mark.parametrize("study", STUDIES)
def test_controls_show_what_the_study_holds(study):
    explorer = kit.explore(f"data/studies/{study}.toml")
    keys = study_keys(explorer.study)
    for quantity in (*DESIGN[keys["design"]["family"]], *FRAME, *MEASURES):
        assert read_value(quantity, keys) is not None


def test_a_path_that_is_not_a_study_is_refused_at_once():
    with pytest.raises(kit.StudyError, match="does not exist"):
        kit.explore("data/studies/none.toml")


def test_an_error_in_a_notebook_shows_a_sentence_and_no_traceback():
    error = kit.StudyError("Key `x` is 3", needed="text", do="quote it")
    assert error._render_traceback_() == ["StudyError: Key `x` is 3. Needed: text. Quote it."]
    assert isinstance(kit.explore("data/studies/tideline.toml"), Explorer)


def test_the_picture_is_sent_what_changed_and_in_one_message(tideline):
    sent = []
    tideline._picture._model.send_parts = sent.append
    find(tideline, "Pairs in a column").value = 15
    assert len(sent) == 1
    assert {"corners", "cloths"} <= sent[0].keys()
    assert not {"fills", "names", "seam"} & sent[0].keys()
    tideline._panel.rows._fields[0]["colour"].value = "#123456"
    assert [set(parts) for parts in sent[1:]] == [{"fills"}]


def test_a_setting_that_cannot_be_built_is_not_left_in_the_picture(tideline):
    find(tideline, "Column, finished width (in)").value = 2
    compare_shown(tideline._picture.parts, tideline.sketch)
