"""The desk's page of clocks: what runs and ran, whom the shop calls, and what is done about either.

GET  /api/desk/clocks     the clocks that run, those that ended, and whom is called
POST /api/desk/clocks     be done with one, or put it off
PUT  /api/desk/contact    the address that push services are told
"""

from __future__ import annotations

from dataclasses import dataclass

import structlog
from flask import Blueprint, Response, jsonify, request
from marshmallow import fields, validate

from plytally.core.clock import UUID7
from plytally.core.desk.asker import Asker
from plytally.remind.contact import MOST, PLACEHOLDER, keep_contact, kept_contact
from plytally.remind.subscriptions import Subscriptions
from plytally.web.desk import Desk
from plytally.web.phones import Phones
from plytally.web.problem import Problem
from plytally.web.schemas import Strict, load, whole
from plytally.web.shop import Shop
from plytally.workshop.clock_desk import DONE, LATER, ClockDesk, ClockGone

MOST_MINUTES = 24 * 60
DESK_NAME = "the desk"
log = structlog.get_logger(__name__)


def _id() -> fields.String:
    pattern = validate.Regexp(f"{UUID7.pattern}\\Z", error="must be a UUIDv7")
    return fields.String(required=True, validate=pattern)


class ClockAct(Strict):
    """What to do about a clock, and which setting of it the page shows."""

    key = _id()
    act = fields.String(required=True, validate=validate.OneOf([DONE, LATER]))
    entry = _id()
    call = _id()
    minutes = whole(1, MOST_MINUTES)


class ContactGiven(Strict):
    """An address, "" for none."""

    contact = fields.String(
        required=True,
        validate=[
            validate.Length(0, MOST),
            validate.Regexp(r"[!-~]*\Z", error="must be an address, without blanks"),
        ],
    )


@dataclass(frozen=True)
class ClockRoutes:
    """The routes of clocks at the desk."""

    shop: Shop
    work: ClockDesk
    desk: Desk
    phones: Phones

    def listed(self) -> Response:
        """What runs, what ran, whom is called."""
        before = request.args.get("before", "")
        if before and not (before.isascii() and before.isdecimal() and len(before) <= 15):
            raise Problem("invalid", f"before: {before!r} is no time; it is a whole number of milliseconds")
        told = self.work.told(int(before) if before else None)
        documents = self.shop.log.documents
        return jsonify(
            told
            | {
                "phones": [row.as_json() for row in Subscriptions(documents)],
                "devices": {phone.device: phone.name for phone in self.phones}
                | {self.shop.log.device: DESK_NAME},
                "contact": kept_contact(documents) or "",
                "placeholder": PLACEHOLDER,
            }
        )

    def act(self) -> Response:
        """Do one act; what was refused changed nothing."""
        wanted = load(ClockAct)
        asker = Asker(self.desk.settings["person"], str(wanted["key"]), wanted)
        try:
            minutes = int(wanted.get("minutes") or 0)
            kept = self.work.do(asker, wanted["act"], wanted["entry"], wanted["call"], minutes)
        except ClockGone as problem:
            raise Problem("changed", str(problem)) from problem
        log.info("clock_answered", act=wanted["act"], operations=len(kept))
        return jsonify(kept=list(kept))

    def contact(self) -> Response:
        """Keep the address; the next call is sent with it."""
        try:
            kept = keep_contact(self.shop.log.documents, load(ContactGiven)["contact"])
        except ValueError as problem:
            wrong = [{"field": "contact", "why": str(problem)}]
            raise Problem("invalid", str(problem), errors=wrong) from problem
        return jsonify(contact=kept)


def blueprint(shop: Shop, work: ClockDesk, desk: Desk, phones: Phones) -> Blueprint:
    """The routes, bound to one shop."""
    here, pages = ClockRoutes(shop, work, desk, phones), Blueprint("clocks", __name__)
    pages.add_url_rule("/api/desk/clocks", "listed", here.listed)
    pages.add_url_rule("/api/desk/clocks", "act", here.act, methods=["POST"])
    pages.add_url_rule("/api/desk/contact", "contact", here.contact, methods=["PUT"])
    return pages
