"""How a phone asks to be called for clocks that are due.

GET    /api/calls         the shop's public key to subscribe with, and what this phone chose
PUT    /api/calls         subscribe, renew, or choose otherwise
DELETE /api/calls         no more calls
"""

from __future__ import annotations

import base64
from dataclasses import dataclass
from typing import Any

from cryptography.hazmat.primitives.asymmetric import ec
from flask import Blueprint, Response, jsonify
from marshmallow import fields, validate

from plytally.remind.contact import kept_contact
from plytally.remind.keys import PushKey, push_key
from plytally.remind.subscriptions import EVERY_KIND, Subscription, Subscriptions
from plytally.web.access import caller
from plytally.web.problem import Problem
from plytally.web.schemas import Strict, Truth, load, whole
from plytally.web.shop import Shop

ENDPOINT_MOST = 2000
DAY_MIN = 24 * 60


class Keys(Strict):
    """The phone's keys: a point on P-256, uncompressed, and 16 bytes, each base64url."""

    p256dh = fields.String(required=True, validate=validate.Regexp(r"[A-Za-z0-9_-]{87}=?\Z"))
    auth = fields.String(required=True, validate=validate.Regexp(r"[A-Za-z0-9_-]{22}(==)?\Z"))


class Calls(Strict):
    """A phone's subscription and choice; `quiet` are minutes of the day, from and until."""

    endpoint = fields.String(required=True, validate=validate.Length(1, ENDPOINT_MOST))
    keys = fields.Nested(Keys, required=True)
    kinds = fields.List(
        fields.String(validate=validate.OneOf(EVERY_KIND)),
        load_default=list(EVERY_KIND),
        validate=validate.Length(max=len(EVERY_KIND)),
    )
    quiet = fields.List(
        whole(0, DAY_MIN - 1), load_default=None, allow_none=True, validate=validate.Length(equal=2)
    )
    detail = Truth(load_default=False)


@dataclass(frozen=True)
class CallRoutes:
    """The routes of calls."""

    shop: Shop
    subscriptions: Subscriptions
    key: PushKey

    def mine(self) -> Response:
        """What this phone needs to subscribe, and what it chose."""
        return self._told(self.subscriptions.of(caller().device))

    def choose(self) -> Response:
        """Keep a phone's subscription and choice, durably."""
        asked = load(Calls)
        if problem := self.shop.endpoint_problem(asked["endpoint"]) or _key_problem(asked["keys"]["p256dh"]):
            raise Problem("invalid", problem, errors=[{"field": "endpoint", "why": problem}])
        quiet = asked["quiet"]
        row = Subscription(
            caller().device,
            asked["endpoint"],
            asked["keys"]["p256dh"],
            asked["keys"]["auth"],
            self.key.public,
            self.shop.clock.now_millis(),
            tuple(dict.fromkeys(asked["kinds"])),
            None if quiet is None else (quiet[0], quiet[1]),
            asked["detail"],
        )
        self.subscriptions.keep(row)
        return self._told(row)

    def leave(self) -> tuple[str, int]:
        """Call this phone no more."""
        self.subscriptions.drop(caller().device)
        return "", 204

    def _told(self, row: Subscription | None) -> Response:
        contact = bool(kept_contact(self.shop.log.documents))
        told: dict[str, Any] = {"key": self.key.public, "kinds": list(EVERY_KIND), "mine": None}
        told["contact"] = contact
        if row is not None:
            told["mine"] = row.as_json() | {"renew": not row.endpoint or row.key != self.key.public}
        return jsonify(told)


def _key_problem(p256dh: str) -> str:
    try:
        ec.EllipticCurvePublicKey.from_encoded_point(
            ec.SECP256R1(), base64.urlsafe_b64decode(p256dh.rstrip("=") + "=")
        )
    except ValueError:
        return "the phone's key is no point on P-256: subscribe anew"
    return ""


def blueprint(shop: Shop) -> Blueprint:
    """The routes, bound to one shop; the key is made at the first start."""
    here = CallRoutes(shop, Subscriptions(shop.log.documents), push_key(shop.log.folder))
    pages = Blueprint("calls", __name__)
    pages.add_url_rule("/api/calls", "mine", here.mine)
    pages.add_url_rule("/api/calls", "choose", here.choose, methods=["PUT"])
    pages.add_url_rule("/api/calls", "leave", here.leave, methods=["DELETE"])
    return pages
