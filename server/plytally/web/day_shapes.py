"""The shape of what the desk's pages send: one schema for each act, every wrong field told at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import Schema, ValidationError, fields, validate

from plytally.core.clock import UUID7
from plytally.core.vocabulary import LISTS, SOUNDS
from plytally.core.wall import WallError, read_wall
from plytally.web.problem import Problem
from plytally.web.schemas import Strict, fitted

KB = 1024
MOST_ENTRIES, MOST_PARTS, MOST_PHOTOS = 500, 6, 24
SHORT, LONG = 300, 2000


LINE = r"[^\x00-\x1f\x7f\ud800-\udfff]*"
SAYING = rf"{LINE}[!-~]{LINE}"
"""One line, and one that says something; the same patterns stand in openapi.yaml."""


def _text(most: int, least: int = 0) -> fields.String:
    pattern, wanted = (SAYING, "one line that says something") if least else (LINE, "one line")
    told = validate.Regexp(rf"{pattern}\Z", error=f"must be {wanted}, without control characters")
    return fields.String(required=True, validate=[validate.Length(least, most), told])


def _wall(text: str) -> None:
    try:
        read_wall(text)
    except WallError as problem:
        raise ValidationError(str(problem)) from problem


def _id() -> fields.String:
    pattern = validate.Regexp(f"{UUID7.pattern}\\Z", error="must be a UUIDv7")
    return fields.String(required=True, validate=pattern)


class Seen(Strict):
    """An entry, and the version that the page shows of it."""

    id = _id()
    version = fields.String(
        required=True, validate=validate.Regexp(r"[0-9a-f]{16}\Z", error="must be 16 hex digits")
    )


def _entries(least: int, most: int) -> fields.List[Any]:
    return fields.List(fields.Nested(Seen), required=True, validate=validate.Length(least, most))


class Shot(Strict):
    """A photo that was uploaded: its address, and the name of the file that it came in."""

    media = fields.String(
        required=True,
        validate=validate.Regexp(r"[0-9a-f]{64}\Z", error="must be a SHA-256 in lower-case hex"),
    )
    name = _text(120)


def _photos() -> fields.List[Any]:
    return fields.List(fields.Nested(Shot), required=True, validate=validate.Length(1, MOST_PHOTOS))


_FIELD = fields.String(
    required=True, validate=validate.Regexp(r"[a-z][a-z0-9_]{0,31}\Z", error="must be a field's name")
)
_PARTS = fields.List(_text(LONG, 1), required=True, validate=validate.Length(2, MOST_PARTS))

_SHAPES: Mapping[str, Mapping[str, fields.Field[Any]]] = {
    "accept": {"entries": _entries(1, MOST_ENTRIES)},
    "answer": {
        "entries": _entries(1, 1),
        "field": _FIELD,
        "choice": fields.String(required=True, validate=validate.OneOf(["heard", "runner_up", "words"])),
        "words": fields.String(validate=[validate.Length(0, LONG), validate.Regexp(rf"{LINE}\Z")]),
    },
    "settle": {"entries": _entries(1, 1), "field": _FIELD, "operation": _id()},
    "correct": {"entries": _entries(1, 1), "field": _FIELD, "words": _text(LONG)},
    "reword": {"entries": _entries(1, 1), "words": _text(LONG, 1)},
    "withdraw": {"entries": _entries(1, 1), "why": _text(SHORT)},
    "bring_back": {"entries": _entries(1, 1), "why": _text(SHORT)},
    "split": {"entries": _entries(1, 1), "parts": _PARTS},
    "join": {"entries": _entries(2, MOST_PARTS), "words": _text(LONG, 1)},
    "note": {"words": _text(LONG, 1), "wall": fields.String(validate=_wall)},
    "attach": {"entries": _entries(1, 1), "photos": _photos()},
    "note_photos": {"words": _text(LONG), "photos": _photos(), "wall": fields.String(validate=_wall)},
}
ACTS: Mapping[str, type[Schema]] = {
    act: Strict.from_dict(
        {"key": _id(), "act": fields.String(required=True, validate=validate.Equal(act)), **shape},
        name=f"Act_{act}",
    )
    for act, shape in _SHAPES.items()
}


class Typed(Strict):
    """Words of which the page asks what they would mean, in the place of some entries."""

    words = _text(LONG, 1)
    instead_of = fields.List(_id(), load_default=list, validate=validate.Length(0, MOST_PARTS))


class Teach(Strict):
    """A word for one of the lists, how it is said, and the entry whose recording is to be heard again."""

    list = fields.String(required=True, validate=validate.OneOf((*LISTS, SOUNDS)))
    name = _text(60, 1)
    said_as = fields.List(_text(60, 1), required=True, validate=validate.Length(0, 12))
    entry = fields.String(
        validate=validate.Regexp(f"({UUID7.pattern}|)\\Z", error="must be a UUIDv7"), load_default=""
    )


class Standing(Strict):
    """Something that was taught, by its note ("" where it is older than that), and whether it is to count."""

    list_name = fields.String(required=True, data_key="list", validate=validate.OneOf((*LISTS, SOUNDS)))
    name = _text(60, 1)
    note = fields.String(
        validate=validate.Regexp(f"({UUID7.pattern}|)\\Z", error="must be a UUIDv7"), load_default=""
    )
    stands = fields.Boolean(required=True)


def act_of(raw: object) -> dict[str, object]:
    """The request in the shape of its act; a Problem lists every field that is not."""
    act = raw.get("act") if isinstance(raw, dict) else None
    if not isinstance(act, str) or act not in ACTS:
        wrong = [{"field": "act", "why": f"must be one of {', '.join(ACTS)}"}]
        raise Problem("invalid", f"act: {wrong[0]['why']}", errors=wrong)
    return fitted(ACTS[act], raw)
