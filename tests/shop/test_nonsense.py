"""Nonsense is refused by one family of errors that says where, what was found, and what to do."""

import contextlib
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.quantities import UNITS, Dimension, Quantity, Ratio, parse_quantity
from plytally.core.shop import amounts
from plytally.core.shop.atmosphere import day_pressure, pressure_height, standard_pressure
from plytally.core.shop.bag_curve import Pump, hold, pump_down
from plytally.core.shop.balance import Item, Limits, arm_for, balance, paint, weight_at, within
from plytally.core.shop.coupon import PerPly, correction, plies_for
from plytally.core.shop.cure import At, RateLaw, Timed, time_at, timed
from plytally.core.shop.cure_clock import Reading, run_clock
from plytally.core.shop.errors import NotPossible, OutOfRange, ShopError, TooFew, WrongKind
from plytally.core.shop.hinges import Hinge, hinge_line
from plytally.core.shop.laminate import (
    Cloth,
    Plies,
    fibre_volume,
    ply_thickness,
    stack_thickness,
    way_of,
    wet_out,
)
from plytally.core.shop.leak import LEAK_LIMITS, GaugeReading, drop_test
from plytally.core.shop.resin import By, Spread, batch_for_area, batch_for_plies, batch_with, cups, split
from plytally.core.shop.stack import SpacerKind, pick_spacer, stack_up
from plytally.core.shop.straightness import Against, Station, spots, straightness
from plytally.core.shop.vacuum import absolute_pressure, clamping, gauge_vacuum, most_vacuum, reachable
from plytally.core.shop.weighing import dispensed, least_mix, scaled, weighed

q = parse_quantity
BID = Cloth("BID", q("6 oz/yd2"))
AT_72 = timed(q("72 degF"), q("30 min"))
SEA = q("29.92 inHg")
FOUR = Ratio(Decimal(4), Decimal(1))
ROW = [Station(q(f"{x} in"), q(f"{h} mil")) for x, h in ((0, 0), (10, 5), (20, 0))]
WASHER = SpacerKind("washer", q("0.070 in"), 8)


def reads(*rows):
    return [GaugeReading(q(f"{at} min"), q(f"{gauge} inHg")) for at, gauge in rows]


def warm(*rows):
    return [Reading(q(f"{at} min"), q(f"{degrees} degF")) for at, degrees in rows]


