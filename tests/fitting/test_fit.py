"""Bringing a study to a size: what the search finds best is what enumeration finds best, and the sizes are true."""

from itertools import product
from math import log

import pytest
from hypothesis import given, settings
from redrawing import attempt
from strategies import random_cases

import kit
from kit.designs import FAMILIES
from kit.output import tables
from kit.study import study_from_keys, study_keys

pytestmark = pytest.mark.slow

FABRIC = {"name": "Fog", "colour": "#dfe6ea"}
CHECKS = {
    "family": "grid blocks", "columns": 3, "rows": 4, "pattern": ["tide/foam kelp", "kelp foam/tide"],
    "cell_finished": "3 in", "sashing": {"finished": "2 in"}, "border": [{"finished": "3 in"}],
}  # fmt: skip
POINTED = {
    "family": "pinwheel", "columns": 3, "rows": 3, "block_finished": "8 in", "on_point": {},
    "border": [{"finished": "4 in"}],
}  # fmt: skip
TEETH = {
    "family": "pinwheel", "columns": 3, "rows": 3, "block_finished": "8 in",
    "border": [
        {"finished": "3 in", "pieces": "half squares", "fit": "spacer"},
        {"finished": "2 in"},
    ],
}  # fmt: skip
FLIGHTS = {
    "family": "flying geese", "columns": 3, "rows": 1, "geese": 8, "goose_finished": "2 in",
    "bars": {"finished": "3 in"},
}  # fmt: skip
PLAITS = {
    "family": "braid", "columns": 2, "length_finished": "40 in", "strip_cut": "2 1/2 in", "column_finished": "7 in",
    "sashing": {"finished": "2 in", "outer": True},
}  # fmt: skip


def make_study(design, **more):
    slots = {"spacer", *FAMILIES[design["family"]].model_validate(design).patchwork().slots}
    fabrics = [FABRIC | {"slot": slot, "name": slot} for slot in sorted(slots)]
    return study_from_keys({"title": "Size", "design": design, "fabric": fabrics} | more)


def measure(study, across, down, block, sashing, border):
    """Return the finished size of a study whose keys are set by hand, as its family measures it, None if it is none."""
    design = dict(study_keys(study)["design"])
    kind = type(study.design)
    counts = zip(kind.count_keys, (across, down), strict=True)
    design |= {key: count for key, count in counts if count is not None}
    if block is not None:
        design[kind.size_key] = f"{block} in"
    between = "bars" if "bars" in design else "sashing"
    if sashing is not None:
        design[between] = design[between] | {"finished": f"{sashing} in"}
    if border is not None:
        design["border"] = [*design["border"][:-1], design["border"][-1] | {"finished": f"{border} in"}]
    made, _ = attempt(lambda: kind.model_validate(design).measure(study.measures.seam_allowance))
    return made


def enumerate_best(study, target, spans, wishes=("any", "any")):
    """Return for each pair of counts the fewest points of any combination, by the rule as it is documented.

    An inch off is a point, eight times the logarithm for another length, four for a wish that is not met.
    """
    own = (spans["own_block"], spans["own_sashing"], spans["own_border"])
    best = {}
    for across, down in product(spans["across"], spans["down"]):
        for lengths in product(*(spans[key] or [None] for key in ("blocks", "sashings", "borders"))):
            size = measure(study, across, down, *lengths)
            if size is None:
                continue
            if down is None:  # braids are made as long as is wanted
                size = size[0], target.height
            off = [abs(size[0] - target.width), abs(size[1] - target.height)]
            if max(off) > target.tolerance + 1e-9:
                continue
            points = sum(off)
            points += sum(8 * abs(log(new / old)) for new, old in zip(lengths, own, strict=True) if new is not None)
            for count, wish in zip((across, down), wishes, strict=True):
                points += 4 if count is not None and wish != "any" and count % 2 != (wish == "odd") else 0
            best[across, down] = min(points, best.get((across, down), points))
    return best


