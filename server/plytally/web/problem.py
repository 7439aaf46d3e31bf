"""Every refusal as one kind of answer: problem details by RFC 9457.

    Problem               raised anywhere in web with a slug from KINDS
    StoreError family     a counterpart for each in STORE
    HTTPException         Flask's own: unknown path, wrong method, body too large
    anything else         500, told to the log without its words, which may be the builder's

Who follows a link or types an address in a browser gets the same as a page that a person can read.

A reader finds in `type` what it is, in `detail` what was found and what to do, in `instance` the id under
which the server's log tells of it.
"""

from __future__ import annotations

import traceback
from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import Any

import structlog
from flask import Flask, Response, g, json, render_template, request
from werkzeug.exceptions import HTTPException

from plytally.store import errors

TYPE = "urn:plytally:problem:"
MEDIA_TYPE = "application/problem+json"
LEAF = "default-src 'none'; style-src 'self'; base-uri 'none'; frame-ancestors 'none'"
NOTHING_THERE = "nothing is at this address; the desk is at /desk, the phone's app at /"
log = structlog.get_logger(__name__)

KINDS: Mapping[str, tuple[int, str]] = {
    "malformed": (400, "The request cannot be read"),
    "not-paired": (401, "This phone is not paired"),
    "revoked": (401, "This phone was revoked"),
    "not-signed-in": (401, "The desk is not signed in"),
    "no-visit": (401, "This link opens nothing"),
    "wrong-passphrase": (401, "The passphrase is wrong"),
    "not-allowed": (403, "Not allowed"),
    "cross-site": (403, "The request came from another site"),
    "wrong-code": (403, "The pairing code is wrong"),
    "no-code": (403, "No pairing code is open"),
    "not-found": (404, "Not here"),
    "no-passphrase": (409, "The desk has no passphrase yet"),
    "changed": (409, "The entry has changed meanwhile"),
    "cannot": (409, "This cannot be done now"),
    "print-moved": (409, "The print has changed meanwhile"),
    "wrong-offset": (409, "The upload is at another offset"),
    "gone": (410, "No longer here"),
    "tus-version": (412, "Another version of tus"),
    "too-large": (413, "Too large"),
    "wrong-type": (415, "Another content type is needed"),
    "misdirected": (421, "Not a name of this server"),
    "invalid": (422, "The fields are not as they must be"),
    "hash-mismatch": (422, "The bytes are not what their address says"),
    "busy": (423, "Another request is at work on this"),
    "too-often": (429, "Too many requests"),
    "checksum": (460, "Checksum mismatch"),
    "internal": (500, "The server failed"),
    "damaged": (500, "What was kept is damaged"),
    "unavailable": (503, "Not now"),
    "too-much": (507, "More than one phone may bring in a day"),
    "disk-full": (507, "The shop computer's disk is full"),
}

STORE: Mapping[type[errors.StoreError], str] = {
    errors.StoreFull: "disk-full",
    errors.StoreUnwritable: "unavailable",
    errors.StoreBroken: "unavailable",
    errors.StoreLocked: "unavailable",
    errors.JournalDamaged: "damaged",
    errors.DocumentsDamaged: "damaged",
    errors.LogNotEmpty: "cannot",
    errors.BackupRefused: "unavailable",
    errors.UnknownEntry: "not-found",
    errors.MediaMissing: "not-found",
    errors.MediaDamaged: "damaged",
    errors.MediaRefused: "malformed",
    errors.MediaError: "unavailable",
    errors.StoreError: "unavailable",
}


class Problem(Exception):
    """A refusal: `kind` is a slug of KINDS, `detail` says what was found and what to do.

    `errors` lists each wrong field; `more` becomes further members, `headers` go on the answer.
    """

    def __init__(
        self,
        kind: str,
        detail: str,
        *,
        errors: Sequence[Mapping[str, str]] = (),
        headers: Mapping[str, str] | None = None,
        **more: Any,
    ) -> None:
        super().__init__(detail)
        self.kind, self.detail, self.errors = kind, detail, errors
        self.headers, self.more = dict(headers or {}), more

    @property
    def status(self) -> int:
        """The HTTP status."""
        return KINDS[self.kind][0]


def register(app: Flask) -> None:
    """Answer every error of the app as problem details."""
    app.register_error_handler(Problem, answer)
    app.register_error_handler(errors.StoreError, _store)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _unforeseen)


def answer(problem: Problem) -> Response:
    """The problem as a response."""
    status, title = KINDS[problem.kind]
    members: dict[str, Any] = {
        "type": TYPE + problem.kind,
        "title": title,
        "status": status,
        "detail": problem.detail,
        "instance": f"urn:uuid:{g.get('request_id', '')}",
        **problem.more,
    }
    if problem.errors:
        members["errors"] = list(problem.errors)
    g.problem = problem.kind
    response = _told(members)
    response.headers.update(problem.headers)
    return response


def _told(members: Mapping[str, Any]) -> Response:
    """The members as they are, or as a page for who came here with a browser."""
    if request.method == "GET" and "text/html" in request.headers.get("Accept", ""):
        number = g.get("request_id", "") if members["status"] >= 500 else ""
        page = render_template("problem.html", title=members["title"], why=members["detail"], number=number)
        response = Response(page, members["status"], content_type="text/html; charset=utf-8")
        response.headers["Content-Security-Policy"] = LEAF
        return response
    return Response(json.dumps(members), members["status"], content_type=MEDIA_TYPE)


def told_to_the_desk(problem: Exception) -> str:
    """Why something failed, for a page that waits: without where the shop computer keeps its files."""
    return _without_paths(problem, _kind(problem)) if isinstance(problem, errors.StoreError) else str(problem)


def _kind(problem: errors.StoreError) -> str:
    return next(STORE[cls] for cls in type(problem).__mro__ if cls in STORE)


def _store(problem: errors.StoreError) -> Response:
    kind = _kind(problem)
    log.warning("store_refused", error=type(problem).__name__, kind=kind)
    return answer(Problem(kind, _without_paths(problem, kind)))


def _without_paths(problem: errors.StoreError, kind: str) -> str:
    """A phone is told what to do, not where the shop computer keeps its files."""
    told = {
        "disk-full": "nothing of this was kept on the shop computer, and all that was kept before still is; "
        "keep it on the phone and make room on the computer",
        "unavailable": "the shop computer cannot write now; keep it on the phone and look at the computer",
        "damaged": "the shop computer found a kept file changed; run 'plytally verify' there",
    }
    return told.get(kind) or str(problem)


def _http(problem: HTTPException) -> Response:
    status = problem.code or 500
    if status < 400:
        return Response(status=status, headers=dict(problem.get_headers()))
    kind = {413: "too-large", 404: "not-found", 415: "wrong-type", 400: "malformed"}.get(status)
    if kind is not None:
        return answer(Problem(kind, NOTHING_THERE if status == 404 else problem.description or ""))
    members = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": problem.description or "",
        "instance": f"urn:uuid:{g.get('request_id', '')}",
    }
    response = _told(members)
    kept = [
        (name, value) for name, value in problem.get_headers() if name.lower() in {"allow", "retry-after"}
    ]
    response.headers.update(kept)
    return response


def _unforeseen(problem: Exception) -> Response:
    frames = traceback.extract_tb(problem.__traceback__)[-6:]
    where = " < ".join(f"{frame.name}:{frame.lineno}" for frame in reversed(frames))
    log.error("request_failed", error=type(problem).__name__, where=where)
    return answer(Problem("internal", "this is a fault of the server; what the phone holds is safe there"))
