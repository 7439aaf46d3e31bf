"""The phone's copy of the print, the builder's own words, and how the builder likes days and amounts written.

    GET /api/print     {"print": the schedule or null, "words": {list: {name: [said as, ...]}}, "likes": ...}

It changes rarely, so a phone asks with the ETag that it has and mostly gets 304.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from flask import Blueprint, Response, request

from plytally.core.canonical import canonical
from plytally.core.likes import OWN_UNITS, setting_of
from plytally.web.desk import Desk
from plytally.web.shop import Shop

LIKES = frozenset({"dates", "clock", "units", *map(setting_of, OWN_UNITS)})


@dataclass(frozen=True)
class PrintRoute:
    """The route of the print."""

    shop: Shop
    desk: Desk

    def copy(self) -> Response:
        """The print and the words as they are now."""
        likes = {name: value for name, value in self.desk.settings.items() if name in LIKES}
        body = canonical({**self.shop.print_copy(), "likes": likes})
        response = Response(body, content_type="application/json")
        response.set_etag(hashlib.sha256(body).hexdigest())
        response.headers["Cache-Control"] = "private, no-cache"
        return response.make_conditional(request)  # type: ignore[return-value]


def blueprint(shop: Shop, desk: Desk) -> Blueprint:
    """The route, bound to one shop."""
    pages = Blueprint("print_copy", __name__)
    pages.add_url_rule("/api/print", "copy", PrintRoute(shop, desk).copy)
    return pages
