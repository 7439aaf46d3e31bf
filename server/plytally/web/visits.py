"""Visits: read-only looks at chosen parts that the builder opens for an inspector, each by a link of its own.

The link holds 256 random bits; what is kept is their SHA-256, so that a copy of the documents opens nothing.
A visit ends by itself on its day, or when the desk revokes it; its row stays, so that it can be told later.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from tinydb import where

from plytally.clock import Clock, fresh_id
from plytally.core.entry import Place
from plytally.core.wall import Wall
from plytally.record.content import Scope
from plytally.store.documents import Documents
from plytally.web.secret import digest, fresh_secret

TABLE = "visits"
LEAST_DAYS, MOST_DAYS, USUAL_DAYS = 1, 90, 14
MOST_PARTS, MOST_NAME = 100, 60
DAY_MS = 24 * 60 * 60 * 1000
SEEN_EVERY_MS = 60 * 1000
"""`last_seen` on the medium may be this old, so that a look does not cost a write for each photo."""


@dataclass(frozen=True)
class Visit:
    """One visit. `parts` are (part, side), "" for both sides; times are RFC 3339 but `ends`, in Unix ms."""

    id: str
    name: str
    parts: tuple[tuple[str, str], ...]
    sha256: str
    made: str
    expires: str
    ends: int
    revoked: str | None = None
    last_seen: str | None = None

    @property
    def scope(self) -> Scope:
        """What may be seen. A visit names its parts; without any it would be of nothing."""
        return Scope(tuple(Place(part, side) for part, side in self.parts))

    def as_json(self, now: int) -> dict[str, Any]:
        """What the desk may see: all but the digest."""
        state = "revoked" if self.revoked else "over" if now >= self.ends else "open"
        told = {
            name: value for name, value in asdict(self).items() if name not in ("sha256", "ends", "parts")
        }
        parts = [{"part": part, "side": side} for part, side in self.parts]
        return told | {"parts": parts, "told": self.scope.told, "state": state}


class Visits:
    """The visits, kept in the documents; threads may share it."""

    def __init__(self, documents: Documents, clock: Clock) -> None:
        self._documents, self._clock, self._mutex = documents, clock, threading.Lock()
        with documents.table(TABLE) as table:
            rows = table.all()
        self._visits = {row["id"]: _read(row) for row in rows}
        self._seen_kept: dict[str, int] = {}

    def __iter__(self) -> Iterator[Visit]:
        """Every visit, those that are over too, the newest first."""
        return iter(sorted(self._visits.values(), key=lambda visit: visit.id, reverse=True))

    def open(self, name: str, parts: Sequence[Place], days: int) -> tuple[str, Visit]:
        """A new visit and the secret of its link, told only here. ValueError for no parts or odd days."""
        if not parts or not all(place.part for place in parts) or len(parts) > MOST_PARTS:
            raise ValueError(f"name 1 to {MOST_PARTS} parts that may be seen")
        if not LEAST_DAYS <= days <= MOST_DAYS:
            raise ValueError(f"a visit lasts {LEAST_DAYS} to {MOST_DAYS} days, not {days}")
        secret, now = fresh_secret(), self._clock.now_millis()
        ends = now + days * DAY_MS
        named = tuple(dict.fromkeys((place.part, place.side) for place in parts))
        visit = Visit(
            fresh_id(self._clock), name, named, digest(secret), self._wall(now), self._wall(ends), ends
        )
        with self._mutex:
            self._keep(visit)
        return secret, visit

    def holder(self, secret: str) -> Visit | None:
        """The visit that a link opens now; None if it never did, was revoked, or is over."""
        found, now = digest(secret), self._clock.now_millis()
        for visit in list(self._visits.values()):
            if visit.sha256 == found:  # digests of 256 random bits: their comparison tells nothing
                return visit if visit.revoked is None and now < visit.ends else None
        return None

    def revoke(self, visit_id: str) -> bool:
        """End a visit now; False if there is no such visit."""
        with self._mutex:
            visit = self._visits.get(visit_id)
            if visit is not None and visit.revoked is None:
                self._keep(replace(visit, revoked=self._wall(self._clock.now_millis())))
        return visit is not None

    def seen(self, visit: Visit) -> None:
        """Note that the link was used."""
        now = self._clock.now_millis()
        with self._mutex:
            if abs(now - self._seen_kept.get(visit.id, 0)) > SEEN_EVERY_MS and visit.id in self._visits:
                self._seen_kept[visit.id] = now
                self._keep(replace(self._visits[visit.id], last_seen=self._wall(now)))

    def _keep(self, visit: Visit) -> None:
        """Durably, then in memory; what the documents refuse does not count."""
        with self._documents.table(TABLE) as table:
            table.upsert(asdict(visit), where("id") == visit.id)
        self._visits[visit.id] = visit

    def _wall(self, millis: int) -> str:
        return str(Wall(millis, self._clock.offset_min()))


def _read(row: dict[str, Any]) -> Visit:
    return Visit(**{**row, "parts": tuple((part, side) for part, side in row["parts"])})
