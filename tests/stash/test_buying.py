"""What one buys: rolls, packs and yardage for the same pieces, counted by hand, and prints that are set aside."""

from dataclasses import replace

import pytest

from kit.errors import KitError
from kit.model.buying import COMMON_PACKS, ClothPack
from kit.model.colour import measure_difference
from kit.output.tables import buying
from kit.output.words.buying_words import say_buying
from kit.pipeline import make_sketch
from kit.stash import compare_buying
from kit.study import read_study

BOXES = """title = "Fish boxes"
[design]
family = "grid blocks"
columns = 12
rows = 15
cell_finished = "2 in"
pattern = ["box"]
"""
PRINTS = [("Herring", "#446688"), ("Sprat", "#99aabb"), ("Cod", "#776655")]
EDGE = '[[design.border]]\nfinished = "2 in"\nslot = "edge"\n'


def sketch(prints=PRINTS, more="", **keys):
    rows = [f'[[fabric]]\nslot = "box"\nname = "{name}"\ncolour = "{colour}"\n' for name, colour in prints]
    text = BOXES + more + "".join(row + "".join(f"{k} = {v}\n" for k, v in keys.items()) for row in rows)
    if more:
        text += '[[fabric]]\nslot = "edge"\nname = "Foam"\ncolour = "#9aabba"\n'
    return make_sketch(read_study(text))


def test_the_ways_to_buy_180_squares_are_those_counted_by_hand():
    # Squares of 2 1/2 in: 16 of a strip of 40 in, 16 of a square of 10, 4 of a square of 5, 7 x 8 of 18 x 20: 12, 12,
    # 45 and 4 of them.
    # By the length twelve rows, 30 in, an inch for squaring up, a twentieth (1.55 in, 1 5/8 on the ruler): 32 5/8 in.
    (one,) = compare_buying(sketch())
    assert [(way.pack and way.pack.form, way.used, way.packs) for way in one.ways] == [
        ("strips", 12, 1),
        ("squares", 12, 1),
        ("squares", 45, 2),
        ("fat quarter", 4, 4),
        (None, 32.625, 0),
    ]
    assert (one.pieces, one.prints, one.alike) == (180, 3, ())


def test_it_is_said_in_one_line():
    (one,) = compare_buying(sketch(), (COMMON_PACKS[0], COMMON_PACKS[3]))
    said = say_buying(one).replace("\N{NO-BREAK SPACE}", " ")
    assert said == "box: 1 roll of 40 strips 2½ in wide (12 cut), or 4 fat quarters, or 1 yd, 40 in wide"
    assert buying([one])["Buy"].iloc[0].replace("\N{NO-BREAK SPACE}", " ") == said.removeprefix("box: ")


def test_prints_that_look_like_another_part_are_set_aside():
    # One print of three: of a roll of 18 six strips are set aside, and 12 of 12 are cut; of a roll of 17 again six
    assert measure_difference("#9aabba", "#99aabb") < 10
    box = next(
        one for one in compare_buying(sketch(more=EDGE), (ClothPack("strips", 2.5, 18), ClothPack("strips", 2.5, 17)))
    )
    assert box.alike == ("Sprat",)
    assert [(way.aside, way.packs) for way in box.ways[:2]] == [(6, 1), (6, 2)]
    assert "6 of each set aside" in say_buying(box)


def test_a_part_of_one_print_is_not_bought_in_packs_of_many():
    (one,) = compare_buying(sketch(PRINTS[:1]))
    assert [way.pack and way.pack.form for way in one.ways] == ["fat quarter", None]


def test_a_pack_that_is_too_small_for_a_piece_is_left_out():
    made = sketch()
    larger = read_study(BOXES.replace('"2 in"', '"6 in"') + "".join(
        f'[[fabric]]\nslot = "box"\nname = "{name}"\ncolour = "{colour}"\n' for name, colour in PRINTS
    ))  # fmt: skip
    (one,) = compare_buying(make_sketch(larger))
    # squares of 6 1/2 in: none of a strip or a square of 5 in; one of a square of 10 in, 180 of them in 5 packs of 42
    assert [(way.pack and way.pack.form, way.packs) for way in one.ways[:1]] == [("squares", 5)]
    assert made.cutting.short == {}


def test_the_same_cloth_is_planned_whatever_the_number_of_prints():
    ways = [compare_buying(sketch(PRINTS[:count]))[0].ways[-1].used for count in (1, 2, 3)]
    assert len(set(ways)) == 1


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"form": "yardage"}, "has the form `yardage`"),
        ({"width": 0.0}, "0 in wide"),
        ({"count": 0}, "holds 0 pieces"),
        ({"count": 2.5}, "holds 2.5 pieces"),
    ],
)
def test_a_pack_that_nobody_can_buy_is_refused(wrong, says):
    with pytest.raises(KitError) as refused:
        replace(COMMON_PACKS[0], **wrong)
    assert says in str(refused.value)
    assert refused.value.needed
    assert refused.value.do


def test_a_pack_takes_its_width_as_a_text():
    assert ClothPack("strips", "2 1/2 in", 40) == COMMON_PACKS[0]


def test_a_print_is_bought_by_its_repeats():
    # Derived: 180 squares of 2 1/2 in are thirty sets of six, two strips of sixteen in each of six layers of 24 in:
    # 144 in, an inch for squaring up and a twentieth, 7 1/4 in: 152 1/4 in. A fat quarter has no whole repeats.
    (one,) = compare_buying(sketch(PRINTS[:1], repeat='"24 in"', stack=6))
    assert [(way.pack, way.used) for way in one.ways] == [(None, 152.25)]
