"""A metric study's own round sizes: asked for by a key, counted by hand."""

import pytest

from kit.errors import StudyError
from kit.lengths import CM
from kit.pipeline import make_pattern, make_sketch
from kit.study import editions, open_study, read_study, save_study, study_from_keys, study_keys

BOXES = """title = "Net store"
[measures]
system = "metric"
{round}
[design]
family = "grid blocks"
columns = 4
rows = 5
cell_finished = "4 in"
pattern = ["box"]
[design.sashing]
finished = "1 1/2 in"
[[fabric]]
slot = "box"
name = "Kelp"
colour = "#4c6b4f"
{form}
[[fabric]]
slot = "sashing"
name = "Fog"
colour = "#dfe6ea"
"""
ROLL = 'form = "squares"\nwidth = "{width}"'


def make(round_to="", form=""):
    return read_study(BOXES.format(round=f'round_sizes_to = "{round_to}"' if round_to else "", form=form))


@pytest.mark.parametrize(
    ("step", "cell", "sash"), [("", 10.16, 3.81), ("0.5 cm", 10.0, 4.0), ("1 cm", 10.0, 4.0), ("0.2 cm", 10.2, 3.8)]
)
def test_finished_sizes_are_the_nearest_round_ones(step, cell, sash):
    # Derived: 4 in are 10.16 cm and 1 1/2 in are 3.81 cm; four blocks and three sashes across, five and four down.
    wide, high = make_sketch(make(step)).patchwork.finished
    assert wide / CM == pytest.approx(4 * cell + 3 * sash)
    assert high / CM == pytest.approx(5 * cell + 4 * sash)


def test_cut_sizes_are_then_on_the_ruler():
    # With allowances of 0.75 cm a finished 10 cm is cut 11.5 cm: nothing is left to round up.
    pattern = make_pattern(make("0.5 cm"))
    for piece in pattern.cut_list.pieces:
        for name, size in piece.cut.items():
            assert piece.rounded[name] == pytest.approx(size)
    (box,) = [piece for piece in pattern.cut_list.pieces if piece.slot == "box"]
    assert box.rounded["side"] == pytest.approx(11.5 * CM)
    assert any("rounded to 0.5\u00a0cm" in said for said in pattern.warnings)


def test_what_a_pack_is_wide_stays():
    # A square of a pack of 4 in stays 10.16 cm.
    packed = make("0.5 cm", ROLL.format(width="4 in"))
    assert packed.design.cell_finished == pytest.approx(4)
    assert make("0.5 cm", ROLL.format(width="5 in")).design.cell_finished == pytest.approx(10 * CM)


def test_an_edition_can_have_round_sizes_of_its_own():
    text = BOXES.replace('system = "metric"', "").format(round="", form="")
    study = read_study(text + '[edition.metric.measures]\nsystem = "metric"\nround_sizes_to = "0.5 cm"\n')
    (made,) = editions(study)
    assert made.design.cell_finished == pytest.approx(10 * CM)
    assert study.design.cell_finished == 4


def test_it_is_saved_and_read_back(tmp_path):
    study = make("0.5 cm")
    assert open_study(save_study(study, tmp_path / "net.toml")) == study
    assert study_from_keys(study_keys(study)) == study


@pytest.mark.parametrize("step", ["5", "0 cm", "5 cm", "half"])
def test_a_wrong_step_is_refused(step):
    with pytest.raises(StudyError, match=r"round_sizes_to.*Needed"):
        make(step)
