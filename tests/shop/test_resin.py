"""Resin and hardener: nothing is lost between cup and scale, and a misweigh can be mended in time."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.quantities import UNITS, Quantity, Ratio, parse_quantity
from plytally.core.shop.laminate import Cloth, Plies, wet_out
from plytally.core.shop.resin import (
    By,
    batch_for_plies,
    batch_with,
    cup_caution,
    cups,
    ratio_by_volume,
    ratio_by_weight,
    split,
)
from plytally.core.shop.weighing import ALLOWED, dispensed, least_mix, scaled, weighed

q = parse_quantity
FOUR = Ratio(Decimal(4), Decimal(1))
GRAMS = st.decimals(1, 5000, places=1).map(lambda grams: Quantity(grams, UNITS["g"]))
RATIOS = st.builds(Ratio, st.decimals(1, 100, places=1), st.decimals(1, 100, places=1))


def amount(worked):
    return float(worked.value.amount)


@given(GRAMS, RATIOS)
def test_resin_and_hardener_add_up_to_the_mix_at_the_ratio(mix, ratio):
    batch = split(mix, ratio)

    assert amount(batch.resin) + amount(batch.hardener) == pytest.approx(float(mix.amount), rel=1e-10)
    assert amount(batch.resin) / amount(batch.hardener) == pytest.approx(
        float(ratio.first / ratio.second), rel=1e-9
    )


@given(GRAMS, RATIOS)
def test_the_hardener_for_the_resin_of_a_mix_is_the_hardener_of_that_mix(mix, ratio):
    batch = split(mix, ratio)

    assert amount(batch_with(batch.resin.value, ratio).hardener) == pytest.approx(
        amount(batch.hardener), rel=1e-9
    )


@given(GRAMS, RATIOS, st.integers(20, 500))
def test_cups_hold_the_whole_mix_and_none_is_over_full_nor_one_too_many(mix, ratio, most):
    shared = cups(mix, ratio, Quantity(Decimal(most), UNITS["g"]))

    assert amount(shared.each.mix) <= most + 1e-9
    assert amount(shared.each.mix) * shared.number.value == pytest.approx(float(mix.amount), rel=1e-10)
    assert (shared.number.value - 1) * most < mix.amount


@given(RATIOS, st.decimals("0.8", "1.5", places=2), st.decimals("0.8", "1.5", places=2))
def test_a_ratio_by_volume_comes_back_from_its_ratio_by_weight(ratio, resin, hardener):
    densities = (Quantity(resin, UNITS["g/cm3"]), Quantity(hardener, UNITS["g/cm3"]))

    back = ratio_by_volume(ratio_by_weight(ratio, *densities).value, *densities).value

    assert float(back.first / back.second) == pytest.approx(float(ratio.first / ratio.second), rel=1e-9)


@given(GRAMS, GRAMS, RATIOS)
def test_a_misweighed_cup_comes_right_with_what_it_says_to_add(resin, hardener, ratio):
    found = weighed(ratio, resin, hardener)
    more = float(found.add.value.amount)
    of_resin, of_hardener = float(resin.amount), float(hardener.amount)

    if found.add.what.startswith("resin"):
        of_resin += more
    else:
        of_hardener += more

    assert more >= 0
    assert of_resin / of_hardener == pytest.approx(float(ratio.first / ratio.second), rel=1e-9)


@given(RATIOS, st.decimals("0.01", "5", places=2), st.decimals("0.1", "10", places=1))
def test_the_smallest_mix_of_a_scale_is_off_by_just_what_is_allowed(ratio, step, allowed):
    scale, limit = Quantity(step, UNITS["g"]), Quantity(allowed, UNITS["%"])

    mix = least_mix(ratio, scale, limit).value

    assert amount(scaled(mix, ratio, scale)) == pytest.approx(float(allowed), rel=1e-6)


def test_three_plies_take_what_wets_them_out_and_what_stays_in_the_cup():
    stack, area = [Plies(3, Cloth("BID", q("6 oz/yd2")))], q("4 ft2")
    wet = wet_out(stack, area).resin.value

    batch = batch_for_plies(stack, area, FOUR, waste=q("20 %"))

    assert amount(batch.mix) * 0.8 == pytest.approx(float(wet.amount))
    assert ("waste", q("20 %")) in [(given.name, given.value) for given in batch.mix.inputs]


def test_four_percent_too_much_hardener_is_mended_with_resin():
    found = weighed(FOUR, q("400 g"), q("104 g"))

    assert found.ratio.value == Ratio(Decimal(4), Decimal("1.04"))
    assert found.off.value == q("4 %")
    assert found.add.what == "resin to add to come right"
    assert found.add.value == q("16 g")
    assert not found.within


def test_too_little_hardener_is_mended_with_hardener():
    found = weighed(FOUR, q("400 g"), q("90 g"))

    assert found.off.value == q("-10 %")
    assert found.add.what == "hardener to add to come right"
    assert found.add.value == q("10 g")


def test_a_cup_measured_by_volume_is_held_against_a_ratio_by_volume():
    assert weighed(FOUR, q("400 mL"), q("100 mL"), By.VOLUME).within


def test_half_a_percent_either_way_on_both_parts_puts_the_hardener_off_by_one_percent():
    assert dispensed(ALLOWED).value.amount.quantize(Decimal("0.001")) == Decimal("1.005")


def test_a_scale_in_tenths_of_a_gram_is_too_coarse_for_half_a_percent_of_100_g_at_four_to_one():
    assert amount(scaled(q("100 g"), FOUR, q("0.1 g"))) > ALLOWED.amount
    assert least_mix(FOUR, q("0.1 g")).value.amount.quantize(Decimal(1)) == 125


def test_two_to_one_by_volume_is_another_ratio_by_weight():
    ratio = ratio_by_weight(Ratio(Decimal(2), Decimal(1)), q("1.15 g/cm3"), q("0.97 g/cm3")).value

    assert str(ratio).startswith("100:42.17")


@pytest.mark.parametrize(
    ("cup", "cautioned"),
    [("100 g", False), ("101 g", True), ("90 mL", False), ("92 mL", True), ("1 kg", True)],
)
def test_a_cup_over_the_common_pot_is_cautioned_by_its_mass(cup, cautioned):
    assert bool(cup_caution(q(cup))) is cautioned


def test_a_big_batch_is_cautioned_and_its_cups_are_not():
    whole, shared = split(q("480 g"), FOUR), cups(q("480 g"), FOUR)

    assert "over the common pot" in whole.mix.caution
    assert "over the common pot" not in shared.each.mix.caution
    assert "over the common pot" in cups(q("480 g"), FOUR, q("250 g")).number.caution
