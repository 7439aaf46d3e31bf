"""Pairing: the desk opens a code, the phone gives it back and gets its own token; the desk lists and revokes.

The QR code holds `URL/install#code=…&ca=…`. What stands behind `#` never leaves the phone: the page reads
the code there, and the fingerprint of the authority to compare.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

import segno
import structlog
from flask import Blueprint, Response, jsonify

from plytally.store.log import OWN_DEVICE
from plytally.web.access import caller
from plytally.web.codes import SECONDS, TRIES, Codes
from plytally.web.earlier_phone import earlier, remember
from plytally.web.phones import Phones
from plytally.web.problem import Problem
from plytally.web.schemas import Pair, load
from plytally.web.shop import Shop

log = structlog.get_logger(__name__)


@dataclass(frozen=True)
class Pairing:
    """The routes of pairing."""

    shop: Shop
    phones: Phones
    codes: Codes

    def open_code(self) -> tuple[Response, int]:
        """A new code for the desk's screen, with the QR code as SVG."""
        invitation = invite(self.shop, self.codes)
        log.info("code_opened")
        return jsonify(invitation | {"qr_svg": qr_svg(invitation["url"])}), 201

    def pair(self) -> tuple[Response, int]:
        """Give a phone that knows the code its own token."""
        asked = load(Pair)
        if asked["device"].startswith(OWN_DEVICE):
            why = "is this computer's own kind of name; a phone takes another"
            raise Problem("invalid", f"device: {why}", errors=[{"field": "device", "why": why}])
        before = earlier(self.shop.log, self.phones, asked["device"])
        with self.codes.redeem(asked["code"]):
            token = self.phones.pair(asked["device"], asked["name"])
        log.info("phone_paired", device=asked["device"])
        told: dict[str, Any] = {
            "token": token,
            "device": asked["device"],
            "epoch": self.shop.log.journal.epoch,
        }
        told["before"] = before
        response = jsonify(told | {"server_time": self.shop.clock.now_millis()})
        remember(response, asked["device"])
        return response, 201

    def all_phones(self) -> Response:
        """Every phone, for the desk."""
        return jsonify(phones=[phone.as_json() for phone in self.phones])

    def revoke(self, device: str) -> tuple[str, int]:
        """Void a phone's token."""
        if not self.phones.revoke(device):
            raise Problem("not-found", f"no phone is called {device!r}; the list of phones shows their names")
        log.info("phone_revoked", device=device)
        return "", 204

    def me(self) -> Response:
        """What the server knows of the phone that asks: a true ping, and which of its numbers are here."""
        device = caller().device
        phone = next(phone for phone in self.phones if phone.device == device)
        tally = self.shop.log.state.devices.get(device)
        told: dict[str, Any] = phone.as_json() | {"epoch": self.shop.log.journal.epoch}
        return jsonify(
            told
            | {"numbers": tally.as_json() if tally else None, "server_time": self.shop.clock.now_millis()}
        )


def invite(shop: Shop, codes: Codes) -> dict[str, Any]:
    """Open a code and give what to show: the code to type, the URL for the QR code, and for how long."""
    code = codes.open()
    parts = {"code": code} | ({"ca": shop.authority.fingerprint} if shop.authority else {})
    url = f"{shop.url}/install#{urlencode(parts)}"
    return {"code": code, "url": url, "seconds": SECONDS, "tries": TRIES}


def qr_svg(content: str) -> str:
    """A QR code as SVG without styles or scripts, dark on light with its quiet zone."""
    return segno.make(content, error="m", micro=False).svg_inline(
        scale=5, border=4, light="white", omitsize=True
    )


def qr_text(content: str) -> str:
    """A QR code for a terminal, two modules to a character."""
    matrix = [list(row) for row in segno.make(content, error="l", micro=False).matrix_iter(border=4)]
    matrix += [[0] * len(matrix[0])] * (len(matrix) % 2)
    blocks = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}
    pairs = zip(matrix[::2], matrix[1::2], strict=True)
    return "\n".join(
        "".join(blocks[(int(a != 0), int(b != 0))] for a, b in zip(top, bottom, strict=True))
        for top, bottom in pairs
    )


def blueprint(shop: Shop, phones: Phones, codes: Codes) -> Blueprint:
    """The routes, bound to one shop."""
    here, pages = Pairing(shop, phones, codes), Blueprint("pairing", __name__)
    pages.add_url_rule("/api/pair", "pair", here.pair, methods=["POST"])
    pages.add_url_rule("/api/pairings", "open_code", here.open_code, methods=["POST"])
    pages.add_url_rule("/api/phones", "phones", here.all_phones)
    pages.add_url_rule("/api/phones/<device>", "revoke", here.revoke, methods=["DELETE"])
    pages.add_url_rule("/api/phone", "me", here.me)
    return pages
