"""The desk's page of the print: show it, compare a text with it, make a text the print that counts.

GET  /api/desk/print                  text, parts, and every text that counted before
POST /api/desk/print/compare          what is wrong with a text, or what it would change; nothing is kept
PUT  /api/desk/print                  make it the print, in place of the one that was seen
GET  /api/desk/print/texts/SHA256     a text that counted once
GET  /api/desk/print/table, /api/desk/print/checklist     to be taken away
"""

from __future__ import annotations

from dataclasses import dataclass

import structlog
from flask import Blueprint, Response, jsonify
from marshmallow import RAISE, Schema, fields, validate

from plytally.core.schedule import ScheduleError
from plytally.web.problem import Problem
from plytally.web.schemas import load
from plytally.workshop.print_desk import PrintDesk, PrintMoved
from plytally.workshop.print_shelf import CSV, YAML

LARGEST_TEXT = 2_000_000
"""Letters; a print of three hundred parts and five thousand steps has a fifth of that."""

LARGEST_BODY = 8 * 1024 * 1024
log = structlog.get_logger(__name__)


class _Text(Schema):
    class Meta:
        unknown = RAISE

    text = fields.String(required=True, validate=validate.Length(max=LARGEST_TEXT))
    kind = fields.String(required=True, validate=validate.OneOf((YAML, CSV)))


class _Take(_Text):
    base = fields.String(
        required=True,
        validate=validate.Regexp(r"(?:[0-9a-f]{64})?\Z", error="must be the SHA-256 of the text seen, or ''"),
    )


@dataclass(frozen=True)
class PrintRoutes:
    """The routes of the print."""

    work: PrintDesk

    def shown(self) -> Response:
        """The print that counts."""
        return jsonify(self.work.shown())

    def compare(self) -> Response:
        """What a text would change."""
        asked = load(_Text, LARGEST_BODY)
        return jsonify(self.work.compare(asked["text"], asked["kind"]))

    def take(self) -> Response:
        """Make a text the print that counts; it is on the medium when this is answered."""
        asked = load(_Take, LARGEST_BODY)
        try:
            shown = self.work.take(asked["text"], asked["kind"], asked["base"])
        except PrintMoved as problem:
            raise Problem(
                "print-moved",
                "another text was made the print since this page was opened; nothing was changed. Keep your "
                "text, open the page again and compare",
            ) from problem
        except ScheduleError as problem:
            wrong = [
                {"field": f"{each.counted} {each.line}", "why": each.message} for each in problem.problems
            ]
            raise Problem("invalid", f"{problem}; nothing was changed", errors=wrong) from problem
        log.info("print_taken", parts=len(shown["parts"]), steps=shown["steps"])
        return jsonify(shown)

    def text(self, address: str) -> Response:
        """A text that counted once."""
        found = self.work.text(address)
        if found is None:
            raise Problem("not-found", "no such text was ever the print")
        return Response(found, content_type="text/plain; charset=utf-8")

    def table(self) -> Response:
        """The print as CSV."""
        return _taken_away(self.work.table(), "text/csv; charset=utf-8", "print.csv")

    def checklist(self) -> Response:
        """The print as a checklist."""
        return _taken_away(self.work.checklist(), "text/html; charset=utf-8", "checklist.html")


def _taken_away(text: str, content_type: str, name: str) -> Response:
    """A file to save; shown in place it would be bare, because our pages allow no style of its own."""
    response = Response(text, content_type=content_type)
    response.headers["Content-Disposition"] = f'attachment; filename="plytally-{name}"'
    return response


def blueprint(work: PrintDesk) -> Blueprint:
    """The routes, bound to one print."""
    here, pages = PrintRoutes(work), Blueprint("print_desk", __name__)
    base = "/api/desk/print"
    pages.add_url_rule(base, "shown", here.shown)
    pages.add_url_rule(base, "take", here.take, methods=["PUT"])
    pages.add_url_rule(f"{base}/compare", "compare", here.compare, methods=["POST"])
    pages.add_url_rule(f"{base}/texts/<address>", "text", here.text)
    pages.add_url_rule(f"{base}/table", "table", here.table)
    pages.add_url_rule(f"{base}/checklist", "checklist", here.checklist)
    return pages
