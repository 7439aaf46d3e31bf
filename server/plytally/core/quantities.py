"""The units a shop uses, with exact factors, and amounts that keep the unit in which they were spoken.

Quantity(22 inHg).to("psi") -> 10.8053912443 psi · parse_quantity("0.085 in") · Ratio(4, 1) -> "4:1"

Factors: NIST Special Publication 811 (2008), Appendix B, from the exact definitions given there: inch
0.0254 m, pound 0.45359237 kg, standard gravity 9.80665 m/s², US gallon 231 in³, conventional mercury
13595.1 kg/m³. They are kept as fractions, so a conversion is exact until its last, rounded, step.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Context, Decimal
from enum import Enum
from fractions import Fraction

SIGNIFICANT_DIGITS = 12
_ROUNDING = Context(prec=SIGNIFICANT_DIGITS, rounding=ROUND_HALF_EVEN)
_MOST_DIGITS = 40
_LARGEST_EXPONENT = 30
_WITHOUT_ROUNDING = Context(prec=2 * _MOST_DIGITS)


class UnitError(ValueError):
    """An amount, unit or ratio that cannot be; the message says what was found and what is wanted."""


class Dimension(Enum):
    """What a unit measures; the value is its readable name."""

    LENGTH = "length"
    MASS = "mass"
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    TIME = "time"
    FRACTION = "percent"
    AREA = "area"
    AREAL_WEIGHT = "areal weight"
    VOLUME = "volume"
    FORCE = "force"
    MOMENT = "moment"
    DENSITY = "density"


@dataclass(frozen=True)
class Unit:
    """One unit: an amount `a` of it is `a * factor + offset` in the SI unit of its dimension.

    `spoken` holds the singular, the plural and then every other way to say it.
    """

    symbol: str
    dimension: Dimension
    factor: Fraction
    spoken: tuple[str, ...]
    offset: Fraction = Fraction(0)

    def __str__(self) -> str:
        return self.symbol


_INCH = Fraction("0.0254")
_POUND = Fraction("0.45359237")
_GRAVITY = Fraction("9.80665")
_GALLON = 231 * _INCH**3
_GRAM = Fraction(1, 1000)
_LBF = _POUND * _GRAVITY
_MERCURY = Fraction("13595.1") * _GRAVITY
_YARD = 36 * _INCH

# symbol, factor to SI, offset, spoken forms
_Row = tuple[str, Fraction | int, Fraction | int, str]
_TABLE: Mapping[Dimension, tuple[_Row, ...]] = {
    Dimension.LENGTH: (
        ("in", _INCH, 0, "inch|inches"),
        ("mil", _INCH / 1000, 0, "thousandth|thousandths|thou|mil|mils"),
        ("ft", 12 * _INCH, 0, "foot|feet"),
        ("yd", _YARD, 0, "yard|yards"),
        ("mm", Fraction(1, 1000), 0, "millimeter|millimeters|millimetre|millimetres"),
        ("cm", Fraction(1, 100), 0, "centimeter|centimeters|centimetre|centimetres"),
        ("m", 1, 0, "meter|meters|metre|metres"),
    ),
    Dimension.MASS: (
        ("g", _GRAM, 0, "gram|grams"),
        ("kg", 1, 0, "kilogram|kilograms|kilo|kilos"),
        ("oz", _POUND / 16, 0, "ounce|ounces"),
        ("lb", _POUND, 0, "pound|pounds"),
    ),
    Dimension.PRESSURE: (
        ("inHg", _MERCURY * _INCH, 0, "inch of mercury|inches of mercury|inch of vacuum|inches of vacuum"),
        ("mbar", 100, 0, "millibar|millibars"),
        ("hPa", 100, 0, "hectopascal|hectopascals"),
        ("kPa", 1000, 0, "kilopascal|kilopascals"),
        ("Pa", 1, 0, "pascal|pascals"),
        ("psi", _LBF / _INCH**2, 0, "pound per square inch|pounds per square inch|p s i|psi"),
        ("atm", 101325, 0, "atmosphere|atmospheres"),
    ),
    Dimension.TEMPERATURE: (
        (
            "degF",
            Fraction(5, 9),
            Fraction("459.67") * Fraction(5, 9),
            "degree fahrenheit|degrees fahrenheit|fahrenheit|degrees f",
        ),
        (
            "degC",
            1,
            Fraction("273.15"),
            "degree celsius|degrees celsius|celsius|degrees centigrade|centigrade|degrees c",
        ),
        ("K", 1, 0, "kelvin|kelvins"),
    ),
    Dimension.TIME: (
        ("s", 1, 0, "second|seconds"),
        ("min", 60, 0, "minute|minutes"),
        ("h", 3600, 0, "hour|hours"),
        ("day", 86400, 0, "day|days"),
    ),
    Dimension.FRACTION: (("%", Fraction(1, 100), 0, "percent|percent|per cent"),),
    Dimension.AREA: (
        ("in2", _INCH**2, 0, "square inch|square inches"),
        ("ft2", (12 * _INCH) ** 2, 0, "square foot|square feet"),
        ("yd2", _YARD**2, 0, "square yard|square yards"),
        ("cm2", Fraction(1, 10_000), 0, "square centimeter|square centimeters"),
        ("m2", 1, 0, "square meter|square meters"),
    ),
    Dimension.AREAL_WEIGHT: (
        ("g/m2", _GRAM, 0, "gram per square meter|grams per square meter"),
        ("oz/yd2", _POUND / 16 / _YARD**2, 0, "ounce per square yard|ounces per square yard"),
    ),
    Dimension.VOLUME: (
        ("mL", Fraction(1, 1_000_000), 0, "milliliter|milliliters|millilitre|millilitres"),
        ("L", Fraction(1, 1000), 0, "liter|liters|litre|litres"),
        ("fl_oz", _GALLON / 128, 0, "fluid ounce|fluid ounces"),
        ("pint", _GALLON / 8, 0, "pint|pints"),
        ("qt", _GALLON / 4, 0, "quart|quarts"),
        ("gal", _GALLON, 0, "gallon|gallons"),
    ),
    Dimension.FORCE: (
        ("N", 1, 0, "newton|newtons"),
        ("lbf", _LBF, 0, "pound force|pounds force"),
    ),
    Dimension.MOMENT: (
        ("in-lb", _LBF * _INCH, 0, "inch pound|inch pounds"),
        ("ft-lb", _LBF * 12 * _INCH, 0, "foot pound|foot pounds"),
        ("N-m", 1, 0, "newton meter|newton meters|newton metre|newton metres"),
    ),
    Dimension.DENSITY: (
        ("g/cm3", 1000, 0, "gram per cubic centimeter|grams per cubic centimeter"),
        ("kg/m3", 1, 0, "kilogram per cubic meter|kilograms per cubic meter"),
        ("lb/ft3", _POUND / (12 * _INCH) ** 3, 0, "pound per cubic foot|pounds per cubic foot"),
    ),
}


def _units() -> Iterator[Unit]:
    for dimension, rows in _TABLE.items():
        for symbol, factor, offset, spoken in rows:
            yield Unit(symbol, dimension, Fraction(factor), tuple(spoken.split("|")), Fraction(offset))


UNITS: Mapping[str, Unit] = {unit.symbol: unit for unit in _units()}
ALSO_WRITTEN = {'"': "in", "″": "in", "°F": "degF", "°C": "degC", "in²": "in2", "ft²": "ft2", "m²": "m2"}
ALSO_WRITTEN |= {"F": "degF", "C": "degC"}  # as a terminal without a degree sign shows them
ALSO_WRITTEN |= {"g/m²": "g/m2", "oz/yd²": "oz/yd2", "ml": "mL", "l": "L", "pt": "pint", "g/cm³": "g/cm3"}
_WRITTEN_QUANTITY = re.compile(r"\s*([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+))\s*([^\s\d.].*?)\s*")


def unit_named(symbol: str) -> Unit:
    """Give the unit with this symbol ("degF", also "°F"); UnitError names those that come near."""
    unit = UNITS.get(ALSO_WRITTEN.get(symbol, symbol))
    if unit is None:
        raise UnitError(f"{symbol!r} is not a unit; {_nearest(symbol)}")
    return unit


def _nearest(symbol: str) -> str:
    written = {name.lower(): unit.symbol for unit in UNITS.values() for name in (unit.symbol, *unit.spoken)}
    name = symbol.strip().lower()
    close = [name] if name in written else difflib.get_close_matches(name, written, n=4)
    found = dict.fromkeys(written[near] for near in close)
    return f"did you mean {' or '.join(found)}?" if found else f"units: {', '.join(UNITS)}"


@dataclass(frozen=True)
class Quantity:
    """An amount with the unit in which it was spoken; equal only if both are: 1000 mil is not 1 in.

    UnitError for what no gauge can show: NaN, infinity, more than 40 digits, or below absolute zero.
    """

    amount: Decimal
    unit: Unit

    def __post_init__(self) -> None:
        _check_number(self.amount, "an amount")
        if self.unit.dimension is Dimension.TEMPERATURE and self.si() < 0:
            raise UnitError(f"{self} is below absolute zero")

    def __str__(self) -> str:
        return format_quantity(self)

    def si(self) -> Fraction:
        """Give the exact amount in SI: m, kg, Pa, K, s, 1 (not percent), m², kg/m², m³, N, N·m or kg/m³."""
        return Fraction(self.amount) * self.unit.factor + self.unit.offset

    def to(self, unit: Unit | str) -> Quantity:
        """Give the same quantity in another unit of its dimension.

        Exact until the last step, which rounds half to even at 12 significant digits and drops
        trailing zeros. In its own unit it comes back untouched. UnitError across dimensions.
        """
        target = unit_named(unit) if isinstance(unit, str) else unit
        if target == self.unit:
            return self
        if target.dimension is not self.unit.dimension:
            wanted, found = target.dimension.value, self.unit.dimension.value
            raise UnitError(f"{self} is a {found}: it cannot be given in {target}, a unit of {wanted}")
        exact = (self.si() - target.offset) / target.factor
        rounded = _ROUNDING.divide(Decimal(exact.numerator), Decimal(exact.denominator))
        return Quantity(_plain(rounded), target)


@dataclass(frozen=True)
class Ratio:
    """Parts of resin to parts of hardener, as spoken: 4:1 is not 100:25. UnitError unless positive."""

    first: Decimal
    second: Decimal

    def __post_init__(self) -> None:
        for part in self.parts:
            _check_number(part, "a part of a ratio")
            if part <= 0:
                raise UnitError(f"a part of a ratio is greater than zero, found {part} in {self}")

    @property
    def parts(self) -> tuple[Decimal, Decimal]:
        """Both parts, in the order spoken."""
        return (self.first, self.second)

    def __str__(self) -> str:
        return f"{_plain(self.first):f}:{_plain(self.second):f}"


def parse_quantity(text: str) -> Quantity:
    """Read a written amount and unit: "0.085 in", "22inHg", "-10 °C". UnitError says what cannot be read."""
    match = _WRITTEN_QUANTITY.fullmatch(text)
    if match is None:
        raise UnitError(f"{text!r} is not an amount with a unit; write it like '0.085 in' or '22 inHg'")
    return Quantity(Decimal(match[1]), unit_named(match[2]))


def format_quantity(quantity: Quantity) -> str:
    """Write all digits of the amount and the unit's symbol, "0.085 in", for `parse_quantity` to read."""
    return f"{quantity.amount:f} {quantity.unit.symbol}"


def _check_number(number: Decimal, what: str) -> None:
    if not isinstance(number, Decimal):
        raise UnitError(f"{what} is a Decimal, found {number!r} ({type(number).__name__})")
    if not number.is_finite():
        raise UnitError(f"{what} is a number that can be written down, found {number}")
    if abs(number.adjusted()) > _LARGEST_EXPONENT or len(number.as_tuple().digits) > _MOST_DIGITS:
        raise UnitError(f"{what} is out of every shop's range: {number}")


def _plain(number: Decimal) -> Decimal:
    """Drop trailing zeros and the exponent; the value stays the same to the last digit."""
    return Decimal(f"{number.normalize(_WITHOUT_ROUNDING):f}")
