"""Amounts that a shop seldom sees, whatever was heard: each is asked about, and none is refused.

Common practice, no source, for every row that names none. A row may hold for some kinds of entry only, and
where a name stands beside the amount (which clock, which quality) for that name only; the first that fits
counts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from plytally.core.entry import Doubt, FieldValue
from plytally.core.numberwords import DENOMINATORS, SCALES, TEENS, TENS, UNITS_WORDS, word_list
from plytally.core.quantities import Quantity, Ratio, format_quantity


@dataclass(frozen=True)
class Range:
    """The amounts of a field that need no second look, in one unit, and what lies beyond.

    `kinds` are the kinds of entry it is for, all of them if empty; `beside` is the value that the field
    "clock" or "quality" has, any if empty.
    """

    field: str
    least: str
    most: str
    unit: str
    why: str
    kinds: tuple[str, ...] = ()
    beside: str = ""


BESIDE = {"duration": "clock", "measure": "quality"}
_LONG = "an unusual time for this clock"

USUAL = (
    Range("plies", "1", "12", "", "an unusual number of plies for one entry"),
    # 29.92 inHg is the standard atmosphere at sea level.
    Range("gauge", "1", "29.92", "inHg", "a gauge cannot show more vacuum than the air presses"),
    Range("humidity", "15", "95", "%", "no shop air is that dry or that wet"),
    Range("temperature", "40", "120", "degF", "an unusual temperature in a shop", ("shop_air",)),
    Range("temperature", "50", "250", "degF", "an unusual temperature for a cure", ("cured",)),
    Range("temperature", "32", "250", "degF", "an unusual temperature in a shop"),
    # A cup is seldom larger: much resin in one heats itself. Under 5 g no kitchen scale gets the ratio right.
    Range("mass", "5", "600", "g", "an unusual amount for one cup", ("mixed",)),
    Range("mass", "1", "50000", "g", "an unusual mass"),
    Range("hardener", "1", "300", "g", "an unusual amount of hardener for one cup", ("mixed",)),
    Range("duration", "5", "960", "min", "unusual hours in one go", ("spent",)),
    Range("holes", "1", "60", "", "an unusual number of holes for one entry"),
    Range("duration", "5", "180", "min", _LONG, ("clock",), "pot life"),
    Range("duration", "1", "168", "h", _LONG, ("clock",), "cure"),
    Range("duration", "1", "48", "h", _LONG, ("clock",), "bag off"),
    Range("duration", "1", "48", "h", _LONG, ("clock",), "peel ply"),
    Range("duration", "5", "1440", "min", _LONG, ("clock",), "vacuum"),
    Range("duration", "10", "1440", "min", _LONG, ("clock",), "re-coat"),
    Range("duration", "5", "2880", "min", _LONG, ("clock",), "pump"),
    Range("duration", "1", "86400", "s", _LONG, ("clock",)),
    Range("duration", "10", "10080", "min", "an unusual time for a cure", ("cured",)),
    # A gap or step that large is no gap any more; a part narrower than a quarter of an inch has no width.
    Range("measure", "0.001", "1", "in", "unusual for a gap", ("measured",), "gap"),
    Range("measure", "0.001", "1", "in", "unusual for a step", ("measured",), "step"),
    Range("measure", "0.001", "2", "in", "an unusual thickness", ("measured",), "thickness"),
    Range("measure", "0.25", "120", "in", "an unusual width", ("measured",), "width"),
    Range("measure", "0.25", "120", "in", "an unusual height", ("measured",), "height"),
    Range("measure", "0.001", "240", "in", "an unusual length for a part"),
)

# Parts of resin to one of hardener, as makers give them: 1:1 to 5:1 in whole parts, and 100 to 10 and more.
LEAST_RATIO, MOST_RATIO, MOST_PARTS_TO_ONE = 1, 10, 5

# Numbered drills of an airframe's rivets and screws (3/32 to 3/16 in, #4 to #10), pilot, clear and tap holes.
NUMBER_DRILLS = frozenset(
    f"#{number}"
    for number in word_list(
        "3 7 8 9 10 11 12 16 18 19 20 21 25 27 28 29 30 31 32 33 36 38 40 41 42 43 50 51 52"
    )
)


def doubts_of_amounts(kind: str, fields: Mapping[str, FieldValue]) -> Iterator[Doubt]:
    """A doubt for each amount of an entry that is out of what a shop usually sees."""
    for name, value in fields.items():
        if why := _unusual(kind, name, value, fields):
            yield Doubt(name, _told(value), "", why)


def cannot_be(name: str, value: FieldValue) -> bool:
    """Whether no shop could see the amount at all: a gauge shows no more vacuum than the air presses."""
    return any(usual.field == name == "gauge" and not _is_usual(usual, value) for usual in USUAL)


def doubt_of_fraction(name: str, words: Sequence[str]) -> Doubt | None:
    """A doubt where a part and its number do not agree: "one eighths", "three eighth"."""
    for before, word in pairwise(words):
        if (word,) not in DENOMINATORS or before not in (*UNITS_WORDS, *TEENS, *TENS, *SCALES, "a"):
            continue
        many = word.endswith("s") or word == "halves"
        if many == (before in {"one", "a"}) and (many or word not in {"half", "quarter"}):
            return Doubt(name, " ".join(words), "", "the part and its number do not agree")
    return None


def _unusual(kind: str, name: str, value: FieldValue, fields: Mapping[str, FieldValue]) -> str:
    """Why the value is to be asked about; "" where it is not."""
    if isinstance(value, Ratio):
        return "" if _is_usual_ratio(value) else "an unusual ratio of resin to hardener"
    if name == "drill":
        odd = str(value).startswith("#") and value not in NUMBER_DRILLS
        return "an unusual drill" if odd else ""
    beside = str(fields.get(BESIDE.get(name, ""), ""))
    for usual in USUAL:
        if usual.field == name and kind in (usual.kinds or (kind,)) and usual.beside in ("", beside):
            return "" if _is_usual(usual, value) else usual.why
    return ""


def _is_usual(usual: Range, value: FieldValue) -> bool:
    if isinstance(value, Quantity):
        amount = value.to(usual.unit).amount
    elif isinstance(value, int):
        amount = Decimal(value)
    else:
        return True
    return Decimal(usual.least) <= amount <= Decimal(usual.most)


def _is_usual_ratio(ratio: Ratio) -> bool:
    first, second = ratio.parts
    if second == 1:
        return first <= MOST_PARTS_TO_ONE or first == MOST_RATIO
    return LEAST_RATIO <= Fraction(first) / Fraction(second) <= MOST_RATIO


def _told(value: FieldValue) -> str:
    return format_quantity(value) if isinstance(value, Quantity) else str(value)
