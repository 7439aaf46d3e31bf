"""The door to push services: one message to one subscription, and what the service said.

    PushSender       the port
    WebPushSender    pywebpush: encrypted for the phone alone (RFC 8291), signed by the shop (RFC 8292)

Nothing is raised for what a push service or the network does; it is an Answer.
"""

from __future__ import annotations

import base64
import hashlib
import ipaddress
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from email.utils import parsedate_to_datetime
from typing import Any, Protocol
from urllib.parse import urlsplit

import requests
from pywebpush import WebPushException, webpush

from plytally.core.clock_kinds import ClockKind
from plytally.remind.keys import PushKey
from plytally.remind.subscriptions import Subscription

TIMEOUT_S = 10.0
NO_ANSWER = 0
_NUMBER = re.compile(r"\d+|0x[0-9a-f]*")
"""A name whose last part is a number is read as an address (URL Standard, 3.5)."""

_LOCAL = (".local", ".lan", ".internal", ".home.arpa", "localhost")


@dataclass(frozen=True)
class Answer:
    """A push service's answer: its HTTP status (0 for none), and for how long it asks to be left alone."""

    status: int
    retry_after_s: float | None = None
    why: str = ""


class PushSender(Protocol):
    """Sends one message, within a time that is bounded."""

    def send(self, to: Subscription, message: bytes, kind: ClockKind, call: str) -> Answer:
        """What the push service said."""


class WebPushSender:
    """By the open protocol; `contact` gives the mailto: or https: address that push services are told."""

    def __init__(self, key: PushKey, contact: Callable[[], str], timeout_s: float = TIMEOUT_S) -> None:
        self._key, self._contact, self._timeout = key, contact, timeout_s

    def send(self, to: Subscription, message: bytes, kind: ClockKind, call: str) -> Answer:
        """Encrypt, sign and send; a hang is no answer."""
        try:
            answer = webpush(
                {"endpoint": to.endpoint, "keys": {"p256dh": to.p256dh, "auth": to.auth}},
                message,
                vapid_private_key=self._key.vapid,
                vapid_claims={"sub": self._contact()},  # fresh each time: pywebpush writes into it
                ttl=kind.ttl_s,
                timeout=self._timeout,
                headers={"Urgency": kind.urgency, "Topic": topic(call)},
                requests_session=_Unredirected(),
            )
        except WebPushException as problem:
            return _refused(problem)
        except (requests.RequestException, OSError) as problem:
            return Answer(NO_ANSWER, why=type(problem).__name__)
        except ValueError as problem:  # keys that are none: the phone must subscribe anew
            return Answer(410, why=f"its keys cannot be used: {problem}")
        return Answer(answer.status_code if not isinstance(answer, str) else NO_ANSWER)


class _Unredirected(requests.Session):
    """A push service that sends us elsewhere is not followed."""

    def request(self, *args: Any, **how: Any) -> requests.Response:
        """As requests does it, but stay where the phone said."""
        return super().request(*args, **{**how, "allow_redirects": False})


def topic(call: str) -> str:
    """The name under which a push service keeps only the newest message (RFC 8030, 5.4)."""
    return base64.urlsafe_b64encode(hashlib.sha256(call.encode()).digest()).decode("ascii")[:32]


def endpoint_problem(endpoint: str) -> str:
    """Why this may not be where messages go: "" if it may. Push services are https, out on the internet."""
    try:
        parts = urlsplit(endpoint)
        host, port = parts.hostname or "", parts.port
    except ValueError:
        return "the endpoint is no URL"
    if parts.scheme != "https" or not host or parts.username is not None or port == 0:
        return "the endpoint must be an https: URL of a push service"
    named = unicodedata.normalize("NFKC", host).rstrip(".")
    if "." not in named or named.endswith(_LOCAL) or _is_own_network(named):
        return f"{host} is no push service on the internet"
    return ""


def _is_own_network(host: str) -> bool:
    """An address that is not of the internet, or a short form of one, as 127.1 and 0x7f.1 are."""
    try:
        return not ipaddress.ip_address(host).is_global
    except ValueError:
        return _NUMBER.fullmatch(host.rpartition(".")[2]) is not None


def _refused(problem: WebPushException) -> Answer:
    response = problem.response
    if response is None:
        return Answer(410, why="its keys cannot be used")
    return Answer(
        response.status_code, _seconds(response.headers.get("Retry-After"), response), response.text[:200]
    )


def _seconds(text: str | None, response: Any) -> float | None:
    """Retry-After as seconds: a number, or an HTTP date seen against the answer's own Date."""
    if text is None:
        return None
    if text.strip().isdecimal():
        return float(text)
    try:
        then, now = parsedate_to_datetime(text), parsedate_to_datetime(response.headers.get("Date", ""))
        return max(0.0, (then - now).total_seconds())
    except (TypeError, ValueError):
        return None
