"""The builder's own thickness per ply learns from each coupon, and says how sure it is."""

import statistics
from decimal import Decimal
from fractions import Fraction
from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.quantities import UNITS, Quantity, parse_quantity
from plytally.core.shop.coupon import PerPly, correction, plies_for

q = parse_quantity
COUPONS = st.lists(
    st.tuples(st.decimals("0.005", "0.5", places=4), st.integers(1, 20)), min_size=1, max_size=12
)


def learnt(coupons):
    return reduce(lambda own, one: own.with_coupon(Quantity(one[0], UNITS["in"]), one[1]), coupons, PerPly())


@given(COUPONS)
def test_the_running_estimate_is_the_mean_and_spread_of_all_measurements(coupons):
    each = [Fraction(thick) / plies for thick, plies in coupons]

    own = learnt(coupons)

    assert float(own.thickness().value.amount) == pytest.approx(float(statistics.mean(each)), rel=1e-10)
    if len(coupons) > 1:
        assert float(own.spread().value.amount) == pytest.approx(statistics.stdev(map(float, each)), abs=1e-9)


@given(COUPONS, st.randoms(use_true_random=False))
def test_the_order_in_which_coupons_are_measured_does_not_matter(coupons, chance):
    shuffled = coupons.copy()
    chance.shuffle(shuffled)

    assert learnt(shuffled) == learnt(coupons)


@given(st.decimals("0.01", "1", places=3), st.decimals("0.005", "0.02", places=4), st.integers(0, 20))
def test_the_plies_chosen_are_the_nearest_and_their_range_holds_them(build_up, each, percent):
    spread = Quantity(each * percent / 100, UNITS["in"])

    found = plies_for(Quantity(build_up, UNITS["in"]), Quantity(each, UNITS["in"]), spread)

    assert abs(found.plies.value * each - build_up) <= each / 2
    assert found.fewest.value <= found.plies.value <= found.most.value
    assert float(found.short_by.value.amount) == pytest.approx(
        float(build_up - found.plies.value * each), abs=1e-12
    )


def test_a_step_counts_like_a_coupon_of_the_plies_that_made_it():
    by_step = PerPly().with_step(q("0.250 in"), q("0.281 in"), 3)

    assert by_step == PerPly().with_coupon(q("0.031 in"), 3)


def test_two_coupons_give_the_builders_own_ply_and_its_spread():
    own = PerPly().with_coupon(q("0.052 in"), 5).with_coupon(q("0.048 in"), 5)

    assert own.thickness().value == q("0.01 in")
    assert own.spread().value.amount.quantize(Decimal("0.000001")) == Decimal("0.000566")
    assert own.thickness().inputs[0].value == 2


def test_a_build_up_of_0_080_takes_8_plies_of_0_010_give_or_take_one():
    found = plies_for(q("0.080 in"), q("0.010 in"), q("0.0006 in"))

    assert found.plies.value == 8
    assert (found.fewest.value, found.most.value) == (7, 9)
    assert found.reached.value == q("0.08 in")
    assert found.reached_spread.value == q("0.0048 in")
    assert found.short_by.value.amount == 0


def test_without_a_spread_no_spread_is_claimed():
    found = plies_for(q("2 mm"), q("0.010 in"))

    assert found.reached_spread is None
    assert found.fewest.value == found.most.value == found.plies.value == 8
    assert found.reached.value == q("2.032 mm")


def test_own_plies_are_told_as_a_percentage_of_the_calculated_ones():
    assert correction(q("0.0104 in"), q("0.0100 in")).value == q("104 %")
