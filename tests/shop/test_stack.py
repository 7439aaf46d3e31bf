"""Spacers: the picking is exact, whatever is on hand; what comes out is told with its spread."""

from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.quantities import UNITS, Quantity, parse_quantity
from plytally.core.shop.picking import fewest_pieces, nearest_totals
from plytally.core.shop.stack import Pieces, SpacerKind, nearest_spacer, pick_spacer, stack_up

q = parse_quantity
ON_HAND = st.lists(st.tuples(st.integers(1, 60), st.integers(1, 4)), min_size=1, max_size=5)
KINDS = st.lists(
    st.builds(
        lambda mils, unit, squeeze, number: SpacerKind(
            "piece", Quantity(mils, UNITS[unit]), number, Quantity(Decimal(squeeze), UNITS["%"])
        ),
        st.decimals(1, 90, places=1),
        st.sampled_from(["mil"]),
        st.sampled_from([0, 5, 10, 20]),
        st.integers(1, 3),
    ),
    min_size=1,
    max_size=4,
)


def handfuls(counts):
    return product(*(range(count + 1) for count in counts))


def brute(sizes, counts, low, high, aim):
    """Pieces and distance of the best handful, by trying all of them."""
    found = [
        (sum(handful), abs(total - aim))
        for handful in handfuls(counts)
        if sum(handful) and low <= (total := sum(n * s for n, s in zip(handful, sizes, strict=True))) <= high
    ]
    return min(found, default=None)


@settings(max_examples=150)
@given(ON_HAND, st.integers(1, 300), st.integers(0, 30), st.integers(0, 30))
def test_the_handful_picked_is_the_best_of_all_handfuls(on_hand, aim, below, above):
    sizes, counts = zip(*on_hand, strict=True)

    picked = fewest_pieces(sizes, counts, aim - below, aim + above, aim)

    best = brute(sizes, counts, aim - below, aim + above, aim)
    if picked is None:
        assert best is None
    else:
        total = sum(n * size for n, size in zip(picked, sizes, strict=True))
        assert all(0 <= n <= count for n, count in zip(picked, counts, strict=True))
        assert (sum(picked), abs(total - aim)) == best


@settings(max_examples=150)
@given(ON_HAND, st.integers(1, 400))
def test_the_nearest_totals_are_the_nearest_of_all_handfuls(on_hand, aim):
    sizes, counts = zip(*on_hand, strict=True)
    totals = {sum(n * s for n, s in zip(handful, sizes, strict=True)) for handful in handfuls(counts)} - {0}
    least = min(abs(total - aim) for total in totals)

    assert set(nearest_totals(sizes, counts, aim)) == {one for one in totals if abs(one - aim) == least}


@settings(max_examples=60)
@given(KINDS, st.decimals(1, 250, places=1), st.decimals(0, 5, places=1), st.decimals(0, 9, places=1))
def test_the_spacer_picked_is_the_best_of_all_spacers_to_the_last_digit(kinds, target, within, taken):
    depths = [kind.under_clamp() for kind in kinds]
    aim = (Fraction(target) + Fraction(taken)) * UNITS["mil"].factor
    allowed = Fraction(within) * UNITS["mil"].factor

    spacer = pick_spacer(
        *(Quantity(one, UNITS["mil"]) for one in (target, within)), kinds, Quantity(taken, UNITS["mil"])
    )

    best = brute(depths, [kind.on_hand for kind in kinds], aim - allowed, aim + allowed, aim)
    made = sum(one.number * one.kind.under_clamp() for one in spacer.pieces)
    assert spacer.fits is (best is not None)
    if best:
        assert (sum(one.number for one in spacer.pieces), abs(made - aim)) == best
    else:
        assert abs(made - aim) == min(
            abs(sum(n * d for n, d in zip(handful, depths, strict=True)) - aim)
            for handful in handfuls([kind.on_hand for kind in kinds])
            if sum(handful)
        )


def test_the_greedy_choice_is_not_taken_where_it_misses():
    """Thickest first would take 0.060 and be stuck at 0.020 short; two of 0.040 fit."""
    kinds = [SpacerKind("thick", q("0.060 in"), 5), SpacerKind("thin", q("0.040 in"), 5)]

    spacer = pick_spacer(q("0.080 in"), q("0.001 in"), kinds)

    assert [(one.number, one.kind.name) for one in spacer.pieces] == [(2, "thin")]


