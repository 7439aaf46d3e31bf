"""The better ear for phones: what model this computer offers, and the archive it comes in.

    GET /api/model                   {"model": what it is, or null, "preparing": whether it is being packed}
    GET /model/<address>.tar.gz      the archive, in ranges

`lacks` are the words of this builder's phrasebook that the model has no sound for; the page cannot ask it.
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, jsonify, send_from_directory

from plytally.core.grammar import words_of
from plytally.core.listening import listening
from plytally.core.schedule import Schedule
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.vocabulary import from_schedule
from plytally.speech.phone_model import archive
from plytally.web.problem import Problem
from plytally.web.shop import Shop


@dataclass(frozen=True)
class ModelRoutes:
    """The routes of the phones' model."""

    shop: Shop

    def about(self) -> Response:
        """The model on offer."""
        offered = self.shop.phone_model
        if offered is None or offered.pack is None:
            return jsonify(model=None, preparing=offered is not None)
        lacks = list(offered.lacks(self._words()))
        return jsonify(model=offered.pack.as_json() | {"lacks": lacks}, preparing=False)

    def content(self, address: str) -> Response:
        """The archive; it never changes under its address."""
        offered = self.shop.phone_model
        if offered is None or offered.pack is None or offered.pack.address != address:
            raise Problem("not-found", "this computer offers no such model; ask again which one it offers")
        folder, kind = offered.into.resolve(), "application/gzip"
        response = send_from_directory(folder, archive(address), mimetype=kind, etag=False)
        response.headers["Cache-Control"] = "no-store"
        return response

    def _words(self) -> tuple[str, ...]:
        copy = self.shop.print_copy()
        printed = copy["print"]
        schedule = schedule_from_json(printed) if printed else Schedule(aircraft="", revision="")
        return words_of(listening(from_schedule(schedule, copy["words"])))


def blueprint(shop: Shop) -> Blueprint:
    """The routes, bound to one shop."""
    here, pages = ModelRoutes(shop), Blueprint("phone_model", __name__)
    pages.add_url_rule("/api/model", "about", here.about)
    pages.add_url_rule("/model/<address>.tar.gz", "content", here.content)
    return pages
