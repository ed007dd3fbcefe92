"""How a top goes together: each way is a plan that is proved, and its price is what that plan says."""

import pytest
from printed import pattern_of

import kit
from kit.checks.sewing_check import check_sewing_plan
from kit.model.assemblies import AssemblyPrice
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.planning.sewing.splitting import split_as_told, split_patches
from kit.progress import StoppedError, keep_quiet
from kit.rehearsal.rehearse import rehearse


@pytest.mark.parametrize("name", ["ferry-steps", "lamplight", "millwheel", "slipway", "harbour-wheel"])
@pytest.mark.parametrize("way", ["as composed", "blocks", "rows", "halves", "quarters"])
def test_each_way_is_rehearsed_or_refused_in_words(name, way):
    pattern = pattern_of(name)
    refusal = None
    try:
        plan = sewing_plan(pattern.patchwork, pattern.cut_list, way)
    except kit.NoPlanError as error:
        refusal = str(error)
    if refusal:
        assert f"does not go together in {way}" in refusal
        return
    check_sewing_plan(pattern.patchwork, pattern.cut_list, plan)
    assert rehearse(pattern.cut_list, plan).agrees
    usual = pattern.sewing
    assert (plan.set_in_seams, plan.partial_seams) == (usual.set_in_bound, usual.partial_seams)


def test_in_halves_the_last_seam_within_the_borders_lies_in_the_middle():
    pattern = pattern_of("lamplight")
    plan = sewing_plan(pattern.patchwork, pattern.cut_list, "halves")
    inside = {patch.id for patch in pattern.patchwork.patches} - {
        name for frame in pattern.patchwork.frames for name in frame.patches
    }
    last = next(step for step in plan.steps if inside == {*step.first, *step.second})
    areas = [
        sum(kit.measure_area(pattern.patchwork.by_id[p].outline) for p in part) for part in (last.first, last.second)
    ]
    assert areas[0] == pytest.approx(areas[1])


def test_borders_are_sewn_last_however_the_body_goes_together():
    for name in ("lamplight", "slipway", "town-quay", "boat-shed", "harbour-light"):
        pattern = pattern_of(name)
        frames = [set(frame.patches) for frame in pattern.patchwork.frames]
        frame_of = {patch: k for k, patches in enumerate(frames, start=1) for patch in patches}
        top = pattern.sewing.units[-1].name
        met = [
            max(frame_of.get(edge.patch, 0) for edge in (*step.along_first, *step.along_second))
            for step in pattern.sewing.steps
            if step.unit == top and step.kind != "trim"
        ]
        assert met == sorted(met), name


def test_the_table_prices_every_way_and_says_what_cannot_be_done():
    table = kit.tables.assemblies(pattern_of("boat-shed"))
    assert list(table["Together"])[-1] == "in straight seams only"
    assert list(table["Chosen"]).count("yes") == 1
    composed, straight = table.iloc[0], table.iloc[-1]
    pattern = pattern_of("boat-shed")
    assert composed["Pieces"] == len(pattern.patchwork.patches)
    assert composed["Partial"] == pattern.sewing.partial_seams
    assert composed["Set in"] == pattern.sewing.set_in_seams
    assert (straight["Partial"], straight["Set in"]) == (0, 0)
    alternative = split_patches(pattern.patchwork)
    assert straight["Pieces"] == composed["Pieces"] + alternative.pieces_added
    whole = split_as_told(pattern.patchwork, alternative).verify()
    assert straight["Written steps"] == len(sewing_plan(whole).written)


def test_the_sentence_has_both_figures_and_their_difference():
    sewn = AssemblyPrice("as composed", pieces=77, written=20, partial=1, minutes=103.2)
    straight = AssemblyPrice("straight seams only", pieces=85, written=26, minutes=104.0)
    said = kit.say_trade_off([sewn, straight])
    assert "The top has 1 partial seam." in said
    assert "20 written steps, 77 pieces and 103 minutes" in said
    assert "6 more written steps, 8 more pieces and 1 more minute." in said
    assert "as many pieces" in kit.say_trade_off([sewn, AssemblyPrice("straight seams only", pieces=77)])


def test_the_pricing_can_be_stopped_and_tells_how_far_it_is():
    told = []

    def follow(what, done, whole):
        told.append((what, done, whole))
        return done == 2

    with pytest.raises(StoppedError, match="stopped at blocks, 2 of 7"):
        pattern_of("ferry-steps").price_assemblies(follow)
    assert [done for _, done, _ in told] == [0, 1, 2]


def test_a_study_says_how_its_top_goes_together():
    text = open_text("ferry-steps") + '\n[sewing]\nassembly = "halves"\n'
    pattern = kit.make_pattern(kit.read_study(text))
    chosen = [price.way for price in pattern.price_assemblies(keep_quiet) if price.chosen]
    assert chosen == ["halves"]
    with pytest.raises(kit.StudyError, match="assembly"):
        kit.read_study(text.replace("halves", "thirds"))


def open_text(name):
    from pathlib import Path

    return Path("data/studies", f"{name}.toml").read_text(encoding="utf-8")
