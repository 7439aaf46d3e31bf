"""The shape of each JSON body, every wrong field told at once.

Unknown fields are refused: a phone that says something this server does not understand must hear so.
What an operation itself must be is `core.operation`'s matter; here it is only counted.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields, validate

from plytally.core.canonical import MAX_INTEGER
from plytally.core.clock import DEVICE, MAX_MILLIS, UUID7
from plytally.core.likes import CLOCKS, DATES, OWN_UNITS, UNITS, setting_of
from plytally.web.bodies import read_json
from plytally.web.desk import PASSPHRASE_MOST
from plytally.web.problem import Problem

MOST_OPERATIONS = 500
"""In one request; a phone with more sends several."""

MOST_PULLED = 1000
KB = 1024


class Strict(Schema):
    """A schema that refuses what it does not know."""

    class Meta:
        """Unknown fields are refused."""

        unknown = RAISE


def _printable(text: str) -> None:
    if any(unicodedata.category(character) in {"Cc", "Cs"} for character in text):
        raise ValidationError("must hold no control characters")


class _Whole(fields.Field[int]):
    """A whole number as JSON Schema has it: not a text, not true or false; 1.0 is 1."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kw: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int | float) or value != value // 1:
            raise ValidationError("must be a whole number")
        return int(value)


class _Truth(fields.Field[bool]):
    """true or false, nothing like it."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kw: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError("must be true or false")
        return value


def _whole(least: int, most: int, **kw: Any) -> _Whole:
    return _Whole(validate=validate.Range(least, most), **kw)


Truth, whole = _Truth, _whole  # for routes that keep the shape of their bodies beside them


DEVICE_NAME = fields.String(
    required=True,
    validate=validate.Regexp(
        f"(?:{DEVICE.pattern})\\Z", error="must be 1 to 64 of a-z, 0-9 and '-', a letter or digit first"
    ),
)


class Cursor(Strict):
    """How far a phone has read: the epoch of the log it read, and the last number."""

    epoch = fields.String(
        required=True, validate=validate.Regexp(f"{UUID7.pattern}\\Z", error="must be a UUIDv7")
    )
    seq = _whole(0, MAX_INTEGER, required=True)


class Sync(Strict):
    """What a phone sends: its operations, its cursor, its clock, and how much it can take."""

    device = DEVICE_NAME
    operations = fields.List(
        fields.Raw(allow_none=True), required=True, validate=validate.Length(max=MOST_OPERATIONS)
    )
    cursor = fields.Nested(Cursor, required=True, allow_none=True)
    now = _whole(0, MAX_MILLIS, required=True)
    limit = _whole(1, MOST_PULLED, load_default=500)


class Pair(Strict):
    """What a phone sends to be paired."""

    code = fields.String(required=True, validate=validate.Length(1, 32))
    device = DEVICE_NAME
    name = fields.String(required=True, validate=validate.And(validate.Length(1, 60), _printable))


class SignIn(Strict):
    """The desk's passphrase."""

    passphrase = fields.String(required=True, validate=validate.Length(1, PASSPHRASE_MOST))


class ChangePassphrase(Strict):
    """The passphrase that is, which the local key need not know, and the one that shall be."""

    current = fields.String(load_default="", validate=validate.Length(max=PASSPHRASE_MOST))
    fresh = fields.String(required=True)


_Units = Strict.from_dict(
    {
        setting_of(dimension): fields.String(validate=validate.OneOf(["", *symbols]))
        for dimension, symbols in OWN_UNITS.items()
    },
    name="Units",
)


class Settings(_Units):  # type: ignore[valid-type,misc]  # a class made from a table
    """The settings to change; those left out stay."""

    photo_places = _Truth()
    dates = fields.String(validate=validate.OneOf(DATES))
    clock = fields.String(validate=validate.OneOf(CLOCKS))
    units = fields.String(validate=validate.OneOf(UNITS))
    person = fields.String(
        validate=validate.And(
            validate.Length(1, 60), validate.Regexp(r"[ -~]+\Z", error="must be a plain word")
        )
    )


def load(schema: type[Schema], limit: int = 16 * KB) -> dict[str, Any]:
    """The request's JSON in the schema's shape; a Problem lists every field that is not."""
    return fitted(schema, read_json(limit))


def fitted(schema: type[Schema], raw: Any) -> dict[str, Any]:
    """JSON that was read already, in the schema's shape."""
    if not isinstance(raw, dict):
        raise Problem("invalid", f"the body must be a JSON object, found {type(raw).__name__}")
    try:
        loaded: dict[str, Any] = schema().load(raw)
    except ValidationError as problem:
        raise problems_of(problem) from problem
    return loaded


def problems_of(problem: ValidationError) -> Problem:
    """What marshmallow found wrong, as one Problem that lists every field."""
    wrong = list(_flat(problem.messages, ""))
    return Problem("invalid", "; ".join(f"{w['field']}: {w['why']}" for w in wrong), errors=wrong)


def _flat(messages: Any, path: str) -> Iterator[dict[str, str]]:
    """Marshmallow's tree of messages as rows of field and why."""
    if isinstance(messages, Mapping):
        for name, inner in messages.items():
            yield from _flat(inner, f"{path}.{name}" if path else str(name))
    elif isinstance(messages, list):
        for message in messages:
            yield from _flat(message, path)
    else:
        yield {"field": path, "why": str(messages)}
