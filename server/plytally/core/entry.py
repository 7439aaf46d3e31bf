"""The kinds of entry a build log holds, their fields, and an entry's plain JSON form.

An entry is flat: one kind, and named fields. A field holds a whole number, a name or text, a Quantity
with the unit in which it was spoken, or a Ratio. No floating-point number ever enters the log.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from typing import Any

from plytally.core.quantities import Dimension, Quantity, Ratio, UnitError, unit_named
from plytally.core.wall import WallError, wall_millis

FieldValue = int | str | Quantity | Ratio


class EntryError(ValueError):
    """An entry or a field that cannot be; the message says which, what was found and what is wanted."""


@dataclass(frozen=True)
class Field:
    """One named thing an entry can say.

    `holds` is "count", "name", "text", "digits", "ratio", "time" (RFC 3339 with an offset) or a Dimension.
    A `weighty` field is one whose wrong value would harm the aeroplane's record: it is never final while
    it carries a doubt. One that `gathers` keeps every value it was given: they are facts, not rivals.
    """

    name: str
    holds: str | Dimension
    weighty: bool = True
    label: str = ""
    gathers: bool = False


@dataclass(frozen=True)
class Kind:
    """One kind of entry: its fields in reading order, and those without which it is not complete."""

    name: str
    fields: tuple[str, ...]
    needs: tuple[str, ...] = ()
    label: str = ""


FIELDS: Mapping[str, Field] = {
    f.name: f
    for f in (
        Field("side", "name"),
        Field("part", "name"),
        Field("face", "name"),
        Field("feature", "name"),
        Field("station", "name"),
        Field("plies", "count"),
        Field("material", "name"),
        Field("orientation", "name"),
        Field("resin", "name"),
        Field("batch", "digits"),
        Field("ratio", "ratio"),
        Field("mass", Dimension.MASS),
        Field("hardener", Dimension.MASS),
        Field("gauge", Dimension.PRESSURE),
        Field("quality", "name", label="what was measured"),
        Field("measure", Dimension.LENGTH),
        Field("grit", "count"),
        Field("drill", "name"),
        Field("holes", "count"),
        Field("temperature", Dimension.TEMPERATURE),
        Field("humidity", Dimension.FRACTION),
        Field("duration", Dimension.TIME),
        Field("began", "text", label="from"),
        Field("ended", "text", label="until"),
        Field("day", "text", label="which day"),
        Field("item", "name"),
        Field("by", "name", weighty=False),
        Field("category", "name", weighty=False),
        Field("action", "name", weighty=False),
        Field("text", "text", weighty=False),
        Field("clock", "name", label="which clock"),
        Field("at", "text", label="time of day"),
        Field("due", "time", weighty=False),
        Field("done", "name", weighty=False),
        Field("called", "text", weighty=False, gathers=True),
    )
}

PLACE = ("side", "part", "face", "feature", "station")
RINGS = ("due", "done", "called")
"""What a clock learns while it runs: put off until, done with, and who called; see `clocks.py`."""

KINDS: Mapping[str, Kind] = {
    k.name: k
    for k in (
        Kind("laid", ("plies", "material", "orientation", "batch", *PLACE), ("plies", "material", "part")),
        Kind("mixed", ("mass", "resin", "hardener", "ratio", "batch", *RINGS), ("mass",), "resin mixed"),
        Kind("bagged", (*PLACE, "at", *RINGS), ("part",)),
        Kind("vacuum", ("gauge", *PLACE), ("gauge",), "vacuum reading"),
        Kind("bag_off", PLACE, ("part",), "bag off"),
        Kind("clamped", ("item", *PLACE), ("part",)),
        Kind("bonded", ("item", *PLACE), ("part",)),
        Kind("cured", ("duration", "temperature", *PLACE), ("part",)),
        Kind("peeled", PLACE, ("part",), "peel ply removed"),
        Kind("trimmed", PLACE, ("part",)),
        Kind("sanded", ("grit", *PLACE), ("part",)),
        Kind("drilled", ("holes", "drill", *PLACE), ("part",)),
        Kind("measured", ("item", "quality", "measure", *PLACE), ("quality", "measure", "part")),
        Kind("weighed", ("mass", *PLACE), ("mass", "part")),
        Kind("mounted", ("item", *PLACE), ("part",), "mounted or fitted"),
        Kind("checked", ("by", *PLACE), ("part",)),
        Kind("shop_air", ("temperature", "humidity"), (), "shop air"),
        Kind("started", ("category", *PLACE), (), "started work"),
        Kind("stopped", ("category", *PLACE), (), "stopped work"),
        Kind(
            "spent", ("duration", "began", "ended", "day", "category", *PLACE), ("duration",), "time worked"
        ),
        Kind("photo", ("item", *PLACE)),
        Kind(
            "worked",
            ("text", "material", "quality", "measure", "temperature", "duration", *PLACE),
            ("text",),
            "worked out",
        ),
        Kind("note", ("text",), (), "plain note"),
        Kind("clock", ("clock", "duration", "at", *PLACE, "text", *RINGS)),
        Kind("to_do", ("action", *PLACE, "text"), (), "to do"),
        Kind("to_answer", ("by", *PLACE, "text"), (), "question to answer"),
    )
}


@dataclass(frozen=True)
class Place:
    """Where on the aeroplane: each from the builder's own list, "" where it was not said."""

    part: str = ""
    side: str = ""
    face: str = ""
    feature: str = ""
    station: str = ""

    def __str__(self) -> str:
        """The place as a builder says it: "right elevator spar, aft face, station 2"."""
        head = " ".join(word for word in (self.side, self.part) if word)
        station = f"station {self.station}" if self.station.isdigit() else self.station
        return ", ".join(word for word in (head, self.face, self.feature, station) if word)


