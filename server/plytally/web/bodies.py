"""What comes in and goes out: JSON within limits, gzip both ways.

A compressed body is opened only as far as its route allows, so that a few bytes cannot become gigabytes.
"""

from __future__ import annotations

import gzip
import json
import zlib
from typing import Any, NoReturn

from flask import Flask, Response, request

from plytally.web.problem import Problem

GZIP_FROM = 1024
"""Answers smaller than this, in bytes, are not worth compressing."""

_GZIP_WINDOW = 16 + zlib.MAX_WBITS
_COMPRESSIBLE = ("application/json", "application/problem+json", "application/yaml", "text/", "image/svg+xml")


def read_json(limit: int) -> Any:
    """The request's JSON, at most `limit` bytes after decompression.

    Refuses with a Problem: another content type or encoding (415), too much (413), no JSON (400).
    """
    if request.mimetype != "application/json":
        raise Problem(
            "wrong-type", f"wanted application/json, found {request.mimetype or 'no content type'!r}"
        )
    return parse_json(_decoded(request.get_data(cache=False), limit))


def parse_json(content: bytes) -> Any:
    """JSON by RFC 8259 in UTF-8, each key once in its object, no NaN or infinity."""
    try:
        return json.loads(content.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_number)
    except RecursionError as problem:
        raise Problem("malformed", "the JSON is nested too deep") from problem
    except ValueError as problem:
        raise Problem("malformed", f"the body is not JSON in UTF-8: {str(problem)[:200]}") from problem


def register(app: Flask) -> None:
    """Compress what is worth it for a client that takes gzip."""

    @app.after_request
    def squeeze(response: Response) -> Response:
        if not (response.mimetype or "").startswith(_COMPRESSIBLE):
            return response
        response.vary.add("Accept-Encoding")
        plain = response.direct_passthrough or "Content-Encoding" in response.headers
        if plain or request.accept_encodings["gzip"] <= 0 or request.method == "HEAD":
            return response
        content = response.get_data()
        if len(content) >= GZIP_FROM:
            response.set_data(gzip.compress(content, compresslevel=6, mtime=0))
            response.headers["Content-Encoding"] = "gzip"
        return response


def _decoded(content: bytes, limit: int) -> bytes:
    encoding = request.headers.get("Content-Encoding", "identity").strip().lower()
    if encoding == "gzip":
        return gunzip(content, limit)
    if encoding != "identity":
        raise Problem(
            "wrong-type",
            f"the content encoding {encoding!r} is not taken; send gzip or none",
            headers={"Accept-Encoding": "gzip"},
        )
    if len(content) > limit:
        raise Problem(
            "too-large", f"the body takes {len(content)} bytes, the limit here is {limit}; send less"
        )
    return content


def gunzip(content: bytes, limit: int) -> bytes:
    """Open gzip (one member, whole) of at most `limit` bytes; else a Problem."""
    opener = zlib.decompressobj(_GZIP_WINDOW)
    try:
        plain = opener.decompress(content, limit + 1)
    except zlib.error as problem:
        raise Problem("malformed", f"the body is not gzip: {problem}") from problem
    if len(plain) > limit:
        raise Problem("too-large", f"the body opens to more than {limit} bytes, the limit here; send less")
    if not opener.eof or opener.unused_data:
        raise Problem("malformed", "the gzip body is cut short or has something behind its end")
    return plain


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        raise ValueError(
            f"the key {next(key for key in keys if keys.count(key) > 1)!r} stands twice in an object"
        )
    return found


def _no_number(text: str) -> NoReturn:
    raise ValueError(f"{text} is not a number in JSON")
