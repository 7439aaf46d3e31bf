"""What every answer says to the browser, and which requests are turned away by their headers alone.

No Strict-Transport-Security: it would bind every other service on the same host name, and there is no
plain-HTTP port on the network that it could guard.
"""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlsplit

from flask import Flask, Response, request

from plytally.web.access import SAFE
from plytally.web.names import Names
from plytally.web.problem import Problem

NOTHING = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
PAGE = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)

HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": NOTHING,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), microphone=(self), geolocation=(), payment=(), usb=()",
    "Cache-Control": "no-store",
}


def register(app: Flask, names: Names) -> None:
    """Check each request's Host and origin, and dress each answer."""

    @app.before_request
    def turn_away() -> None:
        _known_host(names)
        if request.method not in SAFE:
            _own_origin()

    @app.after_request
    def dress(response: Response) -> Response:
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        return response


def _known_host(names: Names) -> None:
    """A page elsewhere that points its own name at this machine (DNS rebinding) gets nothing."""
    try:
        host = urlsplit(f"//{request.headers.get('Host', '')}").hostname
    except ValueError:
        host = None
    if host is None or host not in names:
        raise Problem(
            "misdirected", "this server does not go by that name; open it by the address the desk shows"
        )


def _own_origin() -> None:
    """Only our own pages may change anything from a browser; programs send neither header."""
    site = request.headers.get("Sec-Fetch-Site", "none")
    origin = request.headers.get("Origin")
    own = f"{request.scheme}://{request.headers.get('Host', '')}"
    if site not in {"none", "same-origin"} or (origin is not None and origin.lower() != own.lower()):
        raise Problem("cross-site", "this was sent by a page of another site, and is not taken")
