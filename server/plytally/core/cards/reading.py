"""What was written into a card's inputs, as values; or one sentence that says what cannot be read.

read(card, {"plies": [["10", "6 oz/yd2"]]}) -> {"plies": ((10, Quantity(6 oz/yd2)),), "area": None, …}
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from plytally.core.cards.card import Ask, Asks, Card, CardError, Holds
from plytally.core.quantities import Quantity, Ratio, UnitError, parse_quantity

Value = Quantity | Ratio | Decimal | int | str | bool
MOST_ROWS = 40
_COMMA = re.compile(r"([+-]?[0-9]*),([0-9]+)(?![0-9,.])(.*)", re.DOTALL)
_YES = {"yes": True, "no": False}


def read(card: Card, given: Mapping[str, Any]) -> dict[str, Any]:
    """Read what a page was given: text by name, a list of texts for a row, a list of those for several.

    Empty text is nothing given. CardError names the input.
    """
    known = {each.name for each in card.inputs}
    if strange := sorted(given.keys() - known):
        raise CardError(strange[0], f"{card.name} asks for no such thing")
    return {each.name: _one(each, given.get(each.name)) for each in card.inputs}


def value(ask: Ask, text: str) -> Value:
    """Read one input's text. CardError says how to write it."""
    if not isinstance(text, str):
        raise CardError(ask.label, f"found {text!r}, wanted text")
    written = _with_a_point(ask, text.strip())
    try:
        return _read(ask, written)
    except (UnitError, InvalidOperation, ValueError) as problem:
        raise CardError(ask.label, _told(ask, text, problem)) from problem


def _one(each: Ask | Asks, given: Any) -> Any:
    if isinstance(each, Ask):
        return _ask(each, given)
    if given is not None and not isinstance(given, list):
        raise CardError(each.label, f"found {given!r}, wanted a list of rows")
    found = [row for row in (_row(each, row, at) for at, row in enumerate(given or [], 1)) if row]
    if len(found) > min(each.most, MOST_ROWS):
        raise CardError(each.label, f"{len(found)} rows; give {each.most} at most")
    if each.needed and not found:
        raise CardError(each.label, "nothing is given yet")
    return tuple(found) if each.most > 1 else (found[0] if found else None)


def _ask(ask: Ask, given: Any) -> Value | None:
    if given is None or given == "":
        if ask.needed and not (ask.usual or ask.unasked):
            raise CardError(ask.label, "nothing is given yet")
        given = ask.unasked or ask.usual
    return value(ask, given) if given else (False if ask.holds is Holds.YES else None)


def _row(each: Asks, given: Any, at: int) -> tuple[Value | None, ...]:
    """A row's values in the order of its columns; nothing for an empty row."""
    if not isinstance(given, list) or len(given) != len(each.columns):
        raise CardError(each.label, f"row {at} has not one text for each of its {len(each.columns)} columns")
    if not any(given):
        return ()
    found = []
    for column, text in zip(each.columns, given, strict=True):
        if not text and column.needed and not column.usual:
            raise CardError(f"{each.label}, row {at}", f"{column.label.lower()} is missing")
        found.append(value(column, text or column.usual) if text or column.usual else None)
    return tuple(found)


def _read(ask: Ask, text: str) -> Value:
    match ask.holds:
        case Holds.COUNT:
            return int(text)
        case Holds.NUMBER:
            return Decimal(text)
        case Holds.RATIO:
            first, second = text.split(":")
            return Ratio(Decimal(first.strip()), Decimal(second.strip()))
        case Holds.CHOICE:
            return ask.choices[ask.choices.index(text)]
        case Holds.YES:
            return _YES[text] if text in _YES else bool(int(text))
        case Holds.NAME:
            return text
        case _:
            return parse_quantity(text)


def _told(ask: Ask, text: str, problem: Exception) -> str:
    match ask.holds:
        case Holds.COUNT:
            return f"{text!r} is not a whole number"
        case Holds.NUMBER:
            return f"{text!r} is not a number"
        case Holds.RATIO:
            return f"{text!r} is not a ratio; write it like 4:1 or 100:45 ({problem})"
        case Holds.CHOICE:
            return f"{text!r} is none of {', '.join(ask.choices)}"
        case Holds.YES:
            return f"{text!r} is neither yes nor no"
        case _:
            return str(problem)


def _with_a_point(ask: Ask, text: str) -> str:
    """A decimal comma as a point: some phones' keypads have no other. Refused where it may part thousands."""
    comma = _COMMA.fullmatch(text) if ask.holds not in (Holds.NAME, Holds.CHOICE) else None
    if comma is None:
        return text
    whole, decimals, rest = comma.groups()
    if len(decimals) == 3 and whole.lstrip("+-0"):
        raise CardError(
            ask.label, f"{text!r} can be read in two ways; write {whole}.{decimals} or {whole}{decimals}"
        )
    return f"{whole or 0}.{decimals}{rest}"
