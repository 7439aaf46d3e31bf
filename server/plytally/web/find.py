"""Finding at the desk: one route, every filter a parameter of the address."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, jsonify, request
from marshmallow import ValidationError, fields, validate

from plytally.core.entry import KINDS
from plytally.find.query import MOST_SHOWN
from plytally.find.rows import NAMED
from plytally.web.desk import Desk
from plytally.web.problem import Problem
from plytally.web.schemas import Strict, problems_of
from plytally.workshop.finding import STANDS, Finder
from plytally.workshop.places import UnknownPlace

_DAY = validate.Regexp(r"(\d{4}-\d\d-\d\d)?\Z", error="must be a day such as 2026-03-21")


def _short() -> fields.String:
    return fields.String(load_default="", validate=validate.Length(0, 200))


class Find(Strict):
    """What may be asked. `before` is `more` of the page before."""

    words = _short()
    at = _short()
    kind = fields.String(load_default="", validate=validate.OneOf(["", *KINDS]))
    author = _short()
    material = _short()
    resin = _short()
    batch = _short()
    face = _short()
    stands = fields.String(load_default="", validate=validate.OneOf(["", *STANDS]))
    first_day = fields.String(load_default="", validate=_DAY)
    last_day = fields.String(load_default="", validate=_DAY)
    photos = fields.String(load_default="", validate=validate.OneOf(["", "yes"]))
    limit = fields.Integer(load_default=50, validate=validate.Range(1, MOST_SHOWN))
    before = fields.String(load_default="", validate=validate.Regexp(r"[0-9]{0,19}\Z"))


@dataclass(frozen=True)
class FindRoute:
    """The route."""

    finder: Finder
    desk: Desk

    def find(self) -> Response:
        """The entries that fit everything asked, the latest first."""
        try:
            asked = Find().load(request.args.to_dict())
        except ValidationError as problem:
            raise problems_of(problem) from problem
        names = {name: asked.pop(name) for name in NAMED if name in asked}
        asked["stands"] = [asked["stands"]] if asked["stands"] else []
        asked["photos"] = asked["photos"] == "yes"
        asked["before"] = int(asked["before"]) if asked["before"] else None
        try:
            answer = self.finder.find(asked.pop("words"), names=names, **asked)
        except UnknownPlace as problem:
            raise Problem(
                "not-found", str(problem), errors=[{"field": "at", "why": str(problem)}]
            ) from problem
        likes = self.desk.likes
        rows = [
            row | {"number": str(row["number"]), "line": self.finder.line(row["id"], likes)}
            for row in answer.rows
        ]
        more = None if answer.more is None else str(answer.more)
        return jsonify(rows=rows, count=answer.count, more=more)


def blueprint(finder: Finder, desk: Desk) -> Blueprint:
    """The route, bound to one log."""
    pages = Blueprint("find", __name__)
    pages.add_url_rule("/api/desk/find", "find", FindRoute(finder, desk).find)
    return pages
