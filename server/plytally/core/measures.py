"""Spoken amounts with their units to quantities, and quantities to words.

"eighty two thousandths" -> 82 mil · "twenty two inches" of vacuum -> 22 inHg · "an hour and a half" ->
1.5 h · "two hours thirty" -> 150 min · "half an inch" -> 0.5 in · "ninety degrees" -> 90 degF

The unit stays as spoken; only an amount in two units ("four feet two inches") is given in the smaller.
Where a dimension is expected, its everyday unit may be left out (`UNSAID`) and some words mean its own
units (`MEANS_THERE`): common practice of American shops, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from plytally.core.number_reading import fraction_on, number_on, oh_led_on, runs_on, short_hundreds_on
from plytally.core.numbers import say_number
from plytally.core.numberwords import (
    ARTICLES,
    BARE_FRACTIONS,
    DENOMINATORS,
    OHS,
    TYPED_UNITS,
    ZEROS,
    Line,
    Words,
    is_number_word,
    is_typed,
    word_list,
)
from plytally.core.quantities import UNITS, Dimension, Quantity, Unit, UnitError

UNSAID: Mapping[Dimension, str] = {
    Dimension.LENGTH: "in",
    Dimension.PRESSURE: "inHg",
    Dimension.TEMPERATURE: "degF",
    Dimension.FRACTION: "%",
}
MEANS_THERE: Mapping[tuple[Dimension, str], str] = {
    (Dimension.PRESSURE, "in"): "inHg",
    (Dimension.FORCE, "lb"): "lbf",
    (Dimension.VOLUME, "oz"): "fl_oz",
    (Dimension.AREAL_WEIGHT, "oz"): "oz/yd2",
    (Dimension.AREAL_WEIGHT, "g"): "g/m2",
}
# The larger unit: the smaller one that may follow it, and how many of those make one of the larger.
SMALLER: Mapping[str, tuple[str, int]] = {
    "day": ("h", 24),
    "h": ("min", 60),
    "min": ("s", 60),
    "lb": ("oz", 16),
    "ft": ("in", 12),
    "gal": ("pint", 8),
    "kg": ("g", 1000),
}
_SMALLER_UNSAID = ("h", "ft")  # "two hours thirty", "five feet six"
_ZERO_LED = (*OHS, *ZEROS)
_DEGREES = ("degrees", "degree")
_SPOKEN_UNITS: Mapping[Words, Unit] = {
    tuple(form.split()): unit for unit in UNITS.values() for form in unit.spoken
} | {(word,): UNITS[UNSAID[Dimension.TEMPERATURE]] for word in _DEGREES}
_LONGEST_UNIT = max(map(len, _SPOKEN_UNITS))

# "one twenty grams" is 120 g; not so for lengths, where "two ten inches" may be two of ten inches.
_HUNDRED_UNSAID = (Dimension.MASS, Dimension.TEMPERATURE, Dimension.VOLUME)
# Behind a bare number these say that it counts something, or is one side of a range or of a sheet.
_COUNTED = word_list(
    "ply plies layer layers coat coats hole holes grit drill drills bag bags clamp clamps times by or"
)
# Behind "two hours thirty" these say that the amount is over.
_OVER = ("", *word_list("at on in under with for then and the from of to over"))


@dataclass(frozen=True)
class _Spoken:
    """An amount with a unit, and the token after it."""

    amount: Decimal
    unit: Unit
    end: int


def read_quantity(
    words: Words, at: int = 0, expecting: Dimension | None = None, after_vacuum: bool = False
) -> tuple[Quantity, int] | None:
    """Read an amount with its unit: (Quantity, index after), or None where that is not certain.

    `expecting` refuses every other dimension, lets the everyday unit go unsaid, and takes inches for inches
    of mercury where a pressure is due; `after_vacuum` expects a pressure unless `expecting` says otherwise.
    Plain degrees are Fahrenheit, and are read only where a temperature is expected. Never raises.
    """
    if expecting is None and after_vacuum:
        expecting = Dimension.PRESSURE
    line = Line.of(words, at)
    spoken = _with_unit(line, expecting) or _without_unit(line, expecting)
    end = line.end(spoken.end) if spoken else None
    if spoken is None or end is None:
        return None
    try:
        return Quantity(spoken.amount, spoken.unit), end
    except UnitError:
        return None


def unit_on(line: Line, i: int) -> tuple[Unit, int] | None:
    """Read the longest unit at token `i`; after a number in digits also a written one: "in", "°f"."""
    for length in range(min(_LONGEST_UNIT, len(line.tokens) - i), 0, -1):
        if unit := _SPOKEN_UNITS.get(line.tokens[i : i + length]):
            return unit, i + length
    symbol = TYPED_UNITS.get(line[i]) if i and is_typed(line[i - 1]) else None
    return (UNITS[symbol], i + 1) if symbol else None


def _with_unit(line: Line, expecting: Dimension | None) -> _Spoken | None:
    spoken = _article(line, expecting) or _short_hundreds(line) or _bare_part(line) or _plain(line, expecting)
    whole = _extended(line, spoken) if spoken else None
    if spoken is None or whole is None or line[whole.end] == "below":
        return None
    if line[spoken.end - 1] in _DEGREES and expecting is not Dimension.TEMPERATURE:
        return None
    meant = MEANS_THERE.get((expecting, whole.unit.symbol)) if expecting else None
    if meant and whole.unit is spoken.unit:
        return replace(whole, unit=UNITS[meant])
    return whole if expecting in (None, whole.unit.dimension) else None


def _article(line: Line, expecting: Dimension | None) -> _Spoken | None:
    """Read "an hour"; where no time is expected, "a second" ply is none."""
    unit = unit_on(line, 1) if line[0] in ARTICLES else None
    if unit is None or (unit[0].dimension is not expecting and line[unit[1]] != "and"):
        return None
    return _Spoken(Decimal(1), *unit)


def _short_hundreds(line: Line) -> _Spoken | None:
    number = short_hundreds_on(line, 0)
    unit = unit_on(line, number[1]) if number else None
    if number is None or unit is None or unit[0].dimension not in _HUNDRED_UNSAID:
        return None
    return _Spoken(Decimal(number[0]), *unit) if line[number[1]].endswith("s") else None


def bare_part_on(line: Line, i: int) -> tuple[Decimal, int] | None:
    """Read "eighth" or "sixteenth" as a part; only what stands behind shows that it is no ordinal."""
    denominator = DENOMINATORS.get((line[i],), 0)
    return (Decimal(1) / denominator, i + 1) if denominator >= 8 and not line[i].endswith("s") else None


def _bare_part(line: Line) -> _Spoken | None:
    part = bare_part_on(line, 0)
    end = skip_of_a(line, 1)
    return _Spoken(part[0], UNITS["in"], end + 1) if part and line[end] == "inch" else None


def _plain(line: Line, expecting: Dimension | None) -> _Spoken | None:
    number = _amount(line, expecting)
    if number is None:
        return None
    unit = unit_on(line, skip_of_a(line, number[1]) if 0 < number[0] < 1 else number[1])
    if unit is None or (unit[0].symbol == "mil" and oh_led_on(line, 0, _ZERO_LED)):
        return None
    return _Spoken(number[0], *unit)


def _amount(line: Line, expecting: Dimension | None) -> tuple[Decimal, int] | None:
    """Read the number; "zero eighty five" is 0.085 only where a length is due."""
    length = oh_led_on(line, 0, _ZERO_LED) if expecting is Dimension.LENGTH else None
    return length if length and not runs_on(line, length[1]) else number_on(line, 0)


def skip_of_a(line: Line, i: int) -> int:
    """Skip the words between a part and its unit: half | an | inch, quarter | of an | inch."""
    i += line[i] == "of"
    return i + (line[i] in ARTICLES)


def _extended(line: Line, spoken: _Spoken) -> _Spoken | None:
    """Add what may follow the unit: smaller units, "and a half", "of an inch"; None if it goes on unread."""
    i = spoken.end
    if spoken.unit.symbol == "mil" and line.starts(i, ("of", "an", "inch")):
        return replace(spoken, end=i + 3)
    if line[i] == "and" and runs_on(line, i):
        return None
    if (smaller := _smaller(line, spoken)) is not None:
        return smaller if smaller.end else None
    part = fraction_on(line, i + 1) if line[i] == "and" and line[i + 1] not in BARE_FRACTIONS else None
    if part is None or spoken.amount % 1 or unit_on(line, skip_of_a(line, part[1])):
        return spoken
    return replace(spoken, amount=spoken.amount + part[0], end=part[1])


def _smaller(line: Line, larger: _Spoken) -> _Spoken | None:
    """Read the rest of an amount in two units, in the smaller; `end` is 0 for "two feet fifteen inches"."""
    start = larger.end + (line[larger.end] == "and")
    number = number_on(line, start)
    if larger.unit.symbol not in SMALLER or number is None:
        return None
    symbol, count = SMALLER[larger.unit.symbol]
    unit = unit_on(line, number[1])
    end = unit[1] if unit and unit[0].symbol == symbol else 0
    if not end and not _smaller_unsaid(line, larger, start, number):
        return None
    fits = 0 <= number[0] < count and larger.amount >= 0 and larger.amount % 1 == 0
    return _Spoken(larger.amount * count + number[0], UNITS[symbol], (end or number[1]) if fits else 0)


def _smaller_unsaid(line: Line, larger: _Spoken, start: int, number: tuple[Decimal, int]) -> bool:
    whole = number[0] % 1 == 0
    return (
        larger.unit.symbol in _SMALLER_UNSAID and start == larger.end and whole and line[number[1]] in _OVER
    )


def _without_unit(line: Line, expecting: Dimension | None) -> _Spoken | None:
    number = _amount(line, expecting)
    if expecting is None or expecting not in UNSAID or number is None or _goes_with_another(line, number[1]):
        return None
    return None if line[0] in BARE_FRACTIONS else _Spoken(number[0], UNITS[UNSAID[expecting]], number[1])


def _goes_with_another(line: Line, i: int) -> bool:
    """Tell whether a bare number belongs to what follows: a unit, a count, a range, more digits."""
    after = line[i + (line[i] == "to")]
    return is_number_word(after) or line[i] in _COUNTED or unit_on(line, i) is not None


def say_quantity(quantity: Quantity) -> str:
    """Say an amount and its unit, so that `read_quantity` gives the same: "eighty two thousandths".

    NumberError for a million and more.
    """
    one, many, *_ = quantity.unit.spoken
    return f"{say_number(quantity.amount)} {one if quantity.amount == 1 else many}"
