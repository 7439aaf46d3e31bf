"""A laminate on paper: laws first, then an example of each sum."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.quantities import UNITS, Quantity, parse_quantity
from plytally.core.shop.laminate import (
    BAGGED,
    FIBRE_DENSITIES,
    HAND,
    WAYS,
    Cloth,
    Plies,
    fibre_volume,
    fibre_volume_by_mass,
    ply_thickness,
    stack_thickness,
    way_of,
    wet_out,
)

q = parse_quantity
BID = Cloth("BID", q("6 oz/yd2"))
UNI = Cloth("UNI", q("9 oz/yd2"))
WEIGHTS = st.decimals(1, 60, places=2).map(lambda ounces: Quantity(ounces, UNITS["oz/yd2"]))
VOLUMES = st.decimals(10, 69, places=1).map(lambda percent: way_of(Quantity(percent, UNITS["%"])))


def close(one, other):
    return float(one.si()) == pytest.approx(float(other.si()), rel=1e-10)


@given(WEIGHTS, VOLUMES, st.integers(1, 60))
def test_a_stack_is_as_thick_as_its_plies_together(weight, way, number):
    cloth = Cloth("cloth", weight)

    whole = stack_thickness([Plies(number, cloth)], way).value

    assert float(whole.si()) == pytest.approx(number * float(ply_thickness(cloth, way).value.si()), rel=1e-10)


@given(WEIGHTS, VOLUMES, st.integers(1, 60))
def test_the_fibre_volume_of_a_calculated_stack_is_the_one_it_was_calculated_with(weight, way, number):
    stack = [Plies(number, Cloth("cloth", weight))]

    assert close(fibre_volume(stack, stack_thickness(stack, way).value).value, way.fibre_volume)


@given(WEIGHTS, VOLUMES, st.integers(1, 20))
def test_cloth_and_resin_of_a_stack_weigh_out_to_its_fibre_volume(weight, way, number):
    taken = wet_out([Plies(number, Cloth("cloth", weight))], q("1 yd2"), way)

    assert close(fibre_volume_by_mass(taken.cloth.value, taken.resin.value).value, way.fibre_volume)


@given(st.lists(st.tuples(st.integers(1, 9), WEIGHTS), min_size=1, max_size=5), VOLUMES)
def test_the_order_of_the_plies_does_not_matter(rows, way):
    stack = [Plies(number, Cloth("cloth", weight)) for number, weight in rows]

    assert stack_thickness(stack, way).value == stack_thickness(stack[::-1], way).value


@given(WEIGHTS, VOLUMES)
def test_the_unit_of_the_areal_weight_does_not_matter(weight, way):
    metric = Cloth("cloth", weight.to("g/m2"))

    assert close(ply_thickness(metric, way).value, ply_thickness(Cloth("cloth", weight), way).value)


def test_ten_plies_of_bid_laid_by_hand_are_about_a_tenth_of_an_inch():
    thickness = stack_thickness([Plies(10, BID)]).value

    assert thickness.unit is UNITS["in"]
    assert thickness.amount.quantize(Decimal("0.001")) == Decimal("0.105")


def test_a_bagged_stack_is_thinner_and_takes_less_resin_than_one_laid_by_hand():
    hand, bagged = (wet_out([Plies(4, BID), Plies(2, UNI)], q("4 ft2"), way) for way in (HAND, BAGGED))

    assert bagged.thickness.value.amount < hand.thickness.value.amount
    assert bagged.resin.value.amount < hand.resin.value.amount
    assert bagged.cloth.value == hand.cloth.value


def test_the_finished_weight_is_cloth_and_resin():
    taken = wet_out([Plies(4, BID)], q("4 ft2"))

    assert taken.finished.value.amount == pytest.approx(taken.cloth.value.amount + taken.resin.value.amount)


def test_an_answer_names_the_way_of_laying_and_who_says_so():
    answer = ply_thickness(BID, BAGGED)

    assert "fibre volume, bagged" in [given.name for given in answer.inputs]
    assert BAGGED.source in answer.source
    assert "builder's own" in ply_thickness(BID, way_of(q("35 %"))).source


def test_wetting_out_cautions_about_the_skin_and_defers_to_plans_and_inspector():
    caution = wet_out([Plies(1, BID)], q("1 ft2")).resin.caution

    assert "sensitise skin" in caution
    assert "inspector decide" in caution


@pytest.mark.parametrize("fibre", FIBRE_DENSITIES)
def test_every_listed_fibre_has_a_density_and_says_where_it_is_from(fibre):
    density, source = FIBRE_DENSITIES[fibre]

    assert ply_thickness(Cloth(fibre, q("6 oz/yd2"), density), WAYS["hand"]).value.amount > 0
    assert source
