"""Static balance: weight and arm mend what they say they mend, and the plans' limits decide."""

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from plytally.core.quantities import UNITS, Quantity, parse_quantity
from plytally.core.shop.balance import Item, Limits, arm_for, balance, paint, weight_at, within

q = parse_quantity
ITEMS = st.lists(
    st.builds(
        lambda grams, inches: Item("part", Quantity(grams, UNITS["g"]), Quantity(inches, UNITS["in"])),
        st.decimals(1, 3000, places=1),
        st.decimals(-12, 12, places=2),
    ),
    min_size=1,
    max_size=8,
)
TARGETS = st.decimals(-20, 20, places=1).map(lambda moment: Quantity(moment, UNITS["in-lb"]))
ELEVATOR = [
    Item("skins", q("1.8 lb"), q("5 in")),
    Item("spar", q("0.9 lb"), q("0.5 in")),
    Item("horn", q("0.6 lb"), q("-4 in")),
]


def total(items):
    return balance(items).total.value


@given(ITEMS, TARGETS)
def test_the_weight_it_says_brings_the_surface_to_the_target(items, target):
    arm = q("-5 in") if total(items).si() > target.si() else q("5 in")
    assume(total(items).si() != target.si())

    weight = weight_at(total(items), arm, target).value

    mended = total([*items, Item("balance weight", weight, arm)])
    assert float(mended.amount) == pytest.approx(float(target.amount), abs=1e-6)


@given(ITEMS, TARGETS, st.decimals(50, 900, places=1).map(lambda grams: Quantity(grams, UNITS["g"])))
def test_the_arm_it_says_brings_the_surface_to_the_target(items, target, mass):
    arm = arm_for(total(items), mass, target).value

    mended = total([*items, Item("balance weight", mass, arm)])
    assert float(mended.amount) == pytest.approx(float(target.amount), abs=1e-6)


@given(ITEMS)
def test_the_total_is_the_sum_of_the_moments_in_any_order(items):
    found = balance(items)

    assert float(found.total.value.amount) == pytest.approx(
        sum(float(moment.value.amount) for moment in found.moments), abs=1e-9
    )
    assert total(items[::-1]) == found.total.value


def test_an_elevator_that_is_tail_heavy_says_by_how_much():
    found = balance(ELEVATOR)

    assert found.total.value == q("7.05 in-lb")
    assert found.balanced.value.amount.quantize(Decimal("0.01")) == Decimal("25.40")
    assert [moment.what for moment in found.moments] == [
        "moment of skins",
        "moment of spar",
        "moment of horn",
    ]


def test_lead_ahead_of_the_hinge_balances_it():
    lead = weight_at(q("7.05 in-lb"), q("-4.7 in")).value

    assert lead.to("lb") == q("1.5 lb")


def test_a_given_lead_goes_to_an_arm_ahead_of_the_hinge():
    assert arm_for(q("7.05 in-lb"), q("1.5 lb")).value == q("-4.7 in")


def test_a_surface_that_is_all_ahead_of_the_hinge_is_balanced_by_no_percentage():
    assert balance([Item("horn", q("0.6 lb"), q("-4 in"))]).balanced is None


def test_a_coat_of_paint_makes_the_tail_heavier():
    coat = paint(q("8 ft2"), q("150 g/m2"), q("6 in"))

    assert float(coat.mass.value.amount) == pytest.approx(8 * 0.09290304 * 150)
    assert float(coat.moment.value.amount) == pytest.approx(8 * 0.09290304 * 0.150 / 0.45359237 * 6)


@pytest.mark.parametrize(
    ("moment", "inside"),
    [("0 in-lb", True), ("-2 in-lb", True), ("2.01 in-lb", False), ("0.2 N-m", True), ("0.3 N-m", False)],
)
def test_a_moment_is_held_against_the_limits_of_the_plans_ends_included(moment, inside):
    assert within(q(moment), Limits(q("-2 in-lb"), q("2 in-lb"), "the plans")) is inside


def test_every_balance_answer_says_that_plans_and_inspector_decide():
    answers = (balance(ELEVATOR).total, weight_at(q("7 in-lb"), q("-4 in")), arm_for(q("7 in-lb"), q("1 lb")))

    assert all(
        "the plans' limits rule" in one.caution and "inspector approve" in one.caution for one in answers
    )
