"""What a person types for one field, read as that field's value.

"3" -> 3 plies · "22 inHg", "22" behind a gauge -> 22 inHg · "four to one", "4:1" -> 4:1 · "aft face" -> aft
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from plytally.core.entry import FIELDS, KINDS, Entry, EntryError, FieldValue, value_from_json, value_to_json
from plytally.core.measures import read_quantity
from plytally.core.names import Name, as_spoken
from plytally.core.numbers import read_number
from plytally.core.quantities import Dimension, Quantity, UnitError, format_quantity, parse_quantity
from plytally.core.slots import READ
from plytally.core.vocabulary import SIDES, Vocabulary

MOST_CHARACTERS = 2000
OPEN_LISTS = {
    "material": "materials",
    "resin": "resins",
    "orientation": "orientations",
    "quality": "qualities",
    "item": "items",
    "by": "people",
    "category": "categories",
    "action": "actions",
}
"""Fields whose names come from a word list that the builder may add to."""


class TypedValueError(ValueError):
    """What was typed does not fit the field; the message says why and what is wanted."""


@dataclass(frozen=True)
class TypedValue:
    """A field's value as typed; None takes the field out. `new_in` is the list that lacks this name."""

    value: FieldValue | None
    new_in: str = ""


def typed_value(field: str, text: str, entry: Entry, vocabulary: Vocabulary) -> TypedValue:
    """Read `text` as the value of `field` in this entry. TypedValueError says what does not fit."""
    text = " ".join(text.split()) if field != "text" else text.strip()
    if field not in KINDS[entry.kind].fields:
        raise TypedValueError(f"an entry of kind '{entry.kind}' has no field '{field}'")
    if len(text) > MOST_CHARACTERS:
        raise TypedValueError(f"{field}: {len(text)} characters are too many, {MOST_CHARACTERS} at most")
    if not text:
        return TypedValue(None)
    holds = FIELDS[field].holds
    if holds == "text" and field != "at":
        return TypedValue(text)
    if holds == "name" and field != "drill":
        return _name(field, text, entry, vocabulary)
    return TypedValue(_amount(field, text, entry))


def _amount(field: str, text: str, entry: Entry) -> FieldValue:
    holds = FIELDS[field].holds
    value = (
        _quantity(text, holds, entry.fields.get(field))
        if isinstance(holds, Dimension)
        else _by_words(field, text)
    )
    if value is None:
        raise TypedValueError(f"{field}: {text!r} cannot be read; {_example(field)}")
    try:
        return value_from_json(field, value_to_json(value))
    except EntryError as problem:
        raise TypedValueError(str(problem)) from problem


def _by_words(field: str, text: str) -> FieldValue | None:
    if field == "batch" and " " not in text and any(map(str.isdigit, text)):
        return text.upper()
    parted = text if field == "at" else text.replace(":", " to ").replace("-", " ")
    words = tuple(parted.lower().split())
    read = next((row[3] for row in READ if row[1] == field), None)
    if len(words) == 1 and words[0].isdecimal() and FIELDS[field].holds == "count":
        return int(words[0])
    found = read(words, 0) if read else None
    return found[0] if found is not None and found[1] == len(words) else None


def _quantity(text: str, dimension: Dimension, present: FieldValue | None) -> Quantity | None:
    try:
        written = parse_quantity(text)
    except UnitError:
        written = None
    if written is not None:
        return written
    words = tuple(text.lower().split())
    found = read_quantity(words, 0, dimension)
    if found is not None and found[1] == len(words):
        return found[0]
    number = read_number(words, 0)
    if number is not None and number[1] == len(words) and isinstance(present, Quantity):
        return Quantity(number[0], present.unit)
    return None


def _example(field: str) -> str:
    holds = FIELDS[field].holds
    if isinstance(holds, Dimension):
        return f"write an amount of {holds.value} with its unit, such as {_UNITS[holds]}"
    if field == "at":
        return "write a time of day such as 21:00 today, or nine tonight"
    return {"count": "write a whole number", "ratio": "write a ratio such as 4:1"}.get(
        holds, "write digits, or letters and digits without blanks"
    )


_UNITS = {
    Dimension.MASS: "80 g",
    Dimension.PRESSURE: "22 inHg",
    Dimension.LENGTH: "0.082 in",
    Dimension.TEMPERATURE: "71 degF",
    Dimension.FRACTION: "50 %",
    Dimension.TIME: "12 h",
}


def _name(field: str, text: str, entry: Entry, vocabulary: Vocabulary) -> TypedValue:
    known = tuple(_names(field, entry, vocabulary))
    wanted = {text.casefold(), as_spoken(text), as_spoken(text).removesuffix(" face")}
    for name in known:
        ways = {name.name.casefold(), as_spoken(name.name), *name.spoken}
        if wanted & {*ways, *(way.removeprefix("at ").removesuffix(" face") for way in ways)}:
            return TypedValue(name.name)
    if field in OPEN_LISTS:
        return TypedValue(text, OPEN_LISTS[field])
    if not known and field != "side":
        return TypedValue(text)
    names = [name.name for name in known]
    near = get_close_matches(text.lower(), names, n=3, cutoff=0.5) or names[:8]
    raise TypedValueError(f"{field}: {text!r} is not on the print; there is {', '.join(near)}")


def _names(field: str, entry: Entry, vocabulary: Vocabulary) -> Iterable[Name]:
    if field == "side":
        return map(Name, SIDES)
    if field == "part":
        return (words.part for words in vocabulary.parts)
    if field in OPEN_LISTS:
        found: tuple[Name, ...] = getattr(vocabulary, OPEN_LISTS[field])
        return found
    words = vocabulary.part(str(entry.fields.get("part", "")))
    if words is None:
        return ()
    return {"face": words.faces, "feature": words.features, "station": words.stations}.get(field, ())


def told(value: FieldValue | None) -> str:
    """A field's value as a person reads it, "nothing" for none."""
    if value is None:
        return "nothing"
    return format_quantity(value) if isinstance(value, Quantity) else str(value)
