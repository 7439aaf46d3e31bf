"""Units against NIST SP 811, handbooks, and two reference libraries.

Sources: NIST Special Publication 811 (2008), Appendix B.8 · US Army TM 1-1500-204-23-11, Advanced
Composites (page in the id) · a composites weights-and-measures table (CCI) · pint · scipy.constants.
"""

from decimal import Decimal

import pint
import pytest
from scipy import constants

from plytally.core.quantities import UNITS, Dimension, Quantity, parse_quantity

PINT_NAMES = {
    "mil": "thou",
    "inHg": "inch_Hg",
    "%": "percent",
    "fl_oz": "fluid_ounce",
    "pint": "US_pint",
    "qt": "US_liquid_quart",
    "gal": "US_liquid_gallon",
    "in-lb": "inch * force_pound",
    "ft-lb": "foot * force_pound",
    "N-m": "newton * meter",
    "lb/ft3": "pound / foot ** 3",
    "in2": "inch ** 2",
    "ft2": "foot ** 2",
    "yd2": "yard ** 2",
    "cm2": "centimeter ** 2",
    "m2": "meter ** 2",
    "g/m2": "gram / meter ** 2",
    "oz/yd2": "ounce / yard ** 2",
    "g/cm3": "gram / centimeter ** 3",
    "kg/m3": "kilogram / meter ** 3",
}
SI = {
    Dimension.LENGTH: "meter",
    Dimension.MASS: "kilogram",
    Dimension.PRESSURE: "pascal",
    Dimension.TEMPERATURE: "kelvin",
    Dimension.TIME: "second",
    Dimension.FRACTION: "dimensionless",
    Dimension.AREA: "meter ** 2",
    Dimension.AREAL_WEIGHT: "kilogram / meter ** 2",
    Dimension.VOLUME: "meter ** 3",
    Dimension.FORCE: "newton",
    Dimension.MOMENT: "newton * meter",
    Dimension.DENSITY: "kilogram / meter ** 3",
}


@pytest.fixture(scope="module")
def reference() -> pint.UnitRegistry:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@pytest.mark.parametrize(
    "amount", [pytest.param(amount, id=f"pint {amount}") for amount in ("1", "0.085", "451")]
)
@pytest.mark.parametrize("symbol", UNITS)
def test_every_unit_agrees_with_pint(reference, symbol, amount):
    unit = UNITS[symbol]

    theirs = (
        reference.Quantity(float(amount), PINT_NAMES.get(symbol, symbol)).to(SI[unit.dimension]).magnitude
    )

    assert float(Quantity(Decimal(amount), unit).si()) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize(
    ("one", "symbol", "printed"),
    [
        pytest.param("1 inHg", "Pa", "3386.389", id="NIST SP 811 B.8, inch of mercury, conventional"),
        pytest.param("1 psi", "Pa", "6894.757", id="NIST SP 811 B.8, psi"),
        pytest.param("1 atm", "Pa", "101325", id="NIST SP 811 B.8, standard atmosphere"),
        pytest.param("1 in", "mm", "25.4", id="NIST SP 811 B.8, inch"),
        pytest.param("1 mil", "mm", "0.0254", id="NIST SP 811 B.8, mil"),
        pytest.param("1 oz", "g", "28.34952", id="NIST SP 811 B.8, ounce avoirdupois"),
        pytest.param("1 lb", "kg", "0.4535924", id="NIST SP 811 B.8, pound avoirdupois"),
        pytest.param("1 oz/yd2", "g/m2", "33.90575", id="NIST SP 811 B.8, ounce per square yard"),
        pytest.param("1 fl_oz", "mL", "29.57353", id="NIST SP 811 B.8, US fluid ounce"),
        pytest.param("2.3 oz/yd2", "g/m2", "78", id="CCI weights and measures, 2.3 oz"),
        pytest.param("5.0 oz/yd2", "g/m2", "170", id="CCI weights and measures, 5.0 oz"),
        pytest.param("5.8 oz/yd2", "g/m2", "197", id="CCI weights and measures, 5.8 oz"),
        pytest.param("6.0 oz/yd2", "g/m2", "203", id="CCI weights and measures, 6.0 oz"),
        pytest.param("9.0 oz/yd2", "g/m2", "305", id="CCI weights and measures, 9.0 oz"),
        pytest.param("22 inHg", "psi", "10.8", id="TM 1-1500-204-23-11 p.205, 22 inHg is about 10.8 psi"),
        pytest.param("1 psi", "inHg", "2.036", id="TM 1-1500-204-23-11 p.172, psi to inHg"),
        pytest.param("22 in", "mil", "22000", id="exact, an inch is a thousand mils"),
        pytest.param("0 degC", "degF", "32", id="freezing water, from memory"),
        pytest.param("212 degF", "degC", "100", id="boiling water, from memory"),
    ],
)
def test_conversions_agree_with_print(one, symbol, printed):
    ours = parse_quantity(one).to(symbol).amount

    assert ours.quantize(Decimal(printed)) == Decimal(printed)


def test_inhg_to_psi_agrees_with_the_army_manual_p172_to_its_last_digit_but_one():
    """TM 1-1500-204-23-11 p.172 prints 0.49116; the conventional inch of mercury gives 0.491154."""
    ours = parse_quantity("1 inHg").to("psi").amount

    assert abs(ours - Decimal("0.49116")) < Decimal("0.00001")


def test_the_force_on_a_bag_agrees_with_the_army_manual_p171():
    """TM 1-1500-204-23-11 p.171: 14.7 psi on 10 by 10 inches is 1470 lb."""
    force = parse_quantity("14.7 psi").si() * parse_quantity("100 in2").si()

    assert force == parse_quantity("1470 lbf").si()


def test_our_inch_of_mercury_is_the_conventional_one_and_not_those_at_32_or_60_fahrenheit():
    """NIST SP 811 B.8 prints 3386.38 Pa for 32 °F and 3376.85 Pa for 60 °F."""
    ours = parse_quantity("1 inHg").to("Pa").amount

    assert ours == Decimal("3386.38864034")
    assert Decimal("0.005") < ours - Decimal("3386.38") < Decimal("0.01")
    assert ours - Decimal("3376.85") > 9


@pytest.mark.parametrize(
    ("symbol", "theirs"),
    [
        pytest.param("in", constants.inch, id="scipy.constants.inch"),
        pytest.param("mil", constants.mil, id="scipy.constants.mil"),
        pytest.param("ft", constants.foot, id="scipy.constants.foot"),
        pytest.param("yd", constants.yard, id="scipy.constants.yard"),
        pytest.param("lb", constants.pound, id="scipy.constants.pound"),
        pytest.param("oz", constants.ounce, id="scipy.constants.ounce"),
        pytest.param("psi", constants.psi, id="scipy.constants.psi"),
        pytest.param("atm", constants.atm, id="scipy.constants.atm"),
        pytest.param("lbf", constants.pound_force, id="scipy.constants.pound_force"),
        pytest.param("gal", constants.gallon_US, id="scipy.constants.gallon_US"),
        pytest.param("fl_oz", constants.fluid_ounce_US, id="scipy.constants.fluid_ounce_US"),
    ],
)
def test_factors_agree_with_scipy(symbol, theirs):
    assert float(UNITS[symbol].factor) == pytest.approx(theirs, rel=1e-14)
