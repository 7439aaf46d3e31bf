"""The whole log out as one file, and in again into an empty log, from the desk.

POST  /api/desk/exports              begin one; GET …/<id> how far it is, GET …/<id>/zip the file
POST  /api/desk/imports              begin one: {"size": bytes}; refused where anything is in the log
PATCH /api/desk/imports/<id>         a piece of at most 8 MiB, at Upload-Offset
POST  /api/desk/imports/<id>         all of it has come: look at it and make it the log; GET how far that is
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, jsonify, request, send_file

from plytally.web.carry_jobs import MOST_BYTES, Carrier, Job
from plytally.web.problem import Problem
from plytally.web.schemas import Strict, load, whole

PIECE_TYPE = "application/offset+octet-stream"


class ImportAsked(Strict):
    """How large the file is that shall come."""

    size = whole(1, MOST_BYTES, required=True)


@dataclass(frozen=True)
class CarryRoutes:
    """The routes of exports and imports."""

    carrier: Carrier

    def begin_export(self) -> tuple[Response, int]:
        """Begin to write everything into one file."""
        return jsonify(self.carrier.export().as_json()), 202

    def export_state(self, export_id: str) -> Response:
        """How far an export is."""
        return jsonify(self._job("export", export_id).as_json())

    def export_file(self, export_id: str) -> Response:
        """The file; a download that was cut can be gone on with."""
        job = self._job("export", export_id)
        if job.state != "ready":
            raise Problem("not-found", "this export is not ready")
        response = send_file(
            self.carrier.file(job),
            "application/zip",
            as_attachment=True,
            download_name="plytally-everything.zip",
            conditional=True,
            etag=job.id,
        )
        response.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
        return response

    def begin_import(self) -> tuple[Response, int]:
        """Begin an import into the empty log."""
        return jsonify(self.carrier.expect(load(ImportAsked)["size"]).as_json()), 201

    def piece(self, import_id: str) -> Response:
        """Take a piece of what shall come in."""
        if request.mimetype != PIECE_TYPE:
            raise Problem("wrong-type", f"a piece is {PIECE_TYPE}, found {request.mimetype or 'nothing'!r}")
        offset = request.headers.get("Upload-Offset", "")
        if not offset.isdecimal() or len(offset) > 15:
            raise Problem("malformed", f"Upload-Offset must be a whole number, found {offset[:20]!r}")
        job = self._job("import", import_id)
        self.carrier.take(job, int(offset), request.get_data(cache=False))
        return jsonify(job.as_json())

    def take_in(self, import_id: str) -> tuple[Response, int]:
        """All of it has come: look at it and make it the log."""
        job = self._job("import", import_id)
        self.carrier.take_in(job)
        return jsonify(job.as_json()), 202

    def import_state(self, import_id: str) -> Response:
        """How far an import is."""
        return jsonify(self._job("import", import_id).as_json())

    def _job(self, way: str, job_id: str) -> Job:
        job = self.carrier.find(way, job_id)
        if job is None:
            raise Problem("not-found", f"there is no such {way}; the server may have been started anew")
        return job


def blueprint(carrier: Carrier) -> Blueprint:
    """The routes, bound to one log."""
    here, pages = CarryRoutes(carrier), Blueprint("carry", __name__)
    exports, imports = "/api/desk/exports", "/api/desk/imports"
    one_out, one_in = f"{exports}/<export_id>", f"{imports}/<import_id>"
    pages.add_url_rule(exports, "begin_export", here.begin_export, methods=["POST"])
    pages.add_url_rule(one_out, "export_state", here.export_state)
    pages.add_url_rule(f"{one_out}/zip", "export_file", here.export_file)
    pages.add_url_rule(imports, "begin_import", here.begin_import, methods=["POST"])
    pages.add_url_rule(one_in, "piece", here.piece, methods=["PATCH"])
    pages.add_url_rule(one_in, "take_in", here.take_in, methods=["POST"])
    pages.add_url_rule(one_in, "import_state", here.import_state)
    return pages
