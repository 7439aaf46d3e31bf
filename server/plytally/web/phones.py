"""The paired phones: their tokens as digests, when they were last here, how wrong their clocks are."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from typing import Any

from tinydb import where

from plytally.clock import Clock
from plytally.core.wall import Wall
from plytally.remind.subscriptions import Subscriptions
from plytally.store.documents import Documents
from plytally.web.secret import digest, fresh_secret, same

TABLE = "phones"
SKEW_CHANGED_MS = 1_000
SEEN_EVERY_MS = 60 * 60 * 1000
"""`last_seen` on the medium may be this old, so that a sync does not cost a write of its own."""

_NOBODY = digest("nobody has this token")


@dataclass(frozen=True)
class Phone:
    """One paired phone. Times are RFC 3339; `revoked` is None while its token is good.

    `skew_ms`: how far its clock was ahead of this computer's at its last sync, None before the first.
    """

    device: str
    name: str
    token_sha256: str
    paired: str
    last_seen: str | None = None
    skew_ms: int | None = None
    revoked: str | None = None

    def as_json(self) -> dict[str, Any]:
        """What the desk may see: all but the token's digest."""
        return {name: value for name, value in asdict(self).items() if name != "token_sha256"}


class Phones:
    """The paired phones, kept in the documents; threads may share it."""

    def __init__(self, documents: Documents, clock: Clock) -> None:
        self._documents, self._clock = documents, clock
        self._mutex = threading.Lock()
        with documents.table(TABLE) as table:
            self._phones = {row["device"]: Phone(**row) for row in table.all()}
        self._kept_seen = dict.fromkeys(self._phones, 0)

    def __iter__(self) -> Iterator[Phone]:
        """Every phone, revoked ones too, in the order they were first paired."""
        return iter(list(self._phones.values()))

    def pair(self, device: str, name: str) -> str:
        """Pair a phone, or pair it again: its new token, told only here. Its older token is void.

        The token is `device.secret`; what is kept is the secret's SHA-256.
        """
        secret = fresh_secret()
        with self._mutex:
            self._keep(Phone(device, name, digest(secret), self._now()))
        return f"{device}.{secret}"

    def holder(self, token: str) -> Phone | None:
        """The phone that this token belongs to, revoked or not; None for a token that is not ours."""
        device, _, secret = token.partition(".")
        phone = self._phones.get(device)
        expected = phone.token_sha256 if phone else _NOBODY
        return phone if same(digest(secret), expected) else None

    def revoke(self, device: str) -> bool:
        """Void the phone's token for good, and call it no more; False if there is no such phone.

        What it recorded stays.
        """
        with self._mutex:
            phone = self._phones.get(device)
            if phone is not None and phone.revoked is None:
                self._keep(replace(phone, revoked=self._now()))
                Subscriptions(self._documents).drop(device)
        return phone is not None

    def seen(self, device: str, skew_ms: int) -> None:
        """Note that the phone synced, with its clock ahead by `skew_ms`."""
        with self._mutex:
            phone, now = self._phones[device], self._clock.now_millis()
            moved = phone.skew_ms is None or abs(phone.skew_ms - skew_ms) > SKEW_CHANGED_MS
            if moved or abs(now - self._kept_seen.get(device, 0)) > SEEN_EVERY_MS:
                self._keep(replace(phone, last_seen=self._now(), skew_ms=skew_ms))
                self._kept_seen[device] = now

    def _keep(self, phone: Phone) -> None:
        """Durably, then in memory; what the documents refuse does not count."""
        with self._documents.table(TABLE) as table:
            table.upsert(asdict(phone), where("device") == phone.device)
        self._phones[phone.device] = phone

    def _now(self) -> str:
        return str(Wall(self._clock.now_millis(), self._clock.offset_min()))
