"""Gauge and absolute, what a field allows, the drop test, and the curves of a bag."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from plytally.core.quantities import UNITS, Quantity, parse_quantity
from plytally.core.shop.atmosphere import day_pressure, pressure_height, standard_pressure
from plytally.core.shop.bag_curve import Pump, hold, pump_down
from plytally.core.shop.leak import LEAK_LIMITS, GaugeReading, LeakLimit, drop_test
from plytally.core.shop.vacuum import (
    absolute_pressure,
    clamping,
    gauge_vacuum,
    most_vacuum,
    reachable,
)

q = parse_quantity
SEA = q("101325 Pa")
HEIGHTS = st.integers(-15_000, 60_000).map(lambda feet: Quantity(Decimal(feet), UNITS["ft"]))
GAUGES = st.decimals("0.1", "20", places=2).map(lambda inches: Quantity(inches, UNITS["inHg"]))
PRESSURES = [unit for unit in UNITS.values() if unit.dimension.value == "pressure"]


def reads(*rows):
    return [GaugeReading(q(f"{at} min"), q(f"{gauge} inHg")) for at, gauge in rows]


@given(HEIGHTS)
def test_the_standard_height_of_a_standard_pressure_is_the_height_it_came_from(height):
    back = pressure_height(standard_pressure(height).value).value

    assert float(back.amount) == pytest.approx(float(height.amount), abs=1e-4)


@given(HEIGHTS, st.integers(1, 3000))
def test_higher_fields_have_less_air(height, more):
    above = Quantity(height.amount + more, height.unit)

    assert standard_pressure(above).value.amount < standard_pressure(height).value.amount


@given(GAUGES, st.sampled_from(PRESSURES))
def test_absolute_and_gauge_lead_back_to_each_other_in_every_unit(gauge, unit):
    told = gauge.to(unit)

    back = gauge_vacuum(absolute_pressure(told, SEA).value, SEA).value

    assert float(back.si()) == pytest.approx(float(gauge.si()), rel=1e-6)


@given(GAUGES, st.integers(1, 500))
def test_force_grows_with_area_and_does_not_care_about_units(gauge, inches):
    one = clamping(gauge, q("1 in2")).force.value.amount
    all_of_it = clamping(gauge.to("mbar"), Quantity(Decimal(inches), UNITS["in2"]).to("cm2")).force.value

    assert float(all_of_it.amount) == pytest.approx(inches * float(one), rel=1e-9)


def test_at_9000_ft_22_inhg_is_not_possible_and_the_answer_says_what_is():
    found = reachable(q("22 inHg"), standard_pressure(q("9000 ft")).value)

    assert not found.possible
    assert found.told == "22 inHg is not possible here: the gauge can show 21.39 inHg (72.43 kPa) at most"


def test_a_worn_pump_lowers_the_field_where_22_inhg_is_possible():
    good = reachable(q("22 inHg"), SEA)
    worn = reachable(q("22 inHg"), SEA, pump_leaves=q("50 mbar"))

    assert good.possible
    assert worn.possible
    assert worn.highest.value.amount < good.highest.value.amount
    assert most_vacuum(q("29.92 inHg"), q("2.92 inHg")).value == q("27 inHg")


def test_on_a_standard_day_the_day_pressure_is_the_standard_pressure():
    day = day_pressure(q("1013.25 hPa"), q("5000 ft")).value

    assert float(day.amount) == pytest.approx(float(standard_pressure(q("5000 ft")).value.amount), rel=1e-12)


def test_a_high_of_30_50_gives_a_mile_high_field_half_an_inch_more():
    """A height is the same whichever setting it is told by: an inch of setting is 0.83 inch at 5,280 ft."""
    low, high = (
        day_pressure(q(f"{inches} inHg"), q("5280 ft")).value.amount for inches in ("29.92", "30.50")
    )

    assert Decimal("0.47") < high - low < Decimal("0.52")


@given(st.lists(st.decimals(10, 28, places=2), min_size=2, max_size=8), st.integers(1, 4))
def test_the_worst_stretch_is_the_worst_of_every_tenth_of_a_minute(gauges, over):
    track = [(float(at), float(gauge)) for at, gauge in enumerate(gauges)]
    times, shown = zip(*track, strict=True)
    limit = LeakLimit("any", q("1 inHg"), q(f"{over} min"), "a test")
    assume(times[-1] >= over)
    starts = np.arange(0, times[-1] - over + 1e-9, 0.1)
    scanned = max(np.interp(starts, times, shown) - np.interp(starts + over, times, shown))

    found = drop_test(reads(*enumerate(gauges)), limit)

    assert float(found.worst.value.amount) == pytest.approx(scanned, abs=1e-6)
    assert found.passes is (found.worst.value.amount <= 1)


def test_the_worst_minute_may_begin_between_two_readings():
    found = drop_test(reads((0, 25), ("0.5", 25), ("1.5", 24), (2, 24)), LEAK_LIMITS["bag"])

    assert found.worst.value == q("1 inHg")
    assert found.total.value == q("1 inHg")


def test_a_gauge_that_rises_passes_with_a_caution():
    found = drop_test(reads((0, 25), (1, "25.2")), LEAK_LIMITS["bag"])

    assert found.passes
    assert found.rate.value == q("-0.2 inHg")
    assert "The gauge rose" in found.worst.caution


def test_readings_may_come_in_any_unit_of_time_and_pressure():
    mixed = [GaugeReading(q("0 s"), q("80 kPa")), GaugeReading(q("5 min"), q("799 mbar"))]

    found = drop_test(mixed, LEAK_LIMITS["infusion"])

    assert found.total.value == q("0.1 kPa")
    assert found.rate.value == q("0.02 kPa")


def test_a_bag_pumps_down_as_the_differential_equation_says():
    """scipy solve_ivp on dp/dt = −S/V·(p − p_end) + leak."""
    pump = Pump(q("20 L"), q("20 mbar"))

    found = pump_down(q("60 L"), pump, SEA, q("22 inHg"), q("0.5 inHg"))

    leak = float(q("0.5 inHg").si())
    times = [float(point.after.amount) for point in found.points]
    theirs = solve_ivp(
        lambda _, p: -(p - 2000) / 3 + leak, (0, times[-1]), [101325.0], t_eval=times, rtol=1e-10
    )
    ours = [float(point.gauge.si()) for point in found.points]
    assert ours == pytest.approx(list(101325 - theirs.y[0]), rel=1e-6, abs=1e-3)


def test_the_vacuum_wanted_is_on_the_curve_when_it_says():
    found = pump_down(q("60 L"), Pump(q("20 L")), SEA, q("22 inHg"), points=2)

    assert float(found.points[1].gauge.amount) == pytest.approx(22)
    assert float(found.points[1].after.amount) == pytest.approx(float(found.reaches.value.amount))
    assert float(found.settles.value.si()) == pytest.approx(101325)


def test_a_bag_that_holds_falls_no_sooner_than_a_leak_that_keeps_its_pace():
    found = hold(q("25 inHg"), q("0.5 inHg"), q("20 inHg"), points=10)

    assert found.soonest.value == q("10 min")
    assert found.falls.value.amount > found.soonest.value.amount
    assert len(found.points) == 11
    assert found.points[0].gauge == q("25 inHg")
    assert float(found.points[-1].gauge.amount) == pytest.approx(20)
