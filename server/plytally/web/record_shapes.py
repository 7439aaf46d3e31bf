"""The shape of what the desk asks of records and visits, every wrong field told at once."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError, fields, validate

from plytally.core.entry import Place
from plytally.core.schedule import Schedule
from plytally.record.book import PAPERS
from plytally.web.problem import Problem
from plytally.web.schemas import Strict, _whole
from plytally.web.visits import LEAST_DAYS, MOST_DAYS, MOST_NAME, MOST_PARTS, USUAL_DAYS

_DAY = validate.Regexp(
    r"(\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01]))?\Z", error="must be a day like 2026-03-14"
)


class PartAsked(Strict):
    """A part, and a side or "" for both."""

    part = fields.String(required=True, validate=validate.Length(1, 200))
    side = fields.String(load_default="", validate=validate.Length(max=200))


class RecordAsked(Strict):
    """What a record shall be of; no parts: all of them."""

    parts = fields.List(fields.Nested(PartAsked), load_default=list, validate=validate.Length(max=MOST_PARTS))
    first = fields.String(load_default="", validate=_DAY)
    last = fields.String(load_default="", validate=_DAY)
    paper = fields.String(load_default="a4", validate=validate.OneOf([*PAPERS]))


def _a_name(text: str) -> None:
    if not text.strip() or any(unicodedata.category(letter) in {"Cc", "Cs"} for letter in text):
        raise ValidationError("must be a name, without control characters")


class VisitAsked(Strict):
    """Whom a visit is for, what may be seen, and for how many days."""

    name = fields.String(required=True, validate=[validate.Length(1, MOST_NAME), _a_name])
    parts = fields.List(fields.Nested(PartAsked), required=True, validate=validate.Length(1, MOST_PARTS))
    days = _whole(LEAST_DAYS, MOST_DAYS, load_default=USUAL_DAYS)


def places_of(schedule: Schedule) -> list[Place]:
    """Every part and side, in the order of the print."""
    return [Place(part.name, side) for part in schedule.parts for side in part.sides or ("",)]


def places_asked(schedule: Schedule, parts: list[Mapping[str, Any]]) -> tuple[Place, ...]:
    """The places that were asked for; a Problem names the first that the print has not."""
    known, wanted = places_of(schedule), [Place(one["part"], one["side"]) for one in parts]
    for place in wanted:
        if not any(each.part == place.part and place.side in ("", each.side) for each in known):
            why = f"the print has no part {place.part!r} with the side {place.side!r}"
            raise Problem("not-found", f"{why}; the list of parts has them all")
    return tuple(dict.fromkeys(wanted))
