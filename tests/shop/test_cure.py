"""Pot life and cure by temperature, by law or by the maker's table, and the clock over a logged one."""

from decimal import Decimal
from math import exp

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from plytally.core.quantities import UNITS, Quantity, parse_quantity
from plytally.core.shop.cure import BEYOND, At, RateLaw, Timed, time_at, timed
from plytally.core.shop.cure_clock import Reading, run_clock

q = parse_quantity
AT_72 = timed(q("72 degF"), q("30 min"))
TABLE = Timed(
    (At(q("60 degF"), q("60 min")), At(q("72 degF"), q("30 min")), At(q("90 degF"), q("14 min"))),
    what="pot life",
)
DEGREES = st.decimals(40, 120, places=1)


def minutes(worked):
    return float(worked.value.to("min").amount)


def fahrenheit(degrees):
    return Quantity(degrees, UNITS["degF"])


def log(*rows):
    return [Reading(q(f"{at} min"), q(f"{degrees} degF")) for at, degrees in rows]


@given(DEGREES, DEGREES)
def test_warmer_is_never_slower(one, other):
    cold, warm = sorted((one, other))

    assert minutes(time_at(TABLE, fahrenheit(warm))) <= minutes(time_at(TABLE, fahrenheit(cold))) + 1e-9


@given(DEGREES, st.decimals("1.1", "4", places=1))
def test_one_step_warmer_divides_the_time_by_the_factor(degrees, factor):
    maker = timed(q("72 degF"), q("30 min"), RateLaw(factor, q("18 degF")))

    cold, warm = (minutes(time_at(maker, fahrenheit(at))) for at in (degrees, degrees + 18))

    assert cold / warm == pytest.approx(float(factor), rel=1e-9)


@given(DEGREES, st.integers(1, 200))
def test_at_one_temperature_the_clock_is_time_over_time(degrees, passed):
    clock = run_clock(TABLE, [Reading(q("0 min"), fahrenheit(degrees))], q(f"{passed} min"))

    share = passed / minutes(time_at(TABLE, fahrenheit(degrees)))
    assert float(clock.share.value.amount) == pytest.approx(100 * share, rel=1e-9)
    assert minutes(clock.left) == pytest.approx(
        max(0, 1 - share) * minutes(time_at(TABLE, fahrenheit(degrees))), abs=1e-9
    )


@settings(max_examples=40)
@given(st.lists(st.tuples(st.integers(1, 60), DEGREES), min_size=2, max_size=6))
def test_the_clock_is_the_integral_that_scipy_finds(rows):
    at, track = 0, []
    for gap, degrees in rows:
        at += gap
        track.append((at, float(degrees)))
    readings = [Reading(q(f"{when} min"), fahrenheit(Decimal(str(degrees)))) for when, degrees in track]
    kelvins = [((degrees + 459.67) * 5 / 9) for _, degrees in track]

    def speed(when, k):
        (begun, _), (over, _) = track[k], track[k + 1]
        warm = kelvins[k] + (kelvins[k + 1] - kelvins[k]) * (when - begun) / (over - begun)
        return 60 / exp(TABLE.log_time(warm))

    theirs = track[0][0] * 60 / exp(TABLE.log_time(kelvins[0]))
    for k in range(len(track) - 1):
        begun, over = track[k][0], track[k + 1][0]
        rise = kelvins[k + 1] - kelvins[k]
        bends = [begun + (over - begun) * (knot - kelvins[k]) / rise for knot, _ in TABLE.knots if rise]
        bends = [bend for bend in bends if begun < bend < over]
        theirs += quad(speed, begun, over, args=(k,), points=bends or None, epsabs=1e-12)[0]

    clock = run_clock(TABLE, readings, q(f"{at} min"))

    assert float(clock.share.value.amount) == pytest.approx(100 * theirs, rel=1e-6)


@given(st.integers(1, 59), DEGREES, DEGREES)
def test_a_reading_on_the_straight_between_two_changes_nothing(at, cold, warm):
    between = cold + (warm - cold) * at / 60
    ends = [Reading(q("0 min"), fahrenheit(cold)), Reading(q("60 min"), fahrenheit(warm))]
    more = [ends[0], Reading(q(f"{at} min"), fahrenheit(between)), ends[1]]

    one, other = (run_clock(TABLE, readings, q("70 min")).share.value.amount for readings in (ends, more))

    assert float(one) == pytest.approx(float(other), rel=1e-6)


@pytest.mark.parametrize(
    ("degrees", "time"),
    [("60", 60), ("72", 30), ("90", 14), ("66", (60 * 30) ** 0.5), ("81", (30 * 14) ** 0.5)],
)
def test_the_makers_table_counts_at_its_rows_and_runs_by_logarithm_between(degrees, time):
    answer = time_at(TABLE, q(f"{degrees} degF"))

    assert minutes(answer) == pytest.approx(time)
    assert answer.source == "the maker's table"
    assert BEYOND not in answer.caution


@pytest.mark.parametrize(("degrees", "time"), [("42", 120), ("108", 7)])
def test_beyond_the_makers_table_the_law_carries_on_with_a_caution(degrees, time):
    answer = time_at(TABLE, q(f"{degrees} degF"))

    assert minutes(answer) == pytest.approx(time)
    assert BEYOND in answer.caution


def test_an_answer_comes_in_the_makers_unit():
    answer = time_at(timed(q("25 degC"), q("6 h"), what="cure"), q("35 degC"))

    assert answer.value == q("3 h")
    assert answer.what == "cure at 35 degC"


def test_ten_minutes_cool_and_five_warm_are_two_thirds_of_a_pot():
    clock = run_clock(AT_72, log((0, 72), (10, 72), ("10.000001", 90)), q("15 min"))

    assert float(clock.share.value.amount) == pytest.approx(100 * (10 / 30 + 5 / 15), abs=1e-4)
    assert minutes(clock.equivalent) == pytest.approx(20, abs=1e-4)
    assert minutes(clock.left) == pytest.approx(5, abs=1e-4)


def test_a_pot_past_its_life_has_nothing_left():
    clock = run_clock(AT_72, log((0, 72)), q("45 min"))

    assert clock.share.value == q("150 %")
    assert minutes(clock.left) == 0


def test_below_the_makers_lowest_temperature_a_cure_stands_still():
    cure = timed(q("72 degF"), q("24 h"), what="cure")
    night = [
        Reading(q("0 h"), q("72 degF")),
        Reading(q("6 h"), q("72 degF")),
        Reading(q("8 h"), q("40 degF")),
    ]

    clock = run_clock(cure, night, q("20 h"), stops_below=q("60 degF"))
    morning = run_clock(cure, night, q("30 h"), stops_below=q("60 degF"))

    assert clock.left is None
    assert clock.share.value == morning.share.value
    assert 25 < clock.share.value.amount < 28


def test_just_at_the_lowest_temperature_a_cure_still_runs():
    cure = timed(q("60 degF"), q("24 h"), what="cure")

    clock = run_clock(cure, [Reading(q("0 h"), q("60 degF"))], q("12 h"), stops_below=q("60 degF"))

    assert clock.share.value == q("50 %")
    assert minutes(clock.left) == pytest.approx(12 * 60)


def test_the_clock_says_that_it_proves_no_cure():
    assert "no proof of cure" in run_clock(AT_72, log((0, 72)), q("5 min")).share.caution
