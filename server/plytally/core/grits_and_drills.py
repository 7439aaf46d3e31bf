"""Sandpaper grits and drill sizes, as they are spoken.

"one twenty grit" -> 120 · "number thirty drill" -> "#30" · "quarter inch drill" -> "1/4 in" · "letter f
drill" -> "F" · "two point five millimeter drill" -> "2.5 mm"
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from plytally.core.measures import bare_part_on, read_quantity, skip_of_a, unit_on
from plytally.core.number_reading import number_on, short_hundreds_on, typed_fraction
from plytally.core.numbers import say_cardinal, say_number
from plytally.core.numberwords import (
    ARTICLES,
    DENOMINATORS,
    LETTERS,
    TYPED_NUMBER,
    Line,
    NumberError,
    Words,
    word_list,
)
from plytally.core.quantities import Dimension

# What sandpaper is sold in: the ANSI (CAMI) and FEPA P series, from memory. Any other number was misheard.
GRITS = frozenset(
    int(grit)
    for grit in word_list(
        "24 30 36 40 50 60 80 100 120 150 180 220 240 280 320 360 400 500 600 800 1000"
        " 1200 1500 2000 2500 3000"
    )
)
LARGEST_NUMBER_DRILL = 97  # wire gauge numbers of twist drills run from 1 to 97, ASME B94.11M, from memory
_TYPED_NUMBER_DRILL = re.compile(r"#([0-9]{1,2})")
_DRILL_NOUNS = ("drill", "drills", "bit", "bits")

_Found = tuple[str, int] | None


def read_grit(words: Words, at: int = 0) -> tuple[int, int] | None:
    """Read a grit that is sold, with or without the word: "one eighty", "two twenty grit", "400 grit"."""
    line = Line.of(words, at)
    readings = [reading for reading in (short_hundreds_on(line, 0), _whole(line, 0)) if reading]
    value, after = max(readings, key=lambda reading: reading[1], default=(0, 0))
    end = line.end(after + (line[after] == "grit")) if value in GRITS else None
    return (value, end) if end is not None else None


def _whole(line: Line, i: int) -> tuple[int, int] | None:
    number = number_on(line, i)
    return (int(number[0]), number[1]) if number and number[0] % 1 == 0 else None


def say_grit(grit: int) -> str:
    """Say a grit as shops do: 120 is "one twenty grit", 400 "four hundred grit". NumberError if not sold."""
    if grit not in GRITS:
        raise NumberError(f"{grit} is not a grit that is sold; grits: {', '.join(map(str, sorted(GRITS)))}")
    hundreds, rest = divmod(grit, 100)
    if grit < 100 or grit % 1000 == 0:
        return f"{say_cardinal(grit)} grit"
    return f"{say_cardinal(hundreds)} {say_cardinal(rest) if rest else 'hundred'} grit"


def read_drill(words: Words, at: int = 0) -> tuple[str, int] | None:
    """Read a drill's size: "#30" (1 to 97), a letter "F", inches "3/16 in" or "0.128 in", or "2.5 mm".

    "number" or "letter" must stand before, or "drill" or "bit" behind, or an inch or millimeter say enough.
    """
    line = Line.of(words, at)
    found = _numbered(line) or _lettered(line) or _inches(line) or _millimeters(words, at, line)
    if found is None:
        return None
    end = line.end(found[1] + (line[found[1]] in _DRILL_NOUNS))
    return (found[0], end) if end is not None else None


def _numbered(line: Line) -> _Found:
    typed = _TYPED_NUMBER_DRILL.fullmatch(line[0])
    number = (int(typed[1]), 1) if typed else _whole(line, 1)
    if number is None or not (typed or line[0] == "number") or not 0 < number[0] <= LARGEST_NUMBER_DRILL:
        return None
    return f"#{number[0]}", number[1]


def _lettered(line: Line) -> _Found:
    if line[0] == "letter" and line[1] in LETTERS:
        return LETTERS[line[1]], 2
    said_alone = line[0] in LETTERS and line[0] not in ARTICLES and line[1] in _DRILL_NOUNS
    return (LETTERS[line[0]], 1) if said_alone else None


def _inches(line: Line) -> _Found:
    number = number_on(line, 0) or bare_part_on(line, 0)
    if number is None or not 0 < number[0] < 2 or number[0] == 1:
        return None
    after = number[1]
    if unit := unit_on(line, skip_of_a(line, after)):
        return (_inch_size(number[0]), unit[1]) if unit[0].symbol == "in" else None
    return (_inch_size(number[0]), after) if line[after] in _DRILL_NOUNS else None


def _inch_size(inches: Decimal) -> str:
    whole, part = divmod(Fraction(inches), 1)
    if part.denominator not in DENOMINATORS.values():
        return f"{inches:f} in"
    return f"{whole}-{part} in" if whole else f"{part} in"


def _millimeters(words: Words, at: int, line: Line) -> _Found:
    size = read_quantity(words, at, Dimension.LENGTH)
    if size is None or size[0].unit.symbol != "mm" or size[0].amount <= 0:
        return None
    return f"{size[0].amount:f} mm", line.ends.index(size[1]) + 1


def say_drill(size: str) -> str:
    """Say a size in the form that `read_drill` gives: "3/16 in" is "three sixteenths inch drill".

    NumberError for text that is no size of a drill.
    """
    if match := _TYPED_NUMBER_DRILL.fullmatch(size):
        return f"number {say_cardinal(int(match[1]))} drill"
    if size.lower() in LETTERS and len(size) == 1:
        return f"letter {size.lower()} drill"
    amount, _, symbol = size.partition(" ")
    if symbol not in ("in", "mm"):
        raise NumberError(f"{size!r} is not a drill size; write it like '#30', 'F', '3/16 in' or '2.5 mm'")
    return f"{_say_amount(amount, size)} {'inch' if symbol == 'in' else 'millimeter'} drill"


def _say_amount(amount: str, size: str) -> str:
    if (fraction := typed_fraction(amount)) is None:
        if not TYPED_NUMBER.fullmatch(amount):
            raise NumberError(f"{amount!r} in {size!r} is no number; write it like '3/16 in' or '2.5 mm'")
        return say_number(Decimal(amount))
    whole, part = divmod(fraction, 1)
    ways = [" ".join(way) for way, parts in DENOMINATORS.items() if parts == part.denominator]
    said = f"{say_cardinal(part.numerator)} {ways[part.numerator > 1]}"
    return f"{say_cardinal(whole)} and {said}" if whole else said
