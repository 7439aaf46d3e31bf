"""The phone's copy of the print: the layup schedule that counts, and the builder's own words.

    GET /api/print     {"print": the schedule or null, "words": {list: {name: [said as, ...]}}}

It changes rarely, so a phone asks with the ETag that it has and mostly gets 304.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from flask import Blueprint, Response, request

from plytally.core.canonical import canonical
from plytally.web.shop import Shop


@dataclass(frozen=True)
class PrintRoute:
    """The route of the print."""

    shop: Shop

    def copy(self) -> Response:
        """The print and the words as they are now."""
        body = canonical(dict(self.shop.print_copy()))
        response = Response(body, content_type="application/json")
        response.set_etag(hashlib.sha256(body).hexdigest())
        response.headers["Cache-Control"] = "private, no-cache"
        return response.make_conditional(request)  # type: ignore[return-value]


def blueprint(shop: Shop) -> Blueprint:
    """The route, bound to one shop."""
    pages = Blueprint("print_copy", __name__)
    pages.add_url_rule("/api/print", "copy", PrintRoute(shop).copy)
    return pages
