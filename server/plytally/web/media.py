"""Sounds and photos on their way out: by their SHA-256 alone, checked when read, photos without their place.

The type is read from the bytes, never taken from a name, and nothing is ever served as a page or script.
"""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass

from flask import Blueprint, Response, jsonify, request, send_file

from plytally.store.media import MediaFolder
from plytally.web.desk import Desk
from plytally.web.photos import PhotoError, facts, small, without_place
from plytally.web.problem import Problem
from plytally.web.sniff import type_of

SIDE = 320


@dataclass(frozen=True)
class Media:
    """The routes of media."""

    media: MediaFolder
    desk: Desk

    def original(self, address: str) -> Response:
        """A sound as it came; a photo without its place, unless the builder wants it."""
        content = self.media.read(address)
        kind = type_of(content)
        if kind.startswith("image/") and not self.desk.settings["photo_places"]:
            content, kind = self._placeless(content)
        return _sent(content, kind, address, "private, no-cache")

    def small(self, address: str) -> Response:
        """A small upright JPEG of a photo; `?side=` gives its larger side in pixels."""
        text = request.args.get("side", str(SIDE))
        try:
            made = small(self.media.read(address), int(text) if text.isdecimal() and len(text) < 6 else 0)
        except PhotoError as problem:
            raise Problem("not-found", f"there is no small picture of this: {problem}") from problem
        return _sent(made, "image/jpeg", address, "private, max-age=31536000, immutable")

    def about(self, address: str) -> Response:
        """Type and size, and what a photo says of its time and orientation."""
        content = self.media.read(address)
        kind = type_of(content)
        told = {"media": address, "mime": kind, "size": len(content), "photo": None}
        if kind.startswith("image/"):
            try:
                told["photo"] = facts(content).as_json()
            except PhotoError as problem:
                told["remark"] = str(problem)
        return jsonify(told)

    def _placeless(self, content: bytes) -> tuple[bytes, str]:
        try:
            return without_place(content)
        except PhotoError as problem:
            raise Problem(
                "damaged",
                f"the place cannot be taken out of this photo, so it is not handed out: {problem}. "
                "The bytes are kept as they came",
            ) from problem


def _sent(content: bytes, kind: str, address: str, caching: str) -> Response:
    ending = kind.partition("/")[2].partition(";")[0]
    response = send_file(
        io.BytesIO(content),
        mimetype=kind,
        download_name=f"{address[:12]}.{ending}",
        conditional=True,
        etag=hashlib.sha256(content).hexdigest(),
    )
    response.headers["Cache-Control"] = caching
    response.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return response


def blueprint(media: MediaFolder, desk: Desk) -> Blueprint:
    """The routes, bound to one folder of media."""
    here, pages = Media(media, desk), Blueprint("media", __name__)
    pages.add_url_rule("/api/media/<address>", "original", here.original)
    pages.add_url_rule("/api/media/<address>/small", "small", here.small)
    pages.add_url_rule("/api/media/<address>/about", "about", here.about)
    return pages
