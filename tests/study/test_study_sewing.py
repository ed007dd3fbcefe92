import pytest

import kit
from kit.study import study_from_keys, study_keys

SLOTS = ("centre", "rail", "a", "b", "c", "d", "blade", "rectangle", "whirl")


def make_whirls(**sewing):
    keys = study_keys(kit.open_study("data/studies/millwheel.toml"))
    keys["design"] = {"family": "whirl", "columns": 2, "rows": 2}
    keys["fabric"] = [{"slot": slot, "name": slot, "colour": "#335577"} for slot in SLOTS]
    return study_from_keys({**keys, "sewing": sewing} if sewing else keys)


def test_whirls_are_sewn_with_a_partial_seam_each_and_the_splitting_stands_beside_them():
    pattern = kit.make_pattern(make_whirls())
    assert pattern.sewing.partial_seams == pattern.sewing.partial_bound == 4
    assert pattern.sewing.alternative.pieces_added == 4
    assert pattern.rehearsal.agrees


def test_a_study_may_ask_for_the_splitting_and_it_is_rehearsed_too():
    whole, split = kit.make_pattern(make_whirls()), kit.make_pattern(make_whirls(partial_seams="split"))
    assert split.sewing.partial_seams == 0
    added = whole.sewing.alternative.pieces_added
    assert len(split.patchwork.patches) == len(whole.patchwork.patches) + added
    assert split.patchwork.finished == pytest.approx(whole.patchwork.finished)
    assert split.rehearsal.agrees


@pytest.mark.parametrize("wish", ["nest", "dark", "open"])
def test_seams_are_pressed_as_the_study_wishes(wish):
    pattern = kit.make_pattern(make_whirls(pressing=wish))
    presses = {step.press for step in pattern.sewing.steps if step.kind != "trim"}
    assert pattern.sewing.pressing.wish == wish
    assert (presses == {"open"}) == (wish == "open")


def test_the_sewing_table_survives_saving(tmp_path):
    study = make_whirls(pressing="dark", partial_seams="split")
    assert kit.open_study(kit.save_study(study, tmp_path / "x.toml")) == study


def test_a_wish_that_there_is_not_is_refused_by_its_key():
    with pytest.raises(kit.StudyError, match=r"`sewing.pressing` is 'flat'"):
        make_whirls(pressing="flat")
    with pytest.raises(kit.StudyError, match="`pressing`"):
        make_whirls(presing="dark")
