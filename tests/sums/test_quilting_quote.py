"""Quilting by the square inch: 56 by 72 in are 4,032 square inches (a worked example of the trade)."""

import pytest

from kit.sums.money_sums import quote


@pytest.mark.parametrize(("rate", "price"), [(0.02, 80.64), (0.03, 120.96), (0.04, 161.28)])
def test_4032_square_inches_cost_what_a_quilter_charges(rate, price):
    assert quote("56 x 72 in", quilting_rate=rate)["quilting"] == pytest.approx(price, abs=1e-9)


def test_a_small_quilt_costs_the_minimum():
    assert quote("20 x 30 in", quilting_rate=0.02, quilting_minimum=75)["quilting"] == 75
    assert quote("56 x 72 in", quilting_rate=0.02, quilting_minimum=75)["quilting"] == pytest.approx(80.64)