WRONG_KIND = {
    "areal weight in inches": lambda: ply_thickness(Cloth("BID", q("6 in"))),
    "area in inches": lambda: wet_out([Plies(1, BID)], q("4 in")),
    "fibre volume in grams": lambda: way_of(q("35 g")),
    "fibre density as a weight": lambda: ply_thickness(Cloth("BID", q("6 oz/yd2"), q("2.54 g"))),
    "a coupon in grams": lambda: PerPly().with_coupon(q("52 g"), 5),
    "a volume at a ratio by weight": lambda: split(q("400 mL"), FOUR),
    "a weight at a ratio by volume": lambda: split(q("400 g"), FOUR, By.VOLUME),
    "resin weighed and hardener measured": lambda: weighed(FOUR, q("400 g"), q("100 mL")),
    "a pot life in degrees": lambda: timed(q("72 degF"), q("30 degF")),
    "a temperature in minutes": lambda: time_at(AT_72, q("90 min")),
    "vacuum in plain inches": lambda: clamping(q("22 in"), q("1 in2")),
    "elevation as a pressure": lambda: standard_pressure(q("29 inHg")),
    "an altimeter setting in feet": lambda: day_pressure(q("5000 ft"), q("5000 ft")),
    "a gauge in psi of length": lambda: drop_test(
        [GaugeReading(q("0 min"), q("25 in")), GaugeReading(q("1 min"), q("24 in"))], LEAK_LIMITS["bag"]
    ),
    "a spacer of grams": lambda: pick_spacer(q("0.080 in"), q("1 g"), [WASHER]),
    "a height in grams": lambda: straightness([Station(q(f"{x} in"), q("5 g")) for x in range(3)]),
    "a weight in pounds of force": lambda: balance([Item("lead", q("1 lbf"), q("4 in"))]),
    "a moment in pounds": lambda: weight_at(q("4 lb"), q("-4 in")),
    "a bare number": lambda: amounts.above_zero(22, "vacuum", Dimension.PRESSURE),
}
OUT_OF_RANGE = {
    "a negative areal weight": lambda: ply_thickness(Cloth("BID", q("-6 oz/yd2"))),
    "fibre volume of nothing": lambda: way_of(q("0 %")),
    "fibre volume of 100 %": lambda: way_of(q("100 %")),
    "fibre volume over 100 %": lambda: way_of(q("135 %")),
    "no plies": lambda: stack_thickness([Plies(0, BID)]),
    "a part of a ply": lambda: stack_thickness([Plies(2.5, BID)]),
    "plies that are a truth": lambda: stack_thickness([Plies(True, BID)]),
    "a negative area": lambda: wet_out([Plies(1, BID)], q("-1 ft2")),
    "waste of 100 %": lambda: batch_for_plies([Plies(1, BID)], q("1 ft2"), FOUR, waste=q("100 %")),
    "negative waste": lambda: batch_for_plies([Plies(1, BID)], q("1 ft2"), FOUR, waste=q("-1 %")),
    "a step that went down": lambda: PerPly().with_step(q("0.3 in"), q("0.2 in"), 3),
    "a spread as wide as the ply": lambda: plies_for(q("0.1 in"), q("0.01 in"), q("0.005 in")),
    "a build-up of nothing": lambda: plies_for(q("0 in"), q("0.01 in")),
    "a negative calculated ply": lambda: correction(q("0.01 in"), q("-0.01 in")),
    "a mix of nothing": lambda: split(q("0 g"), FOUR),
    "a negative resin": lambda: batch_with(q("-400 g"), FOUR),
    "a ratio as text": lambda: split(q("400 g"), "4:1"),
    "a spread on no area": lambda: batch_for_area(q("1 ft2"), Spread(q("2 g"), q("0 in2")), FOUR),
    "a hundred thousand cups": lambda: cups(q("100001 g"), FOUR, q("1 g")),
    "tolerance of 100 %": lambda: dispensed(q("100 %")),
    "an error allowed of nothing": lambda: least_mix(FOUR, q("1 g"), q("0 %")),
    "a rate factor of 1": lambda: RateLaw(Decimal(1)),
    "a rate factor over 10": lambda: RateLaw(Decimal(11)),
    "no degrees for a factor": lambda: RateLaw(per=q("0 degF")),
    "a maker's table that warms up slower": lambda: Timed(
        (At(q("72 degF"), q("30 min")), At(q("90 degF"), q("40 min")))
    ),
    "a maker's table out of order": lambda: Timed(
        (At(q("90 degF"), q("15 min")), At(q("72 degF"), q("30 min")))
    ),
    "a temperature beyond any shop": lambda: time_at(AT_72, q("700 degF")),
    "temperatures out of order": lambda: run_clock(AT_72, warm((10, 72), (5, 75)), q("20 min")),
    "two temperatures at once": lambda: run_clock(AT_72, warm((10, 72), (10, 75)), q("20 min")),
    "now before the last reading": lambda: run_clock(AT_72, warm((10, 72)), q("5 min")),
    "a reading before mixing": lambda: run_clock(AT_72, warm((-10, 72)), q("5 min")),
    "a field in space": lambda: standard_pressure(q("90000 ft")),
    "a pressure of no height": lambda: pressure_height(q("0.5 inHg")),
    "a negative gauge": lambda: absolute_pressure(q("-5 inHg"), SEA),
    "readings of the gauge out of order": lambda: drop_test(reads((1, 25), (0, 25)), LEAK_LIMITS["bag"]),
    "a squeeze of 100 %": lambda: pick_spacer(
        q("0.080 in"), q("0.001 in"), [SpacerKind("tape", q("0.0045 in"), 8, q("100 %"))]
    ),
    "washers of no thickness": lambda: pick_spacer(
        q("0.080 in"), q("0.001 in"), [SpacerKind("w", q("0 in"), 8)]
    ),
    "no washers on hand": lambda: pick_spacer(
        q("0.080 in"), q("0.001 in"), [SpacerKind("w", q("0.07 in"), 0)]
    ),
    "a negative tolerance": lambda: pick_spacer(q("0.080 in"), q("-0.001 in"), [WASHER]),
    "thicknesses too fine to search": lambda: pick_spacer(
        q("0.080 in"), q("0.001 in"), [SpacerKind("w", q("0.0701234567 in"), 8)]
    ),
    "a straightness allowed below zero": lambda: spots(ROW, q("-1 mil")),
    "two heights at an end": lambda: spots([*ROW, Station(q("0 in"), q("3 mil"))], q("1 mil"), Against.ENDS),
    "hinges of which some have no aft": lambda: hinge_line(
        [Hinge("1", q("0 in"), q("0 in"), q("0 in")), *(Hinge("2", q(f"{x} in"), q("0 in")) for x in (9, 20))]
    ),
    "a negative balance weight": lambda: balance([Item("lead", q("-1 lb"), q("4 in"))]),
    "limits the wrong way round": lambda: within(
        q("0 in-lb"), Limits(q("5 in-lb"), q("-5 in-lb"), "the plans")
    ),
    "paint that weighs nothing": lambda: paint(q("1 ft2"), q("0 g/m2"), q("1 in")),
    "an arm for no weight": lambda: arm_for(q("5 in-lb"), q("0 g")),
    "an answer beyond any shop": lambda: wet_out([Plies(1, BID)], Quantity(Decimal("9e29"), UNITS["m2"])),
}
NOT_POSSIBLE = {
    "vacuum beyond the atmosphere": lambda: absolute_pressure(q("30 inHg"), SEA),
    "a clamp beyond any atmosphere": lambda: clamping(q("40 inHg"), q("1 in2")),
    "a clamp beyond the day's air": lambda: clamping(q("22 inHg"), q("1 in2"), q("21 inHg")),
    "a bag with more than the air": lambda: gauge_vacuum(q("30 inHg"), SEA),
    "a pump that leaves more than the air": lambda: most_vacuum(SEA, q("30 inHg")),
    "a gauge beyond the atmosphere in a drop test": lambda: drop_test(
        reads((0, 30), (1, 29)), LEAK_LIMITS["bag"], SEA
    ),
    "an altimeter setting that no report carries": lambda: day_pressure(q("22 inHg"), q("5000 ft")),
    "plies thinner than their fibre": lambda: fibre_volume([Plies(10, BID)], q("0.020 in")),
    "a scale too coarse for the mix": lambda: scaled(q("5 g"), FOUR, q("1 g")),
    "a leak that beats the pump": lambda: pump_down(
        q("10 L"), Pump(q("1 L")), SEA, q("25 inHg"), q("1 inHg")
    ),
    "holding more than at the start": lambda: hold(q("25 inHg"), q("1 inHg"), q("26 inHg")),
    "lead aft of the hinge for a heavy tail": lambda: weight_at(q("5 in-lb"), q("4 in")),
    "lead on the hinge line": lambda: weight_at(q("5 in-lb"), q("0 in")),
}
TOO_FEW = {
    "an empty stack": lambda: stack_thickness([]),
    "no coupon": lambda: PerPly().thickness(),
    "the spread of one coupon": lambda: PerPly().with_coupon(q("0.052 in"), 5).spread(),
    "an empty maker's table": lambda: Timed(()),
    "no temperature": lambda: run_clock(AT_72, [], q("5 min")),
    "one reading of the gauge": lambda: drop_test(reads((0, 25)), LEAK_LIMITS["bag"]),
    "a drop test shorter than its limit": lambda: drop_test(reads((0, 25), (3, 25)), LEAK_LIMITS["infusion"]),
    "nothing on hand": lambda: pick_spacer(q("0.080 in"), q("0.001 in"), []),
    "a stack of no pieces": lambda: stack_up(q("0.080 in"), q("0.001 in"), []),
    "two stations": lambda: straightness(ROW[:2]),
    "three readings at one place": lambda: spots([ROW[0]] * 3, q("1 mil")),
    "two hinges": lambda: hinge_line([Hinge("1", q(f"{x} in"), q("0 in")) for x in (0, 9)]),
    "a surface of no parts": lambda: balance([]),
}
CASES = [
    pytest.param(kind, sum_of, id=name)
    for kind, cases in (
        (WrongKind, WRONG_KIND),
        (OutOfRange, OUT_OF_RANGE),
        (NotPossible, NOT_POSSIBLE),
        (TooFew, TOO_FEW),
    )
    for name, sum_of in cases.items()
]


