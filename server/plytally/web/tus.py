"""The open tus protocol, 1.0.0, with creation, checksum, expiration and termination (https://tus.io).

    POST    /api/uploads          Upload-Length; Upload-Metadata with `sha256` (64 hex digits)
    HEAD    /api/uploads/<id>     Upload-Offset
    PATCH   /api/uploads/<id>     Upload-Offset, a chunk of at most 8 MiB, Upload-Checksum if wanted
    DELETE  /api/uploads/<id>

A chunk counts whole or not at all, so that its checksum can be told before it is kept. An upload of what
the shop has already is complete from its creation: the first PATCH meets 409, HEAD then shows the end.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from email.utils import formatdate

from flask import Blueprint, Response, request, url_for

from plytally.web.access import caller
from plytally.web.problem import Problem
from plytally.web.uploads import MAX_LENGTH, Upload, Uploads

VERSION = "1.0.0"
EXTENSIONS = "creation,checksum,expiration,termination"
CHECKSUMS = ("sha1", "sha256")
CHUNK_TYPE = "application/offset+octet-stream"
METADATA_MOST = 4096
_NUMBER = re.compile(r"[0-9]{1,15}")
_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class Tus:
    """The routes of tus."""

    uploads: Uploads

    def options(self, upload_id: str = "") -> Response:
        """What this server can do."""
        able = {
            "Tus-Version": VERSION,
            "Tus-Extension": EXTENSIONS,
            "Tus-Max-Size": str(MAX_LENGTH),
            "Tus-Checksum-Algorithm": ",".join(CHECKSUMS),
        }
        return Response(status=204, headers=able)

    def create(self) -> Response:
        """Begin an upload."""
        if "Upload-Defer-Length" in request.headers:
            raise Problem("malformed", "the length must be known at creation: send Upload-Length")
        length = _number("Upload-Length")
        if length > MAX_LENGTH:
            raise Problem("too-large", f"an upload has at most {MAX_LENGTH} bytes, this one {length}")
        metadata = request.headers.get("Upload-Metadata", "")
        upload = self.uploads.create(caller().owner, _address(metadata), length, metadata)
        place = url_for("tus.upload", upload_id=upload.id)
        return Response(status=201, headers={"Location": place, "Upload-Expires": _expires(upload)})

    def upload(self, upload_id: str) -> Response:
        """HEAD, PATCH or DELETE, by the method or by X-HTTP-Method-Override on a POST."""
        method = request.method
        if method == "POST":
            method = request.headers.get("X-HTTP-Method-Override", "").upper()
        upload = self.uploads.find(upload_id, caller().owner)
        acts = {"HEAD": self._head, "PATCH": self._patch, "DELETE": self._delete}
        if method not in acts:
            raise Problem("malformed", "a POST here needs X-HTTP-Method-Override: HEAD, PATCH or DELETE")
        return acts[method](upload)

    def _head(self, upload: Upload) -> Response:
        told = {"Upload-Offset": str(self.uploads.offset(upload)), "Upload-Length": str(upload.length)}
        if upload.metadata:
            told["Upload-Metadata"] = upload.metadata
        return Response(
            status=200, headers={**told, "Upload-Expires": _expires(upload), "Cache-Control": "no-store"}
        )

    def _patch(self, upload: Upload) -> Response:
        if request.mimetype != CHUNK_TYPE:
            raise Problem(
                "wrong-type", f"a chunk is {CHUNK_TYPE}, found {request.mimetype or 'no content type'!r}"
            )
        offset, chunk = _number("Upload-Offset"), request.get_data(cache=False)
        _check(chunk, request.headers.get("Upload-Checksum"))
        told = {
            "Upload-Offset": str(self.uploads.append(upload, offset, chunk)),
            "Upload-Expires": _expires(upload),
        }
        return Response(status=204, headers=told)

    def _delete(self, upload: Upload) -> Response:
        self.uploads.drop(upload)
        return Response(status=204)


def read_metadata(header: str) -> Mapping[str, str]:
    """Upload-Metadata as names and texts; Problem if it is not as tus has it.

    >>> dict(read_metadata("sha256 YWI=,draft"))
    {'sha256': 'ab', 'draft': ''}
    """
    if len(header) > METADATA_MOST:
        raise Problem("malformed", f"Upload-Metadata has at most {METADATA_MOST} characters")
    pairs = [pair.strip().partition(" ")[::2] for pair in header.split(",") if pair.strip()]
    if len({name for name, _ in pairs}) != len(pairs):
        raise Problem("malformed", "Upload-Metadata has a name twice")
    try:
        return {name: base64.b64decode(value, validate=True).decode("utf-8") for name, value in pairs}
    except ValueError as problem:
        raise Problem("malformed", f"Upload-Metadata is not names with Base64 values: {problem}") from problem


def _address(metadata: str) -> str:
    address = read_metadata(metadata).get("sha256", "")
    if not _SHA256.fullmatch(address):
        raise Problem("malformed", "Upload-Metadata needs 'sha256': 64 digits of 0-9 and a-f, in Base64")
    return address


def _number(header: str) -> int:
    text = request.headers.get(header, "")
    if not _NUMBER.fullmatch(text):
        raise Problem("malformed", f"{header} must be a whole number, found {text!r}")
    return int(text)


def _check(chunk: bytes, header: str | None) -> None:
    if header is None:
        return
    algorithm, _, expected = header.strip().partition(" ")
    if algorithm not in CHECKSUMS:
        raise Problem(
            "malformed", f"Upload-Checksum knows {' and '.join(CHECKSUMS)}, found {algorithm[:20]!r}"
        )
    try:
        wanted = base64.b64decode(expected, validate=True)
    except binascii.Error as problem:
        raise Problem("malformed", "Upload-Checksum is not Base64") from problem
    if hashlib.new(algorithm, chunk, usedforsecurity=False).digest() != wanted:
        raise Problem("checksum", "the chunk was changed on the way and not kept: send it again")


def _expires(upload: Upload) -> str:
    return formatdate(upload.expires / 1000, usegmt=True)


def _speaks_our_version() -> None:
    if request.method != "OPTIONS" and request.headers.get("Tus-Resumable") != VERSION:
        raise Problem(
            "tus-version",
            f"this server speaks tus {VERSION}: send Tus-Resumable",
            headers={"Tus-Version": VERSION},
        )


def _mark(response: Response) -> Response:
    response.headers["Tus-Resumable"] = VERSION
    return response


def blueprint(uploads: Uploads) -> Blueprint:
    """The routes, bound to one folder of uploads."""
    here, pages = Tus(uploads), Blueprint("tus", __name__)
    one, all_ = "/api/uploads/<upload_id>", "/api/uploads"
    pages.add_url_rule(all_, "options", here.options, methods=["OPTIONS"])
    pages.add_url_rule(one, "options", here.options, methods=["OPTIONS"])
    pages.add_url_rule(all_, "create", here.create, methods=["POST"])
    pages.add_url_rule(one, "upload", here.upload, methods=["HEAD", "PATCH", "DELETE", "POST"])
    pages.before_request(_speaks_our_version)
    pages.after_request(_mark)
    return pages
