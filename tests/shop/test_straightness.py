"""Straight lines and what is off them: laws of the line, then spots in plies and filler, then hinges."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.quantities import Quantity, parse_quantity
from plytally.core.shop.hinges import Hinge, Through, hinge_line
from plytally.core.shop.line import Line, least_squares, narrowest, through_ends, zone
from plytally.core.shop.straightness import (
    Against,
    Station,
    heights_from_steps,
    spots,
    straightness,
)

q = parse_quantity
PLACES = st.fractions(-100, 100, max_denominator=50)
POINTS = st.lists(st.tuples(PLACES, PLACES), min_size=3, max_size=14).filter(
    lambda ps: len({x for x, _ in ps}) > 1
)
BUMP = [(0, 0), (10, 4), (20, 12), (30, 3), (40, 0)]


def row(heights=BUMP, unit="mil"):
    return [Station(q(f"{at} in"), q(f"{height} {unit}")) for at, height in heights]


@settings(max_examples=40)
@given(POINTS)
def test_the_minimum_zone_is_never_wider_than_that_of_any_line_through_two_points(points):
    least = zone(narrowest(points), points)

    for one in points:
        for other in points:
            if one[0] != other[0]:
                slope = (other[1] - one[1]) / (other[0] - one[0])
                assert least <= zone(Line(slope, Fraction(0)), points)
    assert least <= zone(least_squares(points), points)


@settings(max_examples=40)
@given(POINTS)
def test_the_middle_of_the_minimum_zone_has_as_much_above_as_below(points):
    above = [narrowest(points).above(point) for point in points]

    assert max(above) == -min(above)


@settings(max_examples=40)
@given(POINTS, PLACES, PLACES)
def test_lifting_or_tilting_the_straight_edge_changes_no_straightness(points, slope, level):
    tilted = [(x, y + slope * x + level) for x, y in points]

    assert zone(narrowest(tilted), tilted) == zone(narrowest(points), points)
    assert zone(least_squares(tilted), tilted) == zone(least_squares(points), points)


@settings(max_examples=40)
@given(POINTS, PLACES, PLACES)
def test_no_line_near_least_squares_has_a_smaller_sum(points, slope, level):
    best = least_squares(points)

    def squares(line):
        return sum(line.above(point) ** 2 for point in points)

    assert squares(best) <= squares(Line(best.slope + slope / 1000, best.level + level / 1000))


@given(
    st.lists(
        st.tuples(st.integers(0, 60), st.integers(-50, 50)), min_size=3, max_size=10, unique_by=lambda p: p[0]
    )
)
def test_a_surface_as_straight_as_allowed_has_no_spots(heights):
    stations = row(heights)
    straight = straightness(stations).minimum_zone.value

    wide = Quantity(straight.amount + 1, straight.unit)

    assert spots(stations, wide) == ()
    assert spots(stations, wide, Against.HIGHEST) == ()


@given(
    st.lists(
        st.tuples(st.integers(0, 60), st.integers(-50, 50)), min_size=3, max_size=10, unique_by=lambda p: p[0]
    )
)
def test_bringing_every_spot_to_the_line_leaves_none(heights):
    stations = row(heights)
    mended = {
        spot.at: Quantity(spot.off.value.amount, spot.off.value.unit) for spot in spots(stations, q("0 mil"))
    }

    flat = [
        Station(one.at, Quantity(one.height.amount - mended[one.at].amount, one.height.unit))
        if one.at in mended
        else one
        for one in stations
    ]

    assert float(straightness(flat).minimum_zone.value.amount) == pytest.approx(0, abs=1e-8)


def test_one_bump_of_12_mil_is_12_mil_wide_by_minimum_zone():
    found = straightness(row([(0, 0), (20, 12), (40, 0)]))

    assert found.minimum_zone.value == q("12 mil")
    assert found.least_squares.value == q("12 mil")


def test_build_up_only_brings_everything_to_the_highest_line():
    found = spots(row([(0, 0), (20, 12), (40, 0)]), q("1 mil"), Against.HIGHEST, q("10 mil"))

    assert [(str(spot.at), spot.by.what, str(spot.by.value)) for spot in found] == [
        ("0 in", "build up", "12 mil"),
        ("40 in", "build up", "12 mil"),
    ]
    assert found[0].plies.value == 1
    assert found[0].filler.value == q("2 mil")


def test_take_off_only_brings_everything_to_the_lowest_line_and_cautions_about_dust():
    (spot,) = spots(row([(0, 0), (20, 12), (40, 0)]), q("1 mil"), Against.LOWEST, q("10 mil"))

    assert (spot.by.what, spot.by.value) == ("take off", q("12 mil"))
    assert spot.plies.what == "plies deep"
    assert spot.plies.value == 2
    assert spot.filler is None
    assert "respirator" in spot.by.caution
    assert "don't blow dust off" in spot.by.caution


def test_spots_come_worst_first_and_only_those_out_of_the_band():
    found = spots(row(), q("8 mil"), Against.ENDS)

    assert [str(spot.at) for spot in found] == ["20 in"]
    assert [str(spot.at) for spot in spots(row(), q("2 mil"), Against.ENDS)] == ["20 in", "10 in", "30 in"]


def test_steps_against_the_part_beside_it_are_held_against_flush():
    found = spots(row([(0, 0), (10, -6), (20, 2)]), q("3 mil"), Against.FLUSH)

    assert [(str(spot.at), spot.off.value, spot.plies) for spot in found] == [("10 in", q("-6 mil"), None)]


def test_against_least_squares_the_worst_is_the_middle_of_the_bump():
    (spot,) = spots(row(), q("15 mil"), Against.LEAST_SQUARES)

    assert str(spot.at) == "20 in"
    assert float(spot.off.value.amount) == pytest.approx(12 - 3.8)


def test_steps_from_one_station_to_the_next_add_up_to_heights():
    heights = heights_from_steps(row([(0, 0), (10, 2), (20, -5), (30, 1)]))

    assert [int(one.height.amount) for one in heights] == [0, 2, -3, -2]


def test_the_order_of_the_stations_does_not_matter_for_the_ends():
    assert through_ends(
        [(Fraction(2), Fraction(4)), (Fraction(0), Fraction(0)), (Fraction(1), Fraction(9))]
    ) == Line(Fraction(2), Fraction(0))


def test_stations_and_heights_may_be_in_different_units():
    inch = straightness([Station(q(f"{x} mm"), q(f"{h} mil")) for x, h in ((0, 0), (508, 12), (1016, 0))])

    assert inch.minimum_zone.value == q("12 mil")


def test_the_middle_of_three_hinges_is_off_the_line_of_the_outer_two():
    found = hinge_line(
        [
            Hinge("inner", q("0 in"), q("0 in"), q("0 in")),
            Hinge("middle", q("30 in"), q("0.043 in"), q("0.014 in")),
            Hinge("outer", q("60 in"), q("0.020 in"), q("-0.020 in")),
        ]
    )

    middle = found.hinges[1]
    assert found.worst == "middle"
    assert middle.up.value == q("0.033 in")
    assert middle.aft.value == q("0.024 in")
    assert float(middle.out.value.amount) == pytest.approx((0.033**2 + 0.024**2) ** 0.5)
    assert found.hinges[0].out.value.amount == 0
    assert "inspector" in middle.out.caution


def test_hinges_seen_from_behind_only_need_no_aft():
    found = hinge_line(
        [Hinge(f"{x}", q(f"{x} in"), q(f"{h} in")) for x, h in ((0, 0), (30, "0.03"), (60, 0))]
    )

    assert found.hinges[1].aft is None
    assert found.hinges[1].out.value == found.hinges[1].up.value == q("0.03 in")


@given(st.lists(st.integers(-40, 40), min_size=3, max_size=7), st.integers(-9, 9), st.sampled_from(Through))
def test_a_surface_held_at_another_angle_has_the_same_hinge_line(heights, tilt, through):
    level = [Hinge(f"{at}", q(f"{at * 12} in"), q(f"{h} mil")) for at, h in enumerate(heights)]
    tilted = [Hinge(f"{at}", q(f"{at * 12} in"), q(f"{h + tilt * at} mil")) for at, h in enumerate(heights)]

    one, other = (hinge_line(hinges, through).hinges for hinges in (level, tilted))

    assert [off.out.value for off in one] == [off.out.value for off in other]