def read_spans(study, counts, block, sashing, border):
    """Return what is enumerated: counts, and lengths in eighths of an inch."""
    design, kind = study.design, type(study.design)
    table = getattr(design, "bars", None) or design.sashing
    own = (
        getattr(design, kind.size_key) if kind.size_key else None,
        table.finished if table else None,
        design.border[-1].finished if design.border and design.border[-1].pieces == "plain" else None,
    )
    steps = (0.125 * kind.parts, 0.125, 0.125)
    lengths = []
    for one, step, span in zip(own, steps, (block, sashing, border), strict=True):
        inside = [n * step for n in range(1, 400) if span and span[0] - 1e-9 <= n * step <= span[1] + 1e-9]
        lengths.append(
            sorted({*inside, one}) if one is not None and span and span[0] <= one <= span[1] else inside if one else []
        )
    by_length = getattr(design, "length_finished", None) is not None
    return {
        "across": range(counts[0][0], counts[0][1] + 1),
        "down": [None] if by_length else range(counts[1][0], counts[1][1] + 1),
        **dict(zip(("blocks", "sashings", "borders"), lengths, strict=True)),
        **dict(zip(("own_block", "own_sashing", "own_border"), own, strict=True)),
    }


CASES = {
    "checks": (
        CHECKS,
        (27, 35),
        {"block": (2.75, 3.25), "sashing": (1.75, 2.25), "border": (2.75, 3.25)},
        ("any",) * 2,
    ),
    "checks, even across": (
        CHECKS,
        (30, 38),
        {"block": (2.5, 3.25), "sashing": (2, 2.5), "border": (3, 3)},
        ("even", "odd"),
    ),
    "on point": (POINTED, (44, 56), {"block": (7, 9), "border": (3, 5)}, ("odd", "any")),
    "pieced frame with its spacer": (TEETH, (38, 46), {"block": (7.5, 8.5), "border": (1.75, 2.25)}, ("any",) * 2),
    "flights between bars": (FLIGHTS, (30, 20), {"block": (1.75, 2.25), "sashing": (2.5, 3)}, ("any", "even")),
    "columns of a given length": (PLAITS, (34, 57), {"block": (6, 8), "sashing": (1, 2)}, ("any",) * 2),
}
"""A design, the wanted size, the ranges, and the wishes for the counts."""


@pytest.mark.parametrize("name", CASES)
def test_the_search_finds_for_every_pair_of_counts_what_enumeration_finds(name):
    design, (width, height), spans, wishes = CASES[name]
    study = make_study(design)
    counts = (2, 5), (2, 7) if design is not FLIGHTS else (6, 12)
    found = kit.fit(
        study, width, height, tolerance=4, counts=counts, across=wishes[0], down=wishes[1], most=84,
        **{key: (f"{low} in", f"{high} in") for key, (low, high) in spans.items()},
    )  # fmt: skip
    target = kit.aim(width, height, tolerance=4)
    best = enumerate_best(
        study, target, read_spans(study, counts, *map(spans.get, ("block", "sashing", "border"))), wishes
    )
    if name == "columns of a given length":
        best = {(across, None): points for (across, _), points in best.items()}
    points = [option.oddness for option in found.options]
    assert points == sorted(points)
    pairs = [(option.choice.across, option.choice.down) for option in found.options]
    assert {pair: points[pairs.index(pair)] for pair in pairs} == pytest.approx(best, abs=1e-4)
    assert best


@settings(max_examples=8)
@given(random_cases(borders=1))
def test_a_quilt_of_any_kind_that_is_brought_to_its_own_size_stays_as_it_is(case):
    patchwork, _ = attempt(lambda: case.build().verify())
    if patchwork is None or min(patchwork.finished) < 1 or len(patchwork.patches) > 300:
        return
    study = make_study(case.keys, measures={"seam_allowance": case.allowance_text})
    own = [getattr(study.design, key) for key in type(study.design).count_keys]
    counts = tuple((count, count + 1) for count in own)
    found = kit.fit(study, *patchwork.finished, tolerance=1, counts=counts, most=1)
    assert found.options[0].oddness == pytest.approx(0, abs=1e-3)
    assert found.options[0].sketch.patchwork.finished == pytest.approx(patchwork.finished, abs=1e-4)
    assert found.options[0].choice.across == own[0]


@settings(max_examples=40)
@given(random_cases())
def test_what_a_design_measures_is_what_its_top_finishes(case):
    patchwork, refusal = attempt(case.build)
    measured, _ = attempt(lambda: case.family.measure(case.allowance))
    if refusal is None:
        assert measured == pytest.approx(patchwork.finished, abs=1e-6)


