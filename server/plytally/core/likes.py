"""How a builder likes days, times and amounts to be written; the log keeps what was said.

"22 inHg" -> "22 inHg (74.5 kPa)" · "2026-03-21T19:05-04:00" -> "March 21, 2026 7:05 pm −04:00"

A day always has its month in letters or stands as ISO 8601 has it: 03/04 is April in one country and March
in another. Noon and midnight are named, since "12 pm" is read both ways (NIST says so of a.m. and p.m., from
memory). A time keeps its offset from UTC in whatever way it is written.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from plytally.core.entry import FIELDS, Doubt, FieldValue
from plytally.core.printed import printed, sign
from plytally.core.quantities import Dimension, Quantity, UnitError, parse_quantity

ISO, DAY_FIRST, MONTH_FIRST = "iso", "day_month", "month_day"
DATES = (DAY_FIRST, MONTH_FIRST, ISO)
CLOCKS = ("24", "12")
SAID, METRIC, INCH = "said", "metric", "inch"
UNITS = (SAID, METRIC, INCH)
OWN_UNITS: Mapping[Dimension, tuple[str, ...]] = MappingProxyType(
    {
        Dimension.LENGTH: ("mm", "cm", "in", "mil"),
        Dimension.MASS: ("g", "kg", "oz", "lb"),
        Dimension.PRESSURE: ("inHg", "kPa", "mbar", "psi"),
        Dimension.TEMPERATURE: ("degF", "degC"),
    }
)
"""What may be chosen for one kind of amount, whatever the others are in: grams beside inches is common."""

MORE_DIGITS, LEAST_DIGITS = 1, 3
_LIKED: Mapping[str, Mapping[Dimension, str]] = {
    SAID: {},
    METRIC: {
        Dimension.LENGTH: "mm",
        Dimension.MASS: "g",
        Dimension.PRESSURE: "kPa",
        Dimension.TEMPERATURE: "degC",
        Dimension.AREA: "m2",
    },
    INCH: {
        Dimension.LENGTH: "in",
        Dimension.MASS: "oz",
        Dimension.PRESSURE: "inHg",
        Dimension.TEMPERATURE: "degF",
        Dimension.AREA: "ft2",
    },
}
_OF: Mapping[str, frozenset[str]] = {
    METRIC: frozenset({"mm", "cm", "m", "g", "kg", "Pa", "hPa", "kPa", "mbar", "degC", "K", "m2", "cm2"}),
    INCH: frozenset({"in", "mil", "ft", "yd", "oz", "lb", "inHg", "psi", "degF", "ft2", "in2", "yd2"}),
}
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_DAY = rf"(?P<day>\d{{1,2}}) (?P<month>{'|'.join(MONTHS)}) (?P<year>\d{{4}})"
_TIME = r"(?:[01]\d|2[0-3]):[0-5]\d"
_AT = re.compile(rf"(?<=\buntil ){_TIME}\b(?! [ap]m)|(?<=\bcalls at ){_TIME}\b(?! [ap]m)")
_OURS = re.compile(rf"(?:(?P<before>{_TIME}) on )?\b{_DAY}\b(?:(?P<link> at |, )(?P<after>{_TIME}))?")


@dataclass(frozen=True)
class Likes:
    """`dates` is one of DATES, `clock` of CLOCKS, `units` of UNITS; `own`: a unit for some kinds of amount.

    >>> Likes(units="metric").told(parse_quantity("22 inHg"))
    '22 inHg (74.5 kPa)'
    """

    dates: str = DAY_FIRST
    clock: str = CLOCKS[0]
    units: str = SAID
    own: Mapping[Dimension, str] = field(default_factory=dict, hash=False)

    @classmethod
    def of(cls, settings: Mapping[str, Any]) -> Likes:
        """Those of the desk's settings, each as usual where it is missing or not known."""
        dates, clock, units = (str(settings.get(name, "")) for name in ("dates", "clock", "units"))
        own = {
            dimension: symbol
            for dimension, symbols in OWN_UNITS.items()
            if (symbol := str(settings.get(setting_of(dimension), ""))) in symbols
        }
        return cls(
            dates if dates in DATES else DAY_FIRST,
            clock if clock in CLOCKS else CLOCKS[0],
            units if units in UNITS else SAID,
            own,
        )

    def day(self, when: str) -> str:
        """The day of an RFC 3339 time or day, as the clock on the shop's wall had it."""
        year, month, day = when[:10].split("-")
        if self.dates == ISO:
            return when[:10]
        name = MONTHS[int(month) - 1]
        return f"{int(day)} {name} {year}" if self.dates == DAY_FIRST else f"{name} {int(day)}, {year}"

    def time(self, clock: str) -> str:
        """A time of day: "19:05", or "7:05 pm".

        >>> [Likes(clock="12").time(each) for each in ("00:00", "00:30", "12:00", "12:30", "19:05")]
        ['12:00 midnight', '12:30 am', '12:00 noon', '12:30 pm', '7:05 pm']
        """
        clock = clock[:5]
        if self.clock == CLOCKS[0]:
            return clock
        hour, minute = int(clock[:2]), clock[3:]
        half = {"00:00": "midnight", "12:00": "noon"}.get(clock, "am" if hour < 12 else "pm")
        return f"{hour % 12 or 12}:{minute} {half}"

    def moment(self, wall: str) -> str:
        """A time with its day and its offset from UTC: "21 March 2026 19:05 −04:00"."""
        offset = wall[-6:].replace("-", "−") if wall[-6:-5] in ("+", "-") else "UTC"
        return f"{self.day(wall)} {self.time(wall[11:16])} {offset}"

    def days_in(self, text: str) -> str:
        """A sentence of ours, its days ("3 March 2026", with a time beside or not) as they are liked.

        Not for what somebody said or typed: words stay as they are.
        """
        return text if self.dates == DAY_FIRST and self.clock == CLOCKS[0] else _OURS.sub(self._day_in, text)

    def in_sentence(self, text: str) -> str:
        """The same, its times of day as well, where our sentences name one: "until 13:52", "calls at 07:00".

        >>> Likes(clock="12").in_sentence("pot life: 9 minutes left, until 13:52")
        'pot life: 9 minutes left, until 1:52 pm'
        """
        text = self.days_in(text)
        return text if self.clock == CLOCKS[0] else _AT.sub(lambda found: self.time(found[0]), text)

    def _day_in(self, found: re.Match[str]) -> str:
        month = MONTHS.index(found["month"]) + 1
        day = self.day(f"{found['year']}-{month:02}-{int(found['day']):02}")
        before = f"{self.time(found['before'])} on " if found["before"] else ""
        after = f"{found['link']}{self.time(found['after'])}" if found["after"] else ""
        return f"{before}{day}{after}"

    def figure(self, value: FieldValue | None) -> str:
        """A value in figures as it was said, "nothing" for none."""
        if value is None:
            return "nothing"
        return printed(value) if isinstance(value, Quantity) else str(value)

    def beside(self, value: object) -> str:
        """The amount in the liked unit, with one digit more than was said; "" where that says nothing new."""
        if not isinstance(value, Quantity):
            return ""
        unit = self._unit(value)
        return "" if unit is None else _rounded(value, unit)

    def told(self, value: FieldValue | None) -> str:
        """A value in figures as it was said, with the liked unit in brackets."""
        other = self.beside(value)
        return f"{self.figure(value)} ({other})" if other else self.figure(value)

    def told_text(self, name: str, text: str) -> str:
        """The words of a doubt about a field, "22 inHg", told as its value would be."""
        if name not in FIELDS or not isinstance(FIELDS[name].holds, Dimension):
            return text
        try:
            return self.told(parse_quantity(text))
        except UnitError:
            return text

    def doubt(self, doubt: Doubt) -> Doubt:
        """A doubt to be shown: its amounts as they are liked."""
        heard, other = (self.told_text(doubt.field, text) for text in (doubt.heard, doubt.runner_up))
        return Doubt(doubt.field, heard, other, self.days_in(doubt.why))

    def total(self, quantity: Quantity) -> str:
        """A sum, which nobody said: in the liked unit alone, to a hundredth."""
        unit = self._unit(quantity)
        amount = quantity.amount if unit is None else quantity.to(unit).amount
        symbol = unit or quantity.unit.symbol
        return f"{amount:,.2f}".rstrip("0").rstrip(".") + f" {sign(symbol)}"

    def _unit(self, value: Quantity) -> str | None:
        """The unit to tell an amount in besides its own."""
        dimension, symbol = value.unit.dimension, value.unit.symbol
        own = self.own.get(dimension)
        if own is not None:
            return None if own == symbol else own
        return None if symbol in _OF.get(self.units, ()) else _LIKED[self.units].get(dimension)


USUAL = Likes()


def setting_of(dimension: Dimension) -> str:
    """The name of the desk's setting for the unit of a kind of amount: "unit_length"."""
    return f"unit_{dimension.value}"


def weekday(when: str) -> str:
    """The day of the week of an RFC 3339 time or day: "Saturday".

    >>> weekday("2026-03-21")
    'Saturday'
    """
    return _DAYS[date.fromisoformat(when[:10]).weekday()]


def month_told(when: str) -> str:
    """The month of a time or day: "March 2026"."""
    return f"{MONTHS[int(when[5:7]) - 1]} {when[:4]}"


def _rounded(value: Quantity, unit: str) -> str:
    digits = max(LEAST_DIGITS, len(value.amount.as_tuple().digits)) + MORE_DIGITS
    amount = value.to(unit).amount
    places = digits - 1 - amount.adjusted() if amount else 0
    return f"{_plain(round(amount, max(0, places)))} {sign(unit)}"


def _plain(amount: Decimal) -> str:
    text = f"{amount:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
