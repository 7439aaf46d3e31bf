"""The pot life clock against published figures: warmer by 18 °F, half as long."""

import pytest

from plytally.core.pot_life import USUAL, Air, ResinTimes, pot_life
from plytally.core.quantities import parse_quantity
from plytally.core.shop.cure import time_at, timed

MIXED = 1_793_690_400_000
MAKER = ResinTimes({"epoxy": timed(parse_quantity("72 degF"), parse_quantity("40 min"))})


def lasts(fahrenheit, times):
    air = Air(MIXED - 60_000, parse_quantity(f"{fahrenheit} degF"))
    return (pot_life("epoxy", None, MIXED, [air], times).due_millis - MIXED) / 60_000


@pytest.mark.parametrize(
    "times",
    [
        pytest.param(ResinTimes(), id="the general rule"),
        pytest.param(MAKER, id="a maker's sheet"),
    ],
)
@pytest.mark.parametrize(
    ("warm", "cool"),
    [
        pytest.param(90, 72, id="Gougeon, Warm Temperature Bonding: 18 °F above 72 °F halves pot life"),
        pytest.param(90, 72, id="TM 1-1500-204-23-11 p.169: 90 °F takes 50 % off"),
    ],
)
def test_a_cup_at_90_lasts_half_as_long_as_one_at_72(times, warm, cool):
    assert lasts(warm, times) / lasts(cool, times) == pytest.approx(0.5, rel=1e-4)


def test_a_resin_systems_own_time_comes_before_the_usual_one():
    assert lasts(72, MAKER) == pytest.approx(40, rel=1e-4)
    assert lasts(72, ResinTimes()) == pytest.approx(float(USUAL.rows[0].time.amount), rel=1e-4)


def test_the_running_clock_agrees_with_the_shops_arithmetic():
    worked = time_at(MAKER.of("epoxy")[0], parse_quantity("81 degF")).value
    assert lasts(81, MAKER) == pytest.approx(float(worked.amount), rel=1e-3)


def test_times_survive_the_way_to_the_phone():
    assert ResinTimes.from_json(MAKER.as_json()).as_json() == MAKER.as_json()
