"""Spoken numbers to values, and values to words.

"one hundred and twenty" -> 120 · "point oh eight" -> 0.08 · "oh eighty five" -> 0.085 · "two and a half"
-> 2.5 · "four to one" -> Ratio(4, 1)

Each `read_` function takes words and a place among them and gives (value, index after), or None where no
number can be read with certainty; none of them ever raises. It reads as many words as make one number,
and rather nothing than a part of one: "two thirds", "two point", "a million" give None. Digits in a row
are numbers of their own ("seven four two" gives 7); `spelled.read_digits` reads them as one.
"""

from __future__ import annotations

from decimal import Decimal

from plytally.core.number_reading import number_on, typed_on
from plytally.core.numberwords import SOUND_ALIKE, TEENS, TENS, UNITS_WORDS, Line, NumberError, Words
from plytally.core.quantities import Ratio

LARGEST_CARDINAL = 999_999
_DIGIT_WORDS = ("zero", *UNITS_WORDS)
_UP_TO_NINETEEN = (*_DIGIT_WORDS, *TEENS)

_Number = tuple[Decimal, int] | None


def read_number(words: Words, at: int = 0) -> _Number:
    """Read a number: cardinal to 999,999, decimal, fraction of 2, 4 … 64, mixed number, or typed digits."""
    line = Line.of(words, at)
    return _placed(line, number_on(line, 0))


def read_ratio(words: Words, at: int = 0) -> tuple[Ratio, int] | None:
    """Read parts of resin to parts of hardener: "four to one", "hundred to forty four", "4:1".

    "too" is heard for "to"; "two" is not taken for it, because "four two one" may be three digits.
    """
    line = Line.of(words, at)
    typed = [typed_on(Line((part,), (1,)), 0) for part in line[0].split(":")]
    if len(typed) == 2 and typed[0] and typed[1]:
        return _ratio(line, typed[0][0], (typed[1][0], 1))
    first = _part_on(line, 0)
    if first is None or line[first[1]] not in ("to", "too", ":"):
        return None
    second = _part_on(line, first[1] + 1)
    return _ratio(line, first[0], second) if second else None


def _part_on(line: Line, i: int) -> _Number:
    part = (Decimal(100), i + 1) if line[i] == "hundred" else number_on(line, i)
    return (part[0], part[1] + (line[part[1]] in ("part", "parts"))) if part else None


def _ratio(line: Line, first: Decimal, second: tuple[Decimal, int]) -> tuple[Ratio, int] | None:
    end = line.end(second[1])
    if end is None or first <= 0 or second[0] <= 0:
        return None
    return Ratio(first, second[0]), end


def _placed(line: Line, reading: _Number) -> _Number:
    end = line.end(reading[1]) if reading else None
    return (reading[0], end) if reading and end is not None else None


def say_cardinal(number: int) -> str:
    """Say a whole number from 0 to 999,999: 122 is "one hundred twenty two". NumberError beyond."""
    if not 0 <= number <= LARGEST_CARDINAL:
        raise NumberError(f"{number} cannot be said: whole numbers go from 0 to {LARGEST_CARDINAL}")
    thousands, rest = divmod(number, 1000)
    words = [*_say_hundreds(thousands), "thousand"] if thousands else []
    return " ".join(words + _say_hundreds(rest)) or "zero"


def _say_hundreds(number: int) -> list[str]:
    hundreds, rest = divmod(number, 100)
    words = [_DIGIT_WORDS[hundreds], "hundred"] if hundreds else []
    if rest < len(_UP_TO_NINETEEN):
        return words + ([_UP_TO_NINETEEN[rest]] if rest else [])
    tens, units = divmod(rest, 10)
    return [*words, list(TENS)[tens - 2], *([_DIGIT_WORDS[units]] if units else [])]


def say_number(number: Decimal) -> str:
    """Say any number below a million, its decimals digit by digit: 0.082 is "zero point zero eight two".

    Zeros at the end of the decimals are left out. NumberError for a million and more, NaN and infinity.
    """
    if not number.is_finite() or abs(number) > LARGEST_CARDINAL:
        raise NumberError(f"{number} cannot be said: numbers go up to {LARGEST_CARDINAL}")
    whole, _, decimals = f"{abs(number):f}".partition(".")
    words = ["minus"] if number < 0 else []
    words.append(say_cardinal(int(whole)))
    if decimals := decimals.rstrip("0"):
        words += ["point", *(_DIGIT_WORDS[int(digit)] for digit in decimals)]
    return " ".join(words)


def say_ratio(ratio: Ratio) -> str:
    """Say a ratio, part by part: 100:27.5 is "one hundred to twenty seven point five"."""
    return f"{say_number(ratio.first)} to {say_number(ratio.second)}"


_Pairs = tuple[tuple[str, str], ...]


def confusable(words: Words, pairs: _Pairs = SOUND_ALIKE) -> Words:
    """Give the other numbers for which a spoken number is easily taken, one word changed in each.

    ("one", "fifteen") -> ("one fifty",). Only what can be a number is given: "thirty two" has no other,
    because nobody says "thirteen two".
    """
    alike = dict(pairs) | {second: first for first, second in pairs}
    opened = Line.of(words, 0).tokens
    return tuple(
        " ".join((*opened[:i], alike[word], *opened[i + 1 :]))
        for i, word in enumerate(opened)
        if word in alike and not (word in TENS and opened[i + 1 : i + 2] and opened[i + 1] in UNITS_WORDS)
    )
