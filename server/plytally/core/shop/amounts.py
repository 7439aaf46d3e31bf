"""Amounts on their way in and out of a sum: checked and exact going in, rounded once coming out.

above_zero(Quantity(85 mil), "layer", LENGTH) -> 0.002159 (m, a fraction) · quantity(0.002159, "in")
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction

from plytally.core.quantities import SIGNIFICANT_DIGITS, Dimension, Quantity, UnitError, unit_named
from plytally.core.shop.errors import OutOfRange, WrongKind

_ROUNDING = Context(prec=SIGNIFICANT_DIGITS, rounding=ROUND_HALF_EVEN)
_FINE = Context(prec=50)
_MOST_PIECES = 100_000

LIKE: Mapping[Dimension, str] = {
    Dimension.LENGTH: "0.085 in or 2.2 mm",
    Dimension.MASS: "100 g or 3.5 oz",
    Dimension.PRESSURE: "22 inHg or 74 kPa",
    Dimension.TEMPERATURE: "72 degF or 22 degC",
    Dimension.TIME: "30 min or 2 h",
    Dimension.FRACTION: "35 %",
    Dimension.AREA: "240 in2 or 0.5 m2",
    Dimension.AREAL_WEIGHT: "6 oz/yd2 or 203 g/m2",
    Dimension.VOLUME: "200 mL or 8 fl_oz",
    Dimension.FORCE: "100 lbf or 450 N",
    Dimension.MOMENT: "2.5 in-lb or 0.3 N-m",
    Dimension.DENSITY: "2.54 g/cm3",
}
_COLDEST = Quantity(Decimal(-50), unit_named("degC"))
_HOTTEST = Quantity(Decimal(300), unit_named("degC"))


def of_kind(amount: Quantity, where: str, dimension: Dimension) -> Fraction:
    """Give the exact amount in SI. WrongKind for anything but an amount of this dimension."""
    if not isinstance(amount, Quantity) or amount.unit.dimension is not dimension:
        raise WrongKind(where, amount, f"give {dimension.value} with its unit, like {LIKE[dimension]}")
    return amount.si()


def above_zero(amount: Quantity, where: str, dimension: Dimension) -> Fraction:
    """Give the exact amount in SI. OutOfRange for nothing and for less than nothing."""
    exact = of_kind(amount, where, dimension)
    if exact <= 0:
        raise OutOfRange(where, amount, f"give more than nothing, like {LIKE[dimension]}")
    return exact


def zero_or_more(amount: Quantity, where: str, dimension: Dimension) -> Fraction:
    """Give the exact amount in SI. OutOfRange for less than nothing."""
    exact = of_kind(amount, where, dimension)
    if exact < 0:
        raise OutOfRange(where, amount, "it cannot be negative; give zero or more")
    return exact


def share(amount: Quantity, where: str) -> Fraction:
    """Give a percentage as a fraction of one. OutOfRange unless it is between 0 and 100 %, ends excluded."""
    exact = of_kind(amount, where, Dimension.FRACTION)
    if not 0 < exact < 1:
        raise OutOfRange(where, amount, "give more than 0 % and less than 100 %")
    return exact


def share_or_none(amount: Quantity, where: str) -> Fraction:
    """Give a percentage as a fraction of one. OutOfRange unless it is at least 0 and less than 100 %."""
    exact = of_kind(amount, where, Dimension.FRACTION)
    if not 0 <= exact < 1:
        raise OutOfRange(where, amount, "give at least 0 % and less than 100 %")
    return exact


def number_of(count: int, where: str) -> int:
    """Give a count. OutOfRange unless it is a whole number from 1 to 100,000."""
    if not isinstance(count, int) or isinstance(count, bool) or not 1 <= count <= _MOST_PIECES:
        raise OutOfRange(where, count, f"give a whole number from 1 to {_MOST_PIECES:,}")
    return count


def kelvins(temperature: Quantity, where: str) -> float:
    """Give a temperature in kelvins. OutOfRange outside -50 °C to 300 °C, where no shop cures."""
    exact = of_kind(temperature, where, Dimension.TEMPERATURE)
    if not _COLDEST.si() <= exact <= _HOTTEST.si():
        raise OutOfRange(where, temperature, "give a temperature from -50 degC to 300 degC (-58 to 572 degF)")
    return float(exact)


def quantity(si: Fraction | float, symbol: str) -> Quantity:
    """Give an amount in SI as a Quantity in this unit, rounded half to even at 12 significant digits.

    ShopError where the amount is beyond what any shop measures.
    """
    unit = unit_named(symbol)
    exact = (Fraction(si) - unit.offset) / unit.factor
    try:
        return Quantity(rounded(exact), unit)
    except UnitError as problem:
        raise OutOfRange("the answer", f"{float(exact):.3g} {symbol}", "check the amounts given") from problem


def rounded(exact: Fraction) -> Decimal:
    """Give a fraction as a Decimal of at most 12 significant digits, without trailing zeros."""
    number = _ROUNDING.divide(Decimal(exact.numerator), Decimal(exact.denominator))
    return Decimal(f"{number.normalize(_ROUNDING):f}")


def root(square: Fraction) -> Fraction:
    """Give the square root to 50 digits."""
    return Fraction(_FINE.sqrt(_FINE.divide(Decimal(square.numerator), Decimal(square.denominator))))