@pytest.mark.parametrize(("kind", "sum_of"), CASES)
def test_nonsense_is_refused_with_what_was_found_where_and_what_to_do(kind, sum_of):
    with pytest.raises(kind) as refused:
        sum_of()

    problem = refused.value
    assert problem.where
    assert problem.what_to_do
    assert str(problem) == f"{problem.where}: found {problem.found}; {problem.what_to_do}"


def test_a_whole_piece_fits_however_odd_its_thickness_while_the_pieces_are_few():
    spacer = pick_spacer(q("0.0123457 in"), q("0.0001 in"), [SpacerKind("shim", q("0.0123457 in"), 2)])

    assert spacer.off.value.amount == 0


EVERY_WAY_OUT = [
    lambda x: ply_thickness(Cloth("BID", x)),
    lambda x: wet_out([Plies(1, BID)], x),
    lambda x: split(x, FOUR),
    lambda x: weighed(FOUR, x, x),
    lambda x: least_mix(FOUR, x),
    lambda x: time_at(AT_72, x),
    lambda x: run_clock(AT_72, warm((0, 72)), x),
    standard_pressure,
    pressure_height,
    lambda x: day_pressure(x, q("1000 ft")),
    lambda x: reachable(x, SEA),
    lambda x: clamping(x, q("1 in2")),
    lambda x: hold(x, q("1 inHg"), q("1 inHg")),
    lambda x: pump_down(q("10 L"), Pump(q("20 L")), x, q("1 Pa")),
    lambda x: pick_spacer(x, q("1 mil"), [WASHER]),
    lambda x: spots(ROW, x),
    lambda x: balance([Item("part", x, q("4 in"))]),
    lambda x: weight_at(x, q("-4 in")),
    lambda x: plies_for(x, q("0.01 in")),
]
ANY_AMOUNT = st.builds(
    Quantity,
    st.decimals(allow_nan=False, allow_infinity=False, min_value=0, max_value=Decimal("1e30")).filter(
        lambda number: len(number.as_tuple().digits) <= 40 and abs(number.adjusted()) <= 30
    ),
    st.sampled_from([unit for unit in UNITS.values() if unit.dimension is not Dimension.TEMPERATURE]),
)


@pytest.mark.parametrize("way", EVERY_WAY_OUT)
@given(amount=ANY_AMOUNT)
def test_whatever_the_amount_a_sum_gives_an_answer_or_a_shop_error(way, amount):
    with contextlib.suppress(ShopError):
        assert way(amount) is not None
