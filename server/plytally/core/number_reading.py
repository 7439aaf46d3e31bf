"""How numbers are read from a line of words, token by token; `numbers` is what others call.

Each function takes a `Line` and a token's index and gives (value, index after), or None. They read as many
words as make one number, and rather nothing than a part of one.

Common practice, no source: a leading "oh" with two or three more digits is thousandths of the unit, as
shops say them: "oh eighty", "oh eight oh" and "oh eighty five" are 0.080, 0.080 and 0.085, "oh oh five" is
0.005. "oh eight" alone may be 0.008 or 0.08 and is not read.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import gcd

from plytally.core.numberwords import (
    ARTICLES,
    BARE_FRACTIONS,
    DENOMINATORS,
    MINUSES,
    OHS,
    POINTS,
    TEENS,
    TENS,
    TYPED_FRACTION,
    TYPED_NUMBER,
    UNITS_WORDS,
    UNREAD_AFTER,
    ZEROS,
    Line,
    part_of,
)

_MOST_DECIMALS = 12

_Whole = tuple[int, int] | None
_Number = tuple[Decimal, int] | None


def number_on(line: Line, i: int) -> _Number:
    """Read the longest number at token `i`: (value, token after), or None."""
    if line[i] in MINUSES:
        rest = number_on(line, i + 1) if line[i + 1] not in MINUSES else None
        return (-rest[0], rest[1]) if rest else None
    best = max(_readings(line, i), key=lambda reading: reading[1], default=None)
    return None if best is None or runs_on(line, best[1]) else best


def runs_on(line: Line, i: int) -> bool:
    """Tell whether the number before token `i` goes on in a way that is not read ("two | and a third")."""
    if line[i] in UNREAD_AFTER:
        return True
    if line[i] != "and":
        return False
    numerator = cardinal_on(line, i + 1)
    after = numerator[1] if numerator else i + 2
    return (numerator is not None or line[i + 1] in ARTICLES) and line[after] in UNREAD_AFTER


def _readings(line: Line, i: int) -> Iterator[tuple[Decimal, int]]:
    whole = cardinal_on(line, i)
    for reading in (typed_on(line, i), fraction_on(line, i), oh_led_on(line, i), _decimal_on(line, i, whole)):
        if reading:
            yield reading
    if whole:
        yield Decimal(whole[0]), whole[1]
        if line[whole[1]] == "and" and (part := fraction_on(line, whole[1] + 1)):
            yield whole[0] + part[0], part[1]


def _below_hundred(line: Line, i: int) -> _Whole:
    word = line[i]
    if word in TENS:
        unit = UNITS_WORDS.get(line[i + 1], 0)
        return TENS[word] + unit, i + 1 + bool(unit)
    value = UNITS_WORDS.get(word) or TEENS.get(word)
    return (value, i + 1) if value else None


def _hundreds(line: Line, i: int) -> _Whole:
    head = (1, i + 1) if line[i] == "a" else _below_hundred(line, i)
    if head is None or line[head[1]] != "hundred":
        return head if line[i] != "a" else None
    return _with_rest(
        line, head[0] * 100, head[1] + 1, _below_hundred(line, head[1] + 1 + _has_and(line, head))
    )


def _has_and(line: Line, head: tuple[int, int]) -> bool:
    return line[head[1] + 1] == "and"


def _with_rest(line: Line, value: int, end: int, rest: _Whole) -> tuple[int, int]:
    """Add what follows "hundred" or "thousand", unless it is "and three" of "three quarters"."""
    if rest is None or (line[end] == "and" and fraction_on(line, end + 1)):
        return value, end
    return value + rest[0], rest[1]


def cardinal_on(line: Line, i: int) -> _Whole:
    """Read a whole number at token `i`, 0 to 999,999; "oh" is no whole number."""
    if line[i] in ZEROS:
        return 0, i + 1
    head = (1, i + 1) if line.starts(i, ("a", "thousand")) else _hundreds(line, i)
    if head is None or line[head[1]] != "thousand" or head[0] >= 1000:
        return head
    rest = _hundreds(line, head[1] + 1 + _has_and(line, head))
    if rest is not None and rest[0] >= 1000:
        return None
    return _with_rest(line, head[0] * 1000, head[1] + 1, rest)


def _as_decimal(fraction: Fraction) -> Decimal:
    return Decimal(fraction.numerator) / Decimal(fraction.denominator)


def short_hundreds_on(line: Line, i: int) -> _Whole:
    """Read a number whose "hundred" is left out: "one twenty", "two oh five", "twelve fifty"."""
    lead = UNITS_WORDS.get(line[i]) or TEENS.get(line[i])
    unit = UNITS_WORDS.get(line[i + 2]) if line[i + 1] in OHS else None
    rest = (unit, i + 3) if unit else _below_hundred(line, i + 1)
    if lead is None or rest is None or (rest[0] < 10 and not unit):
        return None
    return lead * 100 + rest[0], rest[1]


def fraction_on(line: Line, i: int) -> _Number:
    """Read a proper fraction at token `i`; "two quarter" is two of them, "three quarter" is 0.75."""
    if line[i] in BARE_FRACTIONS:
        return _as_decimal(Fraction(1, DENOMINATORS[(line[i],)])), i + 1
    numerator = (1, i + 1) if line[i] in ARTICLES else _below_hundred(line, i)
    if numerator is None:
        return None
    for phrase, denominator in DENOMINATORS.items():
        part = part_of(numerator[0], denominator)
        if part is None or not line.starts(numerator[1], phrase):
            continue
        if phrase[-1].endswith("s") or gcd(numerator[0], denominator) == 1:
            return _as_decimal(part), numerator[1] + len(phrase)
    return None


def decimals_on(line: Line, i: int) -> tuple[str, int] | None:
    """Read what stands behind a point, "oh eight" or "twenty five", as a string of digits."""
    digits = ""
    while True:
        if line[i] in ZEROS or line[i] in OHS:
            digits, i = digits + "0", i + 1
        elif item := _below_hundred(line, i):
            digits, i = digits + str(item[0]), item[1]
        else:
            return (digits, i) if 0 < len(digits) <= _MOST_DECIMALS else None


def _decimal_on(line: Line, i: int, whole: _Whole) -> _Number:
    value, point = whole or (0, i + (line[i] in OHS))
    if line[point] not in POINTS:
        return None
    tail = decimals_on(line, point + 1)
    return (Decimal(f"{value}.{tail[0]}"), tail[1]) if tail else None


def oh_led_on(line: Line, i: int, leads: tuple[str, ...] = OHS) -> _Number:
    """Read "oh eighty five" as 0.085; see the head of this file."""
    tail = decimals_on(line, i + 1) if line[i] in leads else None
    if tail is None or not 2 <= len(tail[0]) <= 3:
        return None
    return Decimal(f"0.0{tail[0]}"), tail[1]


def typed_on(line: Line, i: int) -> _Number:
    """Read a number written in digits: 22, 0.085, 1,200, 1/2, 1-1/2, and 1 1/2 in two words."""
    if line[i] and TYPED_NUMBER.fullmatch(line[i]):
        value, part = Decimal(line[i].replace(",", "")), typed_fraction(line[i + 1])
        if line[i].isdigit() and part is not None and "-" not in line[i + 1]:
            return value + _as_decimal(part), i + 2
        return value, i + 1
    fraction = typed_fraction(line[i])
    return (_as_decimal(fraction), i + 1) if fraction is not None else None


def typed_fraction(token: str) -> Fraction | None:
    """Read "3/16" or "1-1/2"; None where the denominator is no power of two up to 64."""
    match = TYPED_FRACTION.fullmatch(token)
    part = part_of(int(match[2]), int(match[3])) if match else None
    return part + int(match[1] or 0) if match and part else None
