"""Static balance against worked examples. Tags: S seen in the source · R recomputed."""

import pytest

from plytally.core.quantities import parse_quantity
from plytally.core.shop.balance import Item, balance, moment_of, paint, weight_at


@pytest.mark.parametrize(
    ("pounds", "inches", "printed"),
    [
        pytest.param("0.750", "3", "2.25 in-lb", id="balance worked example, 0.750 x 3, R"),
        pytest.param("1.50", "3", "4.5 in-lb", id="balance worked example, 1.50 x 3, R"),
        pytest.param("8.50", "5", "42.5 in-lb", id="balance worked example, 8.50 x 5, R"),
        pytest.param("0.250", "10", "2.5 in-lb", id="balance worked example, 0.250 x 10, R"),
    ],
)
def test_a_moment_is_weight_times_arm_as_printed(pounds, inches, printed):
    item = Item("part", parse_quantity(f"{pounds} lb"), parse_quantity(f"{inches} in"))

    assert moment_of(item).value == parse_quantity(printed)


def test_73_g_at_8_in_are_balanced_by_146_g_at_4_in():
    """Balance worked example, R: printed as about 145 g; exactly 146."""
    tail = Item("73 g at 8 in", parse_quantity("73 g"), parse_quantity("8 in"))

    lead = weight_at(balance([tail]).total.value, parse_quantity("-4 in")).value

    assert float(lead.amount) == pytest.approx(146, abs=1e-6)
    assert float(lead.amount) == pytest.approx(145, rel=0.01)


def test_100_percent_balanced_is_a_moment_of_zero():
    """Static moment about the hinge, positive aft is tail-heavy, S."""
    items = [
        Item("skin", parse_quantity("73 g"), parse_quantity("8 in")),
        Item("lead", parse_quantity("146 g"), parse_quantity("-4 in")),
    ]

    found = balance(items)

    assert found.total.value.amount == 0
    assert found.balanced.value == parse_quantity("100 %")


def test_paint_says_to_check_the_balance_after_repair_or_repainting():
    """FAA AC 43.13-1B 1-38, S."""
    coat = paint(parse_quantity("4 ft2"), parse_quantity("120 g/m2"), parse_quantity("6 in"))

    assert "AC 43.13-1B" in coat.moment.source
    assert "1-38" in coat.moment.source
    assert "inspector" in coat.moment.caution
