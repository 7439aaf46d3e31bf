"""Units as they are printed: "72 °F" and "2 ft²" for what is stored and typed as "72 degF" and "2 ft2"."""

from __future__ import annotations

import re
from collections.abc import Mapping

from plytally.core.quantities import Quantity, format_quantity

SIGNS: Mapping[str, str] = {
    **{"degF": "°F", "degC": "°C", "fl_oz": "fl oz"},
    **{"m2": "m²", "cm2": "cm²", "ft2": "ft²", "in2": "in²", "yd2": "yd²"},
    **{"g/m2": "g/m²", "oz/yd2": "oz/yd²"},
    **{"g/cm3": "g/cm³", "kg/m3": "kg/m³", "lb/ft3": "lb/ft³"},
}
_STORED = re.compile(rf"(?<=\d )(?:{'|'.join(SIGNS)})(?![\w/])")


def sign(symbol: str) -> str:
    """A unit's symbol as it is printed.

    >>> sign("degF"), sign("inHg")
    ('°F', 'inHg')
    """
    return SIGNS.get(symbol, symbol)


def printed(quantity: Quantity) -> str:
    """An amount as it was said, its unit as it is printed: "71 °F"."""
    return printed_in(format_quantity(quantity))


def printed_in(text: str) -> str:
    """A sentence of ours with the units of its amounts as they are printed.

    >>> printed_in("72 degF, or 90 degF? (1 ft2 at 6 oz/yd2)")
    '72 °F, or 90 °F? (1 ft² at 6 oz/yd²)'
    """
    return _STORED.sub(lambda found: SIGNS[found[0]], text)