def test_a_quilt_whose_neighbours_cannot_be_built_is_still_brought_to_its_own_size():
    tiny = {"family": "flying geese", "columns": 1, "rows": 1, "geese": 2, "goose_finished": "0.625 in", "on_point": {}}
    study = make_study(tiny)
    found = kit.fit(study, *study.make_patchwork().finished, tolerance=1, counts=((1, 2), (2, 3)), most=1)
    assert found.options[0].oddness == pytest.approx(0, abs=1e-3)


# What comes back


def test_ten_ways_to_a_bed_each_with_its_size_its_oddness_and_its_cloth():
    study = kit.open_study("data/studies/lamplight.toml")
    found = kit.fit(study, bed="queen", drop="14 in", across="even", down="even", tolerance="4 in")
    frame = tables.fits(found)
    assert len(found.options) == len(frame) == 10
    assert list(frame["Oddness"]) == sorted(frame["Oddness"])
    for option in found.options:
        width, height = option.sketch.patchwork.finished
        assert (width, height) == option.finished
        assert max(abs(width - 88), abs(height - 94)) <= 4
        assert option.sketch.study.design.columns == option.choice.across
        assert not option.sketch.cutting.short
    assert (frame["Yardage"] != "").all()
    assert found.options[0].choice.across % 2 == found.options[0].choice.down % 2 == 0


def test_blocks_lie_on_the_rulers_eighths_and_so_do_their_parts():
    found = kit.fit(make_study(POINTED), 50, 50, tolerance=3, border=("4 in", "4 in"))
    assert found.options
    for option in found.options:
        assert option.choice.block * 8 / 4 == pytest.approx(round(option.choice.block * 8 / 4))


def test_what_cannot_be_built_is_passed_over_with_its_reason():
    study = make_study(
        {"family": "whirl", "columns": 2, "rows": 2, "centre_finished": "4 in", "offset": {"shifts": ["whole", "9 in"]}}
    )
    found = kit.fit(study, 20, 20, tolerance=8, block=("2 in", "4 in"))
    assert all(option.choice.block > 3 for option in found.options)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"width": "7 in", "height": "7 in", "tolerance": "1/4 in"}, "Nothing finishes within"),
        ({"width": 30, "height": 40, "across": "prime"}, "The wish for the count across is `prime`"),
        ({"width": 30, "height": 40, "counts": ((3, 2), (1, 5))}, "The counts run from 3 to 2"),
        ({"width": 30, "height": 40, "block": ("3 in", "2 in")}, "The range of the block is 3 to 2 in"),
        ({"width": 30, "height": 40, "block": ("1/4 in", "200 in")}, "lengths of the block would be tried"),
        ({"width": 30, "height": 40, "border": ("1.01 in", "1.02 in")}, "No length of the border lies from"),
    ],
)
def test_a_wish_that_cannot_be_met_is_refused_in_words(asked, said):
    with pytest.raises(kit.KitError) as caught:
        kit.fit(make_study(CHECKS), **asked)
    assert said in str(caught.value)
    assert caught.value.needed
    assert caught.value.do


def test_a_pointed_braid_is_brought_to_a_size_by_its_pairs_alone():
    # From the corner of the square to the point, 20 pairs of strips that finish 2 in rise 21 · 2 · √2 = 59.397 in.
    pointed = {"family": "braid", "columns": 1, "pairs": 7, "column_finished": "8 in", "start": "square"}
    found = kit.fit(make_study(pointed | {"ends": "pointed"}), "8 in", "60 in")
    assert {(option.choice.across, option.choice.down) for option in found.options} == {(1, 20)}
    (option,) = (option for option in found.options if option.choice.block == 8)
    assert option.finished == pytest.approx((8, 59.397), abs=1e-3)


def test_a_parallelogram_of_strings_keeps_its_counts_when_it_is_brought_to_a_size():
    panel = {"family": "string panels", "columns": 1, "rows": 1, "panel_finished": "9 in", "ends": "slanted"}
    study = make_study(panel | {"strips_cut": ["2 in", "1 1/2 in"]})
    found = kit.fit(study, "14 in", "4 in", block=("8 in", "12 in"))
    assert {(option.choice.across, option.choice.down) for option in found.options} == {(1, 1)}
    assert all(option.finished[0] == pytest.approx(option.choice.block + 3.5) for option in found.options)
