"""Amounts in other units beside the said ones."""

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.desk.units import beside
from plytally.core.quantities import parse_quantity

UNITS = pint.UnitRegistry()
NAMES = {"mil": "thou", "in": "inch", "ft": "foot"}


@pytest.mark.parametrize(
    ("said", "system", "shown"),
    [
        pytest.param("22 inHg", "metric", "74.5 kPa", id="NIST SP 811 B.8: 1 inHg is 3.386 389 kPa"),
        pytest.param("82 mil", "metric", "2.083 mm", id="NIST SP 811 B.8: 1 mil is 0.0254 mm"),
        pytest.param("120 g", "inch", "4.233 oz", id="NIST SP 811 B.8: 1 oz is 28.349 52 g"),
        pytest.param("71 degF", "metric", "21.67 degC", id="NIST SP 811 B.8: degC = (degF - 32) / 1.8"),
        pytest.param("22 inHg", "inch", "", id="said in those units"),
        pytest.param("22 inHg", "said", "", id="as it was said"),
        pytest.param("50 %", "metric", "", id="has no other unit"),
        pytest.param("0 degC", "inch", "32 degF", id="nothing to round"),
    ],
)
def test_an_amount_is_told_beside_what_was_said(said, system, shown):
    assert beside(parse_quantity(said), system) == shown


@settings(deadline=None)
@given(amount=st.integers(1, 99_999), unit=st.sampled_from(["mil", "in", "ft"]))
def test_lengths_agree_with_a_reference_library(amount, unit):
    told = beside(parse_quantity(f"{amount} {unit}"), "metric")
    exact = (
        amount * pint.UnitRegistry()("inch" if unit == "in" else "thou" if unit == "mil" else "foot")
    ).to("mm")
    assert float(told.split()[0]) == pytest.approx(exact.magnitude, rel=1e-3)


def test_a_name_or_a_count_has_no_unit():
    assert (beside("BID", "metric"), beside(3, "inch")) == ("", "")
