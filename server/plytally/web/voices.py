"""A phone's voice: what there is to read aloud, what was learnt from it, on or off, forgotten.

GET    /api/voice                       the sentences, which were read, how the voice does, names hard to hear
PUT    /api/voice/readings              a sentence was read: its recording, sent by tus before, by address
POST   /api/voice/learn                 learn it now from all that there is
PATCH  /api/voice                       hear by it, or not
DELETE /api/voice                       forget it
GET    /api/voice/means                 what an engine hears by (Sphinx "means"), for the phone's own hearing
GET    /api/desk/voices                 every phone's voice; PATCH, DELETE and POST …/learn with its name
GET    /api/desk/entries/<id>/ways      pronunciations that a corrected entry's sound speaks for
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, jsonify, request
from marshmallow import fields, validate

from plytally.speech.port import SpeechError
from plytally.web.access import caller
from plytally.web.phones import Phones
from plytally.web.problem import Problem
from plytally.web.schemas import Strict, Truth, load
from plytally.web.shop import Shop
from plytally.workshop.bench import Bench
from plytally.workshop.desk_ways import ways_proposed
from plytally.workshop.voices import NoSuchSentence, Voices

NOT_HEARING = "this server was started with --no-hear, so it learns nothing; start it without"
LONGEST_SENTENCE = 300


class Reading(Strict):
    """A sentence as it stood on the page, and the SHA-256 of the recording of it."""

    text = fields.String(required=True, validate=validate.Length(1, LONGEST_SENTENCE))
    media = fields.String(required=True, validate=validate.Regexp(r"[0-9a-f]{64}\Z"))


class OnOff(Strict):
    """Whether to hear by the voice."""

    on = Truth(required=True)


@dataclass(frozen=True)
class VoiceRoutes:
    """The routes of voices."""

    shop: Shop
    bench: Bench
    phones: Phones
    voices: Voices

    def mine(self) -> Response:
        """The voice of the phone that asks."""
        return self._told(caller().device)

    def read(self) -> Response:
        """Keep that a sentence was read, durably."""
        asked = load(Reading)
        if asked["media"] not in self.shop.log.media:
            wrong = [{"field": "media", "why": "this recording is not here yet: send it first"}]
            raise Problem("invalid", wrong[0]["why"], errors=wrong)
        try:
            self.voices.read(caller().device, asked["text"], asked["media"])
        except NoSuchSentence as problem:
            wrong = [{"field": "text", "why": str(problem)}]
            raise Problem("invalid", str(problem), errors=wrong) from problem
        return self.mine()

    def learn(self) -> tuple[Response, int]:
        """Learn this phone's voice."""
        return self._learn(caller().device)

    def switch(self) -> Response:
        """Hear this phone by its voice, or not."""
        return self._switch(caller().device)

    def forget(self) -> Response:
        """Forget this phone's voice."""
        self.voices.forget(caller().device)
        return self.mine()

    def means(self) -> Response:
        """What the phone's own engine may hear by."""
        file = self.voices.file_of(caller().device)
        if file is None:
            raise Problem("not-found", "no voice of this phone is learnt, it does not help, or it is off")
        content = file.read_bytes()
        response = Response(content, content_type="application/octet-stream")
        response.set_etag(hashlib.sha256(content).hexdigest())
        response.headers["Cache-Control"] = "private, no-cache"
        return response.make_conditional(request)  # type: ignore[return-value]

    def listed(self) -> Response:
        """Every phone's voice."""
        names = {phone.device: phone.name for phone in self.phones}
        told = [each | {"name": names.get(each["device"], each["device"])} for each in self.voices.all()]
        return jsonify(voices=told)

    def learn_of(self, device: str) -> tuple[Response, int]:
        """Learn a phone's voice."""
        return self._learn(self._known(device))

    def switch_of(self, device: str) -> Response:
        """Hear a phone by its voice, or not."""
        return self._switch(self._known(device))

    def forget_of(self, device: str) -> tuple[str, int]:
        """Forget a phone's voice."""
        self.voices.forget(self._known(device))
        return "", 204

    def ways(self, entry_id: str) -> Response:
        """Pronunciations that a corrected entry's sound speaks for."""
        if self.shop.ways_said is None:
            self.bench.log.entry(entry_id)  # a wrong id is told first
            return jsonify(ways=[], why=NOT_HEARING)
        try:
            return jsonify(ways=ways_proposed(self.bench, self.shop.ways_said, entry_id), why="")
        except SpeechError as problem:
            return jsonify(ways=[], why=str(problem))

    def _known(self, device: str) -> str:
        if not self.voices.knows(device):
            raise Problem("not-found", f"nothing is known of a voice of {device!r}")
        return device

    def _learn(self, device: str) -> tuple[Response, int]:
        if self.shop.learn_voices is None:
            raise Problem("cannot", NOT_HEARING)
        self.voices.want(device)
        self.shop.learn_voices()
        return self._told(device), 202

    def _switch(self, device: str) -> Response:
        self.voices.switch(device, on=load(OnOff)["on"])
        return self._told(device)

    def _told(self, device: str) -> Response:
        told: dict[str, Any] = self.voices.told(device)
        return jsonify(told)


def blueprint(shop: Shop, bench: Bench, phones: Phones) -> Blueprint:
    """The routes, bound to one shop."""
    here, pages = VoiceRoutes(shop, bench, phones, Voices(bench)), Blueprint("voices", __name__)
    mine, of = "/api/voice", "/api/desk/voices/<device>"
    pages.add_url_rule(mine, "mine", here.mine)
    pages.add_url_rule(mine, "switch", here.switch, methods=["PATCH"])
    pages.add_url_rule(mine, "forget", here.forget, methods=["DELETE"])
    pages.add_url_rule(f"{mine}/readings", "read", here.read, methods=["PUT"])
    pages.add_url_rule(f"{mine}/learn", "learn", here.learn, methods=["POST"])
    pages.add_url_rule(f"{mine}/means", "means", here.means)
    pages.add_url_rule("/api/desk/voices", "listed", here.listed)
    pages.add_url_rule(of, "switch_of", here.switch_of, methods=["PATCH"])
    pages.add_url_rule(of, "forget_of", here.forget_of, methods=["DELETE"])
    pages.add_url_rule(f"{of}/learn", "learn_of", here.learn_of, methods=["POST"])
    pages.add_url_rule("/api/desk/entries/<entry_id>/ways", "ways", here.ways)
    return pages
