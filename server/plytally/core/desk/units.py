"""An amount in the units that a builder likes beside those in which it was said; the log keeps the said one.

"22 inHg" -> "74.5 kPa" · "82 mil" -> "2.083 mm" · "120 g" -> "4.233 oz"
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from plytally.core.quantities import Dimension, Quantity

SAID, METRIC, INCH = "said", "metric", "inch"
MORE_DIGITS, LEAST_DIGITS = 1, 3
_LIKED: Mapping[str, Mapping[Dimension, str]] = {
    METRIC: {
        Dimension.LENGTH: "mm",
        Dimension.MASS: "g",
        Dimension.PRESSURE: "kPa",
        Dimension.TEMPERATURE: "degC",
    },
    INCH: {
        Dimension.LENGTH: "in",
        Dimension.MASS: "oz",
        Dimension.PRESSURE: "inHg",
        Dimension.TEMPERATURE: "degF",
    },
}
_OF = {
    METRIC: {"mm", "cm", "m", "g", "kg", "Pa", "hPa", "kPa", "mbar", "degC", "K"},
    INCH: {"in", "mil", "ft", "yd", "oz", "lb", "inHg", "psi", "degF"},
}


def beside(value: object, system: str) -> str:
    """The amount in a system's unit, with one digit more than was said; "" where that says nothing new."""
    if not isinstance(value, Quantity) or system not in _LIKED or value.unit.symbol in _OF[system]:
        return ""
    unit = _LIKED[system].get(value.unit.dimension)
    if unit is None:
        return ""
    digits = max(LEAST_DIGITS, len(value.amount.as_tuple().digits)) + MORE_DIGITS
    amount = value.to(unit).amount
    places = digits - 1 - amount.adjusted() if amount else 0
    rounded = round(amount, max(0, places))
    return f"{_plain(rounded)} {unit}"


def _plain(amount: Decimal) -> str:
    text = f"{amount:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