@dataclass(frozen=True)
class Doubt:
    """Something the builder must settle before the field counts.

    `heard` and `runner_up` are as a person would read them; `runner_up` is "" where there is no second
    candidate. `why` is one sentence that says what raised the doubt.
    """

    field: str
    heard: str
    runner_up: str
    why: str

    def as_json(self) -> dict[str, str]:
        """The doubt as plain JSON values."""
        return {"field": self.field, "heard": self.heard, "runner_up": self.runner_up, "why": self.why}


@dataclass(frozen=True)
class Entry:
    """One thing that was done, measured or asked, as said by the builder.

    `said` keeps every word, `unused` those that made no field.
    """

    kind: str
    fields: Mapping[str, FieldValue] = field(default_factory=dict)
    said: str = ""
    unused: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()

    def __post_init__(self) -> None:
        for problem in problems(self.kind, self.fields):
            raise EntryError(problem)

    @property
    def place(self) -> Place:
        """Where the entry is about."""
        return Place(**{name: str(self.fields.get(name, "")) for name in PLACE})

    @property
    def lacks(self) -> tuple[str, ...]:
        """The fields without which this kind of entry is not complete, and that were not given."""
        return tuple(name for name in KINDS[self.kind].needs if name not in self.fields)

    def as_json(self) -> dict[str, Any]:
        """The entry as plain JSON values (no floats), without its doubts."""
        plain: dict[str, Any] = {name: value_to_json(value) for name, value in sorted(self.fields.items())}
        return {"kind": self.kind, "fields": plain, "said": self.said, "unused": list(self.unused)}

    @classmethod
    def from_json(cls, raw: Mapping[str, Any]) -> Entry:
        """The inverse of `as_json`; EntryError says what is wrong with `raw`."""
        kind = raw.get("kind")
        if not isinstance(kind, str) or kind not in KINDS:
            raise EntryError(f"{kind!r} is not a kind of entry; known kinds: {', '.join(KINDS)}")
        given = raw.get("fields", {})
        if not isinstance(given, Mapping):
            raise EntryError(f"'fields' must be an object, found {type(given).__name__}")
        fields = {name: value_from_json(name, value) for name, value in given.items()}
        return cls(kind, fields, str(raw.get("said", "")), tuple(map(str, raw.get("unused", ()))))


def problems(kind: str, fields: Mapping[str, FieldValue]) -> Iterator[str]:
    """Every reason why `fields` cannot be an entry of this kind, one sentence each."""
    if kind not in KINDS:
        yield f"{kind!r} is not a kind of entry; known kinds: {', '.join(KINDS)}"
        return
    for name, value in fields.items():
        if name not in KINDS[kind].fields:
            yield f"an entry of kind '{kind}' has no field '{name}'; it has {', '.join(KINDS[kind].fields)}"
        elif not _fits(FIELDS[name], value):
            yield f"field '{name}' holds {_wanted(FIELDS[name])}, found {value!r}"


def value_to_json(value: FieldValue) -> Any:
    """A field's value as plain JSON: amounts are decimal strings, so that no digit is lost."""
    if isinstance(value, Quantity):
        return {"amount": format(value.amount, "f"), "unit": value.unit.symbol}
    if isinstance(value, Ratio):
        return {"ratio": [format(part, "f") for part in value.parts]}
    return value


def value_from_json(name: str, raw: Any) -> FieldValue:
    """The inverse of `value_to_json` for the field `name`; EntryError says what is wrong."""
    if name not in FIELDS:
        raise EntryError(f"'{name}' is not a field of any entry; fields: {', '.join(FIELDS)}")
    try:
        value = _decode(raw)
    except (KeyError, TypeError, InvalidOperation, UnitError, ValueError) as problem:
        raise EntryError(f"field '{name}': {raw!r} cannot be read ({problem})") from problem
    if not _fits(FIELDS[name], value):
        raise EntryError(f"field '{name}' holds {_wanted(FIELDS[name])}, found {raw!r}")
    return value


def _decode(raw: Any) -> FieldValue:
    if isinstance(raw, Mapping) and set(raw) == {"amount", "unit"}:
        return Quantity(Decimal(_text(raw["amount"])), unit_named(_text(raw["unit"])))
    if isinstance(raw, Mapping) and set(raw) == {"ratio"}:
        first, second = raw["ratio"]
        return Ratio(Decimal(_text(first)), Decimal(_text(second)))
    if isinstance(raw, bool) or not isinstance(raw, int | str):
        raise TypeError(f"{type(raw).__name__} is not a value a field can hold")
    return raw


def _text(raw: Any) -> str:
    if not isinstance(raw, str):
        raise TypeError(f"wanted text, found {type(raw).__name__}")
    return raw


def _fits(field_: Field, value: FieldValue) -> bool:
    if isinstance(field_.holds, Dimension):
        return isinstance(value, Quantity) and value.unit.dimension is field_.holds
    if field_.holds == "count":
        return isinstance(value, int) and not isinstance(value, bool) and value >= 0
    if field_.holds == "ratio":
        return isinstance(value, Ratio)
    if field_.holds == "time":
        return isinstance(value, str) and _is_time(value)
    return isinstance(value, str) and value != ""


def _is_time(text: str) -> bool:
    try:
        wall_millis(text)
    except WallError:
        return False
    return True


def _wanted(field_: Field) -> str:
    if isinstance(field_.holds, Dimension):
        return f"a quantity of {field_.holds.value}"
    told = {
        "count": "a whole number",
        "ratio": "a ratio such as 4:1",
        "time": "an RFC 3339 time with an offset",
    }
    return told.get(field_.holds, "a name or text")