def test_fewest_pieces_come_before_nearest_and_the_nearest_can_be_asked_for():
    kinds = [SpacerKind("shim", q("0.079 in"), 1), SpacerKind("tape", q("0.010 in"), 8)]

    fewest = pick_spacer(q("0.080 in"), q("0.001 in"), kinds)
    nearest = nearest_spacer(q("0.080 in"), q("0.001 in"), kinds)

    assert [(one.number, one.kind.name) for one in fewest.pieces] == [(1, "shim")]
    assert [(one.number, one.kind.name) for one in nearest.pieces] == [(8, "tape")]
    assert nearest.off.value.amount == 0


def test_where_nothing_fits_the_nearest_is_told_with_how_far_it_is_off():
    spacer = pick_spacer(q("0.080 in"), q("0.001 in"), [SpacerKind("washer", q("0.070 in"), 8)])

    assert not spacer.fits
    assert spacer.off.value == q("-0.01 in")


def test_no_more_pieces_are_taken_than_are_on_hand():
    spacer = pick_spacer(q("0.080 in"), q("0.002 in"), [SpacerKind("tape", q("0.010 in"), 3)])

    assert [one.number for one in spacer.pieces] == [3]
    assert not spacer.fits


def test_inches_millimetres_and_squeezed_tape_go_on_one_stack():
    kinds = [
        SpacerKind("washer", q("1.6 mm"), 4),
        SpacerKind("tape", q("0.005 in"), 8, squeeze=q("10 %")),
        SpacerKind("shim", q("0.002 in"), 4),
    ]

    spacer = pick_spacer(q("0.0765 in"), q("0.0005 in"), kinds)

    assert spacer.fits
    assert abs(spacer.clamped.value.amount - Decimal("0.0765")) <= Decimal("0.0005")
    assert sum(one.number for one in spacer.pieces) == 4


def test_twelve_kinds_of_eight_pieces_are_no_matter():
    kinds = [SpacerKind(f"kind {at}", q(f"0.{at * 37 + 113:04d} in"), 8) for at in range(12)]

    spacer = pick_spacer(q("1.2345 in"), q("0 in"), kinds)

    assert spacer.fits
    assert spacer.off.value.amount == 0


def test_spread_is_told_as_worst_case_and_as_root_sum_square():
    washer = SpacerKind("washer", q("0.070 in"), 1, varies=q("0.003 in"))
    tape = SpacerKind("tape", q("0.0045 in"), 8, varies=q("0.002 in"))

    spacer = stack_up(q("0.088 in"), q("0.001 in"), [Pieces(1, washer), Pieces(4, tape)])

    assert spacer.worst.value == q("0.011 in")
    assert spacer.likely.value == q("0.005 in")
    assert "worst case is nearer" in spacer.likely.caution
    assert "varies" not in str(spacer.off.inputs)


def test_a_squeezed_piece_varies_by_what_the_clamp_leaves_of_it():
    tape = SpacerKind("tape", q("0.010 in"), 8, squeeze=q("20 %"), varies=q("0.001 in"))

    spacer = stack_up(q("0.040 in"), q("0.001 in"), [Pieces(5, tape)])

    assert spacer.loose.value == q("0.05 in")
    assert spacer.clamped.value == q("0.04 in")
    assert spacer.worst.value == q("0.004 in")


@pytest.mark.parametrize(("unit", "target"), [("mm", "2.032 mm"), ("mil", "80 mil"), ("in", "0.080 in")])
def test_thicknesses_come_in_the_unit_of_the_target(unit, target):
    spacer = pick_spacer(q(target), q("1 mil"), [SpacerKind("shim", q("0.040 in"), 2)])

    assert spacer.clamped.value.unit is UNITS[unit]
    assert spacer.off.value.amount == 0


def test_pieces_of_one_name_stay_apart_in_the_working():
    kinds = [SpacerKind("shim", q("0.040 in"), 1), SpacerKind("shim", q("0.025 in"), 1)]

    spacer = pick_spacer(q("0.065 in"), q("0 in"), kinds)

    assert [given.name for given in spacer.loose.inputs] == ["1 of 1. shim, each", "1 of 2. shim, each"]
