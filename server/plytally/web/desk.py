"""The desk: one passphrase (argon2), and sessions in the browser that can be ended from here.

A session is a random secret in a cookie; kept is its digest, so that a copy of the documents opens nothing.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from tinydb import where

from plytally.clock import Clock
from plytally.core.likes import CLOCKS, DATES, OWN_UNITS, UNITS, Likes, setting_of
from plytally.store.documents import Documents
from plytally.web.problem import Problem
from plytally.web.secret import digest, fresh_secret

PASSPHRASE_LEAST, PASSPHRASE_MOST = 12, 256
IDLE_MS = 12 * 60 * 60 * 1000
WHOLE_MS = 30 * 24 * 60 * 60 * 1000
MOST_SESSIONS = 20
SETTINGS, SESSIONS = "desk_settings", "desk_sessions"
_SEEN_EVERY_MS = 10 * 60 * 1000

DEFAULTS: Mapping[str, Any] = {
    "photo_places": False,
    "person": "builder",
    "dates": DATES[0],
    "clock": CLOCKS[0],
    "units": UNITS[0],
    **{setting_of(dimension): "" for dimension in OWN_UNITS},
}
"""Every setting with its default.

`photo_places`: serve photos with the place they were taken at; else it is left out of what is served.
`person`: the role of who sits at the desk, written beside all that is done there.
`dates`: how a day is written. `clock`: a time of day, "24" or "12" hours. `units`: amounts as they were said,
or with metric or inch units beside them; `unit_length` and its like name one for one kind of amount, "" none.
"""


class PassphraseError(ValueError):
    """A passphrase that cannot be taken; the message says why."""


@dataclass(frozen=True)
class Session:
    """One signed-in browser: digest of its cookie, the token its pages send against forged requests."""

    sha256: str
    csrf: str
    begun: int
    seen: int


class Desk:
    """The desk's passphrase, sessions and settings, kept in the documents; threads may share it."""

    def __init__(self, documents: Documents, clock: Clock, hasher: PasswordHasher | None = None) -> None:
        self._documents, self._clock = documents, clock
        self._hasher = hasher or PasswordHasher()
        self._mutex, self._hashing = threading.Lock(), threading.Lock()
        with documents.table(SESSIONS) as table:
            self._sessions = {row["sha256"]: Session(**row) for row in table.all()}
        with documents.table(SETTINGS) as table:
            self._settings: dict[str, Any] = {row["name"]: row["value"] for row in table.all()}

    @property
    def has_passphrase(self) -> bool:
        """Whether a passphrase was ever set."""
        return "passphrase" in self._settings

    @property
    def settings(self) -> dict[str, Any]:
        """The builder's settings, each with its default where it was not set."""
        return {name: self._settings.get(name, default) for name, default in DEFAULTS.items()}

    @property
    def likes(self) -> Likes:
        """How days, times and amounts are to be written."""
        return Likes.of(self.settings)

    def set_passphrase(self, passphrase: str) -> None:
        """Set or change the passphrase; every session ends. PassphraseError if it is too short or long."""
        if not PASSPHRASE_LEAST <= len(passphrase) <= PASSPHRASE_MOST:
            raise PassphraseError(
                f"a passphrase has {PASSPHRASE_LEAST} to {PASSPHRASE_MOST} characters, this one has "
                f"{len(passphrase)}; four or five words of your own are good"
            )
        with self._hashing:
            hashed = self._hasher.hash(passphrase)
        self.set("passphrase", hashed)
        self._write(lambda sessions: sessions.clear())

    def set(self, name: str, value: Any) -> None:
        """Keep one setting."""
        with self._mutex:
            with self._documents.table(SETTINGS) as table:
                table.upsert({"name": name, "value": value}, where("name") == name)
            self._settings[name] = value

    def sign_in(self, passphrase: str) -> tuple[str, Session]:
        """The secret for a new cookie and its session; Problem if the passphrase is wrong or none is set."""
        if not self.has_passphrase:
            raise Problem(
                "no-passphrase",
                "the desk has no passphrase yet: set one with 'plytally desk' on the shop computer",
            )
        if not self.opens(passphrase):
            raise Problem(
                "wrong-passphrase",
                "that is not the desk's passphrase; try again, or set another on the computer",
            )
        secret, now = fresh_secret(), self._clock.now_millis()
        session = Session(digest(secret), fresh_secret(), now, now)
        self._write(lambda sessions: sessions.update({session.sha256: session}))
        return secret, session

    def opens(self, passphrase: str) -> bool:
        """Whether this is the passphrase. One at a time: each check takes 64 MiB, by design of argon2."""
        with self._hashing:
            try:
                return self._hasher.verify(self._settings["passphrase"], passphrase[: PASSPHRASE_MOST + 1])
            except (VerificationError, InvalidHashError, KeyError):
                return False

    def session(self, secret: str) -> Session | None:
        """The session of a cookie, None if it ended or is not ours."""
        found, now = self._sessions.get(digest(secret)), self._clock.now_millis()
        if found is None or not _lives(found, now):
            return None
        if abs(now - found.seen) > _SEEN_EVERY_MS:
            found = replace(found, seen=now)
            self._write(lambda sessions: sessions.update({found.sha256: found}))
        return found

    def sign_out(self, session: Session) -> None:
        """End this session."""
        self._write(lambda sessions: sessions.pop(session.sha256, None))

    def _write(self, change: Callable[[dict[str, Session]], object]) -> None:
        """Change the sessions, durably first; those past their end, or too many, go."""
        with self._mutex:
            now, fresh = self._clock.now_millis(), dict(self._sessions)
            change(fresh)
            living = sorted((s for s in fresh.values() if _lives(s, now)), key=lambda s: s.seen)[
                -MOST_SESSIONS:
            ]
            with self._documents.table(SESSIONS) as table:
                table.truncate()
                table.insert_multiple([asdict(session) for session in living])
            self._sessions = {session.sha256: session for session in living}


def _lives(session: Session, now: int) -> bool:
    return abs(now - session.seen) <= IDLE_MS and abs(now - session.begun) <= WHOLE_MS
