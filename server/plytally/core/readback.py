"""An entry and its doubts in one line, to be shown or spoken back to the builder.

Spoken numbers that could be mistaken for others are said digit by digit ("one nine"), because thirteen
and thirty sound alike through a respirator.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from plytally.core.entry import FIELDS, KINDS, PLACE, Doubt, Entry, FieldValue
from plytally.core.likes import Likes
from plytally.core.measures import say_quantity
from plytally.core.numbers import confusable, read_number, say_number
from plytally.core.numberwords import TEEN_OR_TY
from plytally.core.printed import printed, printed_in
from plytally.core.quantities import ALSO_WRITTEN, UNITS, Quantity, Ratio, parse_quantity
from plytally.core.spelled import say_digits
from plytally.core.telling import day_told

_SYMBOLS = "|".join(sorted(map(re.escape, (*UNITS, *ALSO_WRITTEN)), key=len, reverse=True))
_AMOUNT = re.compile(rf"(?<![\w.:])(-?\d+(?:\.\d+)? (?:{_SYMBOLS}))(?![\w/²])( \(-?[\d.]+ (?:{_SYMBOLS})\))?")

_SHOWN: dict[str, str] = {
    "plies": "{} plies",
    "orientation": "at {}",
    "batch": "batch {}",
    "ratio": "at {}",
    "hardener": "with {} hardener",
    "began": "from {}",
    "ended": "until {}",
    "grit": "{} grit",
    "holes": "{} holes",
    "drill": "drill {}",
    "by": "by {}",
    "at": "at {}",
    "due": "due {}",
}


def shown(entry: Entry, likes: Likes | None = None) -> str:
    """The entry in one line, figures as figures: "laid: 2 plies BID, right elevator spar, aft face".

    With `likes` an amount has the liked unit beside it, and a time is written as it is liked.
    """
    return _line(entry, _figure) if likes is None else _line(entry, likes.told, likes)


def spoken(entry: Entry) -> str:
    """The entry in one line, to be said aloud: "laid: two plies BID, …"."""
    return _line(entry, _aloud)


def asked(doubt: Doubt) -> str:
    """The doubt as a question: "plies: nineteen, or ninety?"."""
    if doubt.field == "order":
        return f"order of work: {doubt.why}"
    if doubt.field == "text":
        return f"text: {doubt.heard}? ({doubt.why})"
    choice = printed_in(", or ".join(filter(None, (doubt.heard, doubt.runner_up))))
    return f"{_label(doubt.field)}{f': {choice}' if choice else ''}? ({printed_in(doubt.why)})"


def asked_aloud(doubt: Doubt) -> str:
    """The doubt as a question to be said aloud: "plies: one nine, or nine zero? (…)"."""
    return asked(
        replace(doubt, heard=_digit_by_digit(doubt.heard), runner_up=_digit_by_digit(doubt.runner_up))
    )


def amounts_aloud(line: str) -> str:
    """A line with its amounts in words, the other unit in brackets left out: for an answer to be said aloud.

    >>> amounts_aloud("22 inHg presses with 10.81 psi (74.5 kPa) on 1 ft2.")
    'twenty two inches of mercury presses with ten point eight one pounds per square inch on one square foot.'
    """
    return _AMOUNT.sub(lambda found: _aloud(parse_quantity(found[1])), line)


def _line(entry: Entry, told: Callable[[FieldValue], str], likes: Likes | None = None) -> str:
    kind = KINDS[entry.kind]
    label = kind.label or kind.name
    hidden = {*PLACE, "called", *(("at",) if "due" in entry.fields else ())}
    own = [
        _SHOWN.get(name, "{}").format(
            told(entry.fields[name]) if name != "due" else _time(entry.fields[name], likes)
        )
        for name in kind.fields
        if name not in hidden and name in entry.fields
    ]
    if entry.fields.get("plies") == 1:
        own[0] = own[0].removesuffix("plies") + "ply"
    parts = (" ".join(own), str(entry.place))
    return ": ".join(word for word in (label, ", ".join(part for part in parts if part)) if word)


def _time(value: FieldValue, likes: Likes | None) -> str:
    told = f"{str(value)[11:16]} on {day_told(str(value))}"
    return told if likes is None else likes.days_in(told)


def _label(field: str) -> str:
    if field == "unused":
        return "left over"
    return (FIELDS[field].label or field) if field in FIELDS else field


def _figure(value: FieldValue) -> str:
    return printed(value) if isinstance(value, Quantity) else str(value)


def _aloud(value: FieldValue) -> str:
    if isinstance(value, Quantity):
        return say_quantity(value).replace(say_number(value.amount), _clearly(value.amount), 1)
    if isinstance(value, Ratio):
        return f"{_clearly(value.first)} to {_clearly(value.second)}"
    if isinstance(value, int):
        return _clearly(Decimal(value))
    return say_digits(value) if value.isdecimal() else value


def _clearly(number: Decimal) -> str:
    """A number in words, digit by digit where it could be mistaken for another: "one six point five"."""
    said = say_number(number)
    if not confusable(tuple(said.split())):
        return said
    _, point, decimals = said.partition(" point ")
    minus = "minus " if number < 0 else ""
    return f"{minus}{say_digits(str(int(abs(number))))}{point}{decimals}"


def _digit_by_digit(text: str) -> str:
    """Heard words, their numbers as `_clearly` says them: "sixteen thousandths" is "one six thousandths"."""
    words, said, at = tuple(text.split()), list[str](), 0
    while at < len(words):
        number, end = read_number(words, at) or (None, at + 1)
        there = words[at:end]
        said += there if number is None or not confusable(there, TEEN_OR_TY) else [_clearly(number)]
        at = end
    return " ".join(said)
