"""The desk's records: a PDF made while the page shows how far it is, and tables for a spreadsheet.

POST /api/desk/records              begin one: {"parts": [{"part", "side"}], "first", "last", "paper"}
GET  /api/desk/records/<id>         how far it is
GET  /api/desk/records/<id>/pdf     the PDF, once it is ready
GET  /api/desk/tables/<name>        entries.csv, changes.csv, plies.csv
"""

from __future__ import annotations

import io
from dataclasses import dataclass

from flask import Blueprint, Response, jsonify, send_file

from plytally.clock import fresh_id
from plytally.record.cells import MEDIA_TYPE, csv_lines
from plytally.record.content import Scope
from plytally.record.tables import TABLES
from plytally.web.books import Books
from plytally.web.problem import Problem
from plytally.web.record_jobs import Job, Records
from plytally.web.record_shapes import RecordAsked, places_asked
from plytally.web.schemas import load


@dataclass(frozen=True)
class RecordRoutes:
    """The routes of records."""

    books: Books
    records: Records

    def begin(self) -> tuple[Response, int]:
        """Begin a record."""
        asked = load(RecordAsked)
        scope = Scope(places_asked(self.books.bench.schedule, asked["parts"]), asked["first"], asked["last"])
        job = self.records.begin(fresh_id(self.books.bench.clock), scope, asked["paper"])
        if job is None:
            raise Problem(
                "too-often",
                "several records are being made already; wait until one is ready",
                headers={"Retry-After": "10"},
            )
        return self._told(job), 202

    def state(self, record_id: str) -> Response:
        """How far a record is."""
        return self._told(self._job(record_id))

    def _told(self, job: Job) -> Response:
        return jsonify(job.as_json() | {"told": job.scope.told_as(self.books.likes)})

    def pdf(self, record_id: str) -> Response:
        """The PDF."""
        job = self._job(record_id)
        if job.state != "ready":
            raise Problem("not-found", "this record is not ready")
        return sent(job.pdf)

    def table(self, name: str) -> Response:
        """A table of the whole log as CSV."""
        with self.books.open() as content:
            head, rows = TABLES[name]
            text = b"".join(csv_lines(head, rows(content)))
        response = Response(text, content_type=MEDIA_TYPE)
        response.headers["Content-Disposition"] = f'attachment; filename="{name}.csv"'
        return response

    def _job(self, record_id: str) -> Job:
        job = self.records.find(record_id)
        if job is None:
            raise Problem("not-found", "no such record is being made; the server may have been started anew")
        return job


def sent(content: bytes) -> Response:
    """A PDF on its way out: as a file, and never as a page of ours."""
    response = send_file(
        io.BytesIO(content), "application/pdf", as_attachment=True, download_name="build-record.pdf"
    )
    response.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return response


def blueprint(books: Books, records: Records) -> Blueprint:
    """The routes, bound to one shop."""
    here, pages = RecordRoutes(books, records), Blueprint("records", __name__)
    pages.add_url_rule("/api/desk/records", "begin", here.begin, methods=["POST"])
    pages.add_url_rule("/api/desk/records/<record_id>", "state", here.state)
    pages.add_url_rule("/api/desk/records/<record_id>/pdf", "pdf", here.pdf)
    pages.add_url_rule("/api/desk/tables/<any(entries, changes, plies):name>", "table", here.table)
    return pages
