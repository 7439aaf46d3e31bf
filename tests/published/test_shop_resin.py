"""Mixing, pot life and their limits against print. Tags: S seen in the source · R recomputed."""

from decimal import Decimal

import pytest

from plytally.core.quantities import Ratio, parse_quantity
from plytally.core.shop.cure import RateLaw, time_at, timed
from plytally.core.shop.cure_clock import Reading, run_clock
from plytally.core.shop.resin import COMMON_POT, Spread, batch_for_area, batch_with, cups, split
from plytally.core.shop.weighing import ALLOWED, dispensed, weighed

FOUR_TO_ONE = Ratio(Decimal(4), Decimal(1))
AT_72 = timed(parse_quantity("72 degF"), parse_quantity("30 min"))


def test_400_g_of_resin_at_four_to_one_takes_100_g_of_hardener_and_makes_500_g():
    """US Army TM 55-1905-223-SDC 8-24, R."""
    batch = batch_with(parse_quantity("400 g"), FOUR_TO_ONE)

    assert batch.hardener.value == parse_quantity("100 g")
    assert batch.mix.value == parse_quantity("500 g")


def test_2_g_for_each_square_inch_of_a_6_by_40_inch_strip_makes_480_g():
    """US Army TM 55-1905-223-SDC 8-24, R; its text says that 500 g suffices."""
    spread = Spread(parse_quantity("2 g"), parse_quantity("1 in2"))

    batch = batch_for_area(parse_quantity("240 in2"), spread, FOUR_TO_ONE)

    assert batch.mix.value == parse_quantity("480 g")
    assert batch.resin.value.amount + batch.hardener.value.amount == 480


def test_100_to_10_parts_by_weight_are_10_g_of_hardener_in_110_g():
    """US Army TM 1-1500-204-23-1, S: 100:10 parts by weight."""
    batch = split(parse_quantity("110 g"), Ratio(Decimal(100), Decimal(10)))

    assert batch.resin.value == parse_quantity("100 g")
    assert batch.hardener.value == parse_quantity("10 g")


def test_the_dispensing_error_allowed_is_half_a_percent():
    """DA20-C1 AMM 51-00-00 p.10, S."""
    just = weighed(FOUR_TO_ONE, parse_quantity("400 g"), parse_quantity("100.5 g"))
    over = weighed(FOUR_TO_ONE, parse_quantity("400 g"), parse_quantity("100.6 g"))

    assert parse_quantity("0.5 %") == ALLOWED
    assert just.within
    assert not over.within
    assert "DA20-C1" in dispensed(ALLOWED).source


def test_a_cup_is_a_common_pot_of_100_g_unless_the_builder_says_otherwise():
    """DA20-C1 AMM 51-00-00 p.10, S."""
    shared = cups(parse_quantity("480 g"), FOUR_TO_ONE)

    assert parse_quantity("100 g") == COMMON_POT
    assert shared.number.value == 5
    assert shared.each.mix.value == parse_quantity("96 g")


@pytest.mark.parametrize(
    ("warm", "minutes"),
    [
        pytest.param("72 degF", 30, id="Warm Temperature Bonding, 72 °F, S"),
        pytest.param("90 degF", 15, id="TM 1-1500-204-23-11 p.169, 90 °F is 50 % less, S"),
        pytest.param("108 degF", 7.5, id="Warm Temperature Bonding, 18 °F more again, S"),
    ],
)
def test_18_fahrenheit_above_72_halve_the_pot_life(warm, minutes):
    assert float(time_at(AT_72, parse_quantity(warm)).value.amount) == pytest.approx(minutes)


@pytest.mark.parametrize(
    ("factor", "share"),
    [
        pytest.param("1.5", 1 / 1.5, id="gel time by 10 °C, least real factor 1.5, S"),
        pytest.param("2", 0.5, id="gel time by 10 °C, about halves, S"),
        pytest.param("2.5", 1 / 2.5, id="gel time by 10 °C, greatest real factor 2.5, S"),
    ],
)
def test_10_celsius_more_divide_the_gel_time_by_the_factor_of_the_system(factor, share):
    law = RateLaw(Decimal(factor), parse_quantity("10 degC"))
    gel = timed(parse_quantity("20 degC"), parse_quantity("40 min"), law, "gel time")

    answer = time_at(gel, parse_quantity("30 degC"))

    assert float(answer.value.amount) == pytest.approx(40 * share)
    assert "unusual" not in answer.caution


def test_a_factor_outside_the_published_range_is_cautioned():
    law = RateLaw(Decimal("2.6"))

    answer = time_at(
        timed(parse_quantity("72 degF"), parse_quantity("30 min"), law), parse_quantity("80 degF")
    )

    assert "unusual" in answer.caution


def test_the_clock_says_that_pot_life_starts_when_mixing_is_complete():
    """US Army TM 1-1500-204-23-11 p.169, S."""
    readings = [Reading(parse_quantity("0 min"), parse_quantity("72 degF"))]

    clock = run_clock(AT_72, readings, parse_quantity("10 min"))

    assert "start of the pot life when mixing is complete" in clock.share.caution
    assert "p.169" in clock.share.caution


def test_one_batch_at_a_time_and_a_hot_cup_left_alone_are_cautioned_with_every_mix():
    """US Army TM 1-1500-204-23-11 p.28 and p.166, S."""
    caution = split(parse_quantity("100 g"), FOUR_TO_ONE).mix.caution

    assert "Don't mix several batches at once" in caution
    assert "toxic gas: don't handle it" in caution
    assert "nitrile" in caution
