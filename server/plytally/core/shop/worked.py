"""An answer with its working: what it is, the formula, what it was worked from, the source, the caution.

CLI, phone and desk all show a `Worked` by `lines_of`, or read it by `as_json`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from decimal import Context, Decimal
from enum import Enum
from typing import Any, Generic, TypeVar

from plytally.core.printed import printed
from plytally.core.quantities import Quantity, Ratio

SHOWN_DIGITS = 4
GIVEN_DIGITS = 6

Value = Quantity | Ratio | Decimal | int | str
V = TypeVar("V", Quantity, Ratio, Decimal, int, str)

# The unit beside which an amount is also shown: shop units by SI, SI by shop units.
_OTHER: Mapping[str, str] = {
    **{"in": "mm", "mil": "mm", "ft": "m", "yd": "m", "mm": "in", "cm": "in", "m": "ft"},
    **{"g": "oz", "kg": "lb", "oz": "g", "lb": "kg"},
    **{"inHg": "kPa", "mbar": "inHg", "hPa": "inHg", "kPa": "inHg", "Pa": "inHg", "psi": "kPa", "atm": "kPa"},
    **{"degF": "degC", "degC": "degF", "K": "degF"},
    **{"in2": "cm2", "ft2": "m2", "yd2": "m2", "cm2": "in2", "m2": "ft2"},
    **{"g/m2": "oz/yd2", "oz/yd2": "g/m2"},
    **{"mL": "fl_oz", "L": "qt", "fl_oz": "mL", "pint": "mL", "qt": "L", "gal": "L"},
    **{"N": "lbf", "lbf": "N", "in-lb": "N-m", "ft-lb": "N-m", "N-m": "in-lb"},
    **{"g/cm3": "lb/ft3", "kg/m3": "lb/ft3", "lb/ft3": "g/cm3"},
}


@dataclass(frozen=True)
class Given:
    """One thing that an answer was worked from, as the builder or a table gave it."""

    name: str
    value: Value


@dataclass(frozen=True)
class Worked(Generic[V]):
    """An answer with its working; `value` keeps all digits, `shown` is what a person reads."""

    what: str
    value: V
    formula: str
    inputs: tuple[Given, ...]
    source: str
    caution: str

    @property
    def shown(self) -> str:
        """The value at four digits, in shop units and SI."""
        return shown(self.value)


@dataclass(frozen=True)
class Formula:
    """What a sum works out, its formula in symbols, where that is printed, and what to watch for."""

    name: str
    words: str
    source: str
    caution: str

    def gives(
        self, value: V, inputs: Mapping[str, Value], what: str = "", source: str = "", caution: str = ""
    ) -> Worked[V]:
        """Give an answer by this formula; `source` and `caution` add to what the formula says itself."""
        return Worked(
            what or self.name,
            value,
            self.words,
            tuple(Given(name, given) for name, given in inputs.items()),
            "; ".join(filter(None, (self.source, source))),
            " ".join(filter(None, (caution, self.caution))),
        )


def shown(value: Value) -> str:
    """Write an answer at four digits with its other unit beside it.

    >>> from plytally.core.quantities import parse_quantity
    >>> shown(parse_quantity("0.105571 in"))
    '0.1056 in (2.682 mm)'
    """
    if isinstance(value, Quantity):
        return _both(Quantity(_short(value.amount), value.unit), also(value))
    if isinstance(value, Ratio):
        return f"{_short(value.first):f}:{_short(value.second):f}"
    return f"{_short(value):f}" if isinstance(value, Decimal) else str(value)


def as_given(value: Value) -> str:
    """Write what an answer was worked from at up to six digits, and its other unit beside it."""
    if not isinstance(value, Quantity):
        return shown(value)
    long = len(value.amount.as_tuple().digits) > GIVEN_DIGITS
    amount = _short(value.amount, GIVEN_DIGITS) if long else value.amount
    return _both(Quantity(amount, value.unit), also(value))


def also(amount: Quantity) -> Quantity | None:
    """Give an amount in the other system of units at four digits; None for time, percent and counts."""
    symbol = _OTHER.get(amount.unit.symbol)
    other = amount.to(symbol) if symbol else None
    return Quantity(_short(other.amount), other.unit) if other else None


def answers(result: Any) -> tuple[Worked[Any], ...]:
    """Give every `Worked` in a result, in the order of its fields."""
    return tuple(_answers(result))


def lines_of(worked: Worked[Any], *, with_caution: bool = True) -> tuple[str, ...]:
    """Give an answer with its working as lines to print; a page of answers tells shared cautions once."""
    inputs = " · ".join(f"{given.name} {as_given(given.value)}" for given in worked.inputs)
    rows = {"formula": worked.formula, "from": inputs, "source": worked.source}
    rows |= {"caution": worked.caution} if with_caution else {}
    return (f"{worked.what}: {worked.shown}", *(f"  {name}: {row}" for name, row in rows.items() if row))


def as_json(result: Any) -> Any:
    """Give a result as JSON values: amounts as text with all digits, each answer with its working."""
    if isinstance(result, Worked):
        return {name: as_json(getattr(result, name)) for name in _names(result)} | {"shown": result.shown}
    if isinstance(result, Quantity | Ratio | Decimal):
        return str(result)
    if isinstance(result, Enum):
        return result.value
    if is_dataclass(result):
        return {name: as_json(getattr(result, name)) for name in _names(result)}
    return [as_json(one) for one in result] if isinstance(result, tuple) else result


def _answers(result: Any) -> Iterator[Worked[Any]]:
    if isinstance(result, Worked):
        yield result
        return
    inner = result if isinstance(result, tuple) else ()
    if is_dataclass(result):
        inner = tuple(getattr(result, name) for name in _names(result))
    for one in inner:
        yield from _answers(one)


def _names(result: Any) -> tuple[str, ...]:
    return tuple(field.name for field in fields(result))


def _both(amount: Quantity, other: Quantity | None) -> str:
    return f"{printed(amount)} ({printed(other)})" if other else printed(amount)


def _short(number: Decimal, digits: int = SHOWN_DIGITS) -> Decimal:
    short = Context(prec=digits).plus(number)
    return Decimal(f"{short.normalize():f}")
