"""What a stash makes: cloths shared so that as few pieces as possible are short, by an independent count."""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from kit.model.colour import find_lightness, measure_difference
from kit.pipeline import make_pattern
from kit.solvers.packing.heaps import share_heaps
from kit.stash import fill_from_stash, match_stash
from kit.study import open_stash, open_study, read_stash, read_study

CHECKS = """
title = "Harbour checks"
[design]
family = "grid blocks"
columns = 6
rows = 8
cell_finished = "2 in"
pattern = ["deep foam", "foam deep"]
[edition.small.design]
columns = 3
rows = 4
[edition.large.design]
columns = 12
rows = 12
[[fabric]]
slot = "deep"
name = "Ink"
colour = "#203050"
[[fabric]]
slot = "deep"
name = "Tar"
colour = "#303038"
[[fabric]]
slot = "foam"
name = "Foam"
colour = "#f0f0ea"
"""


ONE_SIZE = CHECKS[: CHECKS.index("[edition")] + CHECKS[CHECKS.index("[[fabric]]") :]


def shelf(*cloths):
    rows = []
    for name, colour, count in cloths:
        rows.append(f'{{name = "{name}", colour = "{colour}", form = "strips", width = "2 1/2 in", count = {count}}}')
    return read_stash(f"cloth = [{', '.join(rows)}]")


DARK = [("Squid", "#283040", 3), ("Mussel", "#1f2748", 4)]
PALE = ("Sail", "#efeee4", 7)


def test_sizes_are_told_by_what_is_short():
    # By hand: 2 1/2 in squares, 16 a strip. Half of 4 x 3 x 4 and of 4 x 12 x 12 squares: 24 and 288 of each part.
    # Dark: 7 strips give 112. Pale: 7 strips give 112. So none and 2 x 176 are short.
    fits = match_stash(shelf(*DARK, PALE), [read_study(CHECKS)])
    assert [(fit.edition.split(", ")[-1], fit.needed, fit.missing) for fit in fits] == [
        ("small", 48, 0),
        ("large", 576, 352),
    ]
    large = fits[-1]
    assert dict(large.short) == {"deep": 176, "foam": 176}
    # 11 strips of 2 1/2 in a part from cloth of 40 in: 27 1/2 in and squaring up, and at least a twentieth more
    assert all(one.form == "yardage" and 28.5 < one.amount < 31 for one in large.buy)


def test_the_study_as_written_is_one_of_the_sizes():
    (fit,) = match_stash(shelf(*DARK, PALE), [read_study(ONE_SIZE)])
    assert (fit.needed, fit.missing, fit.finished) == (192, 0, (24.0, 32.0))


def test_uneven_counts_are_used_to_the_last_strip():
    # 96 dark squares are 6 strips of 16: 1 + 5 strips serve, which shared evenly would be 32 short
    (fit,) = match_stash(shelf(("Squid", "#283040", 1), ("Mussel", "#1f2748", 5), PALE), [read_study(ONE_SIZE)])
    assert fit.missing == 0
    (fit,) = match_stash(shelf(("Squid", "#283040", 1), ("Mussel", "#1f2748", 2), PALE), [read_study(ONE_SIZE)])
    assert (fit.missing, dict(fit.short)) == (96 - 48, {"deep": 48})


def test_light_parts_stay_light():
    stash = shelf(*DARK, ("Pitch", "#101010", 40))
    (fit, *_) = match_stash(stash, [read_study(CHECKS)])
    assert dict(fit.cloths)["foam"] == ()
    (fit, *_) = match_stash(stash, [read_study(CHECKS)], lightness=100, difference=0)
    assert dict(fit.cloths)["foam"] != ()


def test_cloth_that_looks_like_the_background_is_left_out():
    near = ("Bone", "#eceade", 9)
    assert measure_difference(near[1], PALE[1]) < 10
    study = read_study(ONE_SIZE.replace("#303038", "#e0e0e0"))
    (fit,) = match_stash(shelf(("Squid", "#283040", 3), near, PALE), [study])
    assert dict(fit.cloths)["deep"] == ("Squid",)
    assert fit.missing == 96 - 48
    (fit,) = match_stash(shelf(("Squid", "#283040", 3), near, PALE), [study], difference=0)
    assert fit.missing == 0
    assert fit.set_aside == ()


def test_the_study_in_cloths_of_the_stash_is_proved_like_any_other():
    study = fill_from_stash(shelf(*DARK, PALE), read_study(ONE_SIZE))
    pattern = make_pattern(study)
    assert not pattern.cutting.short
    assert {fabric.name for fabric in study.fabrics} == {"Squid", "Mussel", "Sail"}
    for fabric in study.fabrics:
        assert (
            abs(find_lightness(fabric.colour) - find_lightness("#f0f0ea" if fabric.slot == "foam" else "#203050")) < 30
        )


def test_a_design_that_cannot_be_built_is_last_with_its_reason():
    bad = read_study(ONE_SIZE.replace('slot = "foam"', 'slot = "spray"').replace("Harbour", "A half"))
    good, worse = match_stash(shelf(*DARK, PALE), [bad, read_study(ONE_SIZE)])
    assert (good.reason, good.title, worse.title) == ("", "Harbour checks", "A half checks")
    assert "`foam`" in worse.reason


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_shares_are_the_best_of_all(data):
    heaps, needs = data.draw(st.integers(1, 4)), data.draw(st.lists(st.integers(0, 20), min_size=1, max_size=3))
    gives = data.draw(
        st.lists(st.lists(st.integers(0, 12), min_size=len(needs), max_size=len(needs)), min_size=heaps, max_size=heaps)
    )
    alone = data.draw(st.lists(st.booleans(), min_size=len(needs), max_size=len(needs)))
    pairs = [(i, j) for i in range(heaps) for j in range(i)]
    apart = data.draw(st.lists(st.sampled_from(pairs), unique=True, max_size=3)) if pairs else []

    def lack(served):
        return sum(
            max(0, need - sum(row[k] for row, one in zip(gives, served, strict=True) if one == k))
            for k, need in enumerate(needs)
        )

    def allowed(served):
        if any(one and served.count(k) > 1 for k, one in enumerate(alone)):
            return False
        for i, j in apart:
            for a, b in ((served[i], served[j]), (served[j], served[i])):
                if a is not None and alone[a] and b is not None and b != a:
                    return False
        return True

    every = [served for served in product((None, *range(len(needs))), repeat=heaps) if allowed(served)]
    found = share_heaps(needs, gives, [[0] * len(needs)] * heaps, alone, apart)
    assert allowed(found)
    assert lack(found) == min(lack(served) for served in every)


def test_an_empty_stash_makes_nothing():
    fits = match_stash(read_stash('system = "inch"'), [read_study(CHECKS)])
    assert all(fit.missing == fit.needed and fit.buy for fit in fits)


def test_the_stash_that_comes_with_the_kit_makes_what_it_is_said_to_make():
    fits = match_stash(open_stash("data/stash/sail-loft.toml"), [open_study("data/studies/ferry-steps.toml")])
    assert [fit.missing for fit in fits] == [0]
    filled = fill_from_stash(open_stash("data/stash/sail-loft.toml"), open_study("data/studies/ferry-steps.toml"))
    assert not make_pattern(filled).cutting.short
