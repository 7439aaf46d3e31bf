"""Who may call what, how often, and with how large a body: one row for each route, checked before it runs.

    nobody   no token, or one that is not ours
    phone    a paired phone, by `Authorization: Bearer <token>`
    visitor  whoever holds the link of a visit that is open: it reads the routes of that visit, nothing else
    desk     a signed-in browser, by its cookie; or a program of this user on this machine, by the local key

A route without a row stops `create_app`: what was forgotten is closed, not open.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from flask import Flask, g, request

from plytally.core.telling import day_told
from plytally.web.buckets import Buckets, Rate
from plytally.web.desk import Desk, Session
from plytally.web.phones import Phones
from plytally.web.problem import Problem
from plytally.web.secret import same
from plytally.web.visits import Visits

COOKIE, SECURE_COOKIE = "plytally-desk", "__Host-plytally-desk"
CSRF_HEADER = "X-Plytally-Csrf"
KB, MB = 1024, 1024 * 1024
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


class Role(Enum):
    """What a caller is to the shop."""

    NOBODY = "nobody"
    PHONE = "phone"
    DESK = "desk"
    VISITOR = "visitor"


@dataclass(frozen=True)
class Caller:
    """Who asks: a phone by its device name, a desk by its session (None for the local key).

    A visitor's `device` is the id of the visit.
    """

    role: Role
    device: str = ""
    session: Session | None = None

    @property
    def owner(self) -> str:
        """Whose uploads these are: the phone's own, or the desk's."""
        return f"{self.role.value} {self.device}" if self.device else self.role.value


NOBODY = Caller(Role.NOBODY)
ANYONE = frozenset(Role)
PAIRED = frozenset({Role.PHONE, Role.DESK})
PHONE = frozenset({Role.PHONE})
DESK = frozenset({Role.DESK})
VISITOR = frozenset({Role.VISITOR})

OFTEN, CHUNKS = Rate(120, 600), Rate(240, 1200)
GUESSES = Rate(10, 10)
SELDOM = Rate(3, 3)


NO_VISIT = "this link was ended, is past its day, or never was one: ask the builder for another"


@dataclass(frozen=True)
class Row:
    """One route's row: who, how often for one caller, and the body's limit in bytes as sent."""

    who: frozenset[Role]
    rate: Rate = OFTEN
    body: int = 16 * KB


ROUTES: Mapping[str, Row] = {
    "static": Row(ANYONE),
    "health.health": Row(ANYONE),
    "openapi.document": Row(ANYONE),
    "app_shell.front": Row(ANYONE),
    "app_shell.desk": Row(ANYONE),
    "app_shell.file": Row(ANYONE),
    "app_shell.inside": Row(ANYONE, CHUNKS),
    "print_copy.copy": Row(PHONE),
    "phone_model.about": Row(PHONE),
    "phone_model.content": Row(PHONE, CHUNKS),
    "calls.mine": Row(PHONE),
    "calls.choose": Row(PHONE),
    "calls.leave": Row(PHONE),
    "clocks.listed": Row(DESK),
    "clocks.act": Row(DESK),
    "clocks.contact": Row(DESK),
    "install.page": Row(ANYONE),
    "install.certificate": Row(ANYONE),
    "pairing.pair": Row(ANYONE, GUESSES),
    "pairing.open_code": Row(DESK),
    "pairing.phones": Row(DESK),
    "pairing.revoke": Row(DESK),
    "pairing.me": Row(PHONE),
    "desk.sign_in": Row(ANYONE, GUESSES),
    "desk.session": Row(DESK),
    "desk.sign_out": Row(DESK),
    "desk.change_passphrase": Row(DESK, GUESSES),
    "desk.settings": Row(DESK),
    "desk.change_settings": Row(DESK),
    "find.find": Row(DESK),
    "day.days": Row(DESK),
    "day.day": Row(DESK),
    "day.entry": Row(DESK),
    "day.act": Row(DESK, OFTEN, 64 * KB),
    "day.meaning": Row(DESK, OFTEN),
    "day.words": Row(DESK),
    "day.teach": Row(DESK),
    "day.taught": Row(DESK),
    "day.set_standing": Row(DESK),
    "pictures.overview": Row(DESK),
    "pictures.part": Row(DESK),
    "pictures.work": Row(DESK),
    "pictures.stores": Row(DESK),
    "records.begin": Row(DESK),
    "records.state": Row(DESK, CHUNKS),
    "records.pdf": Row(DESK),
    "records.table": Row(DESK),
    "carry.begin_export": Row(DESK),
    "carry.export_state": Row(DESK, CHUNKS),
    "carry.export_file": Row(DESK),
    "carry.begin_import": Row(DESK),
    "carry.piece": Row(DESK, CHUNKS, 8 * MB),
    "carry.take_in": Row(DESK),
    "carry.import_state": Row(DESK, CHUNKS),
    "visits.listed": Row(DESK),
    "visits.open": Row(DESK),
    "visits.revoke": Row(DESK),
    "visit.page": Row(VISITOR),
    "visit.photo": Row(VISITOR, CHUNKS),
    "visit.pdf": Row(VISITOR, SELDOM),
    "print_desk.shown": Row(DESK),
    "print_desk.compare": Row(DESK, OFTEN, 8 * MB),
    "print_desk.take": Row(DESK, OFTEN, 8 * MB),
    "print_desk.text": Row(DESK),
    "print_desk.table": Row(DESK),
    "print_desk.checklist": Row(DESK),
    "voices.mine": Row(PHONE),
    "voices.read": Row(PHONE),
    "voices.learn": Row(PHONE),
    "voices.switch": Row(PHONE),
    "voices.forget": Row(PHONE),
    "voices.means": Row(PHONE),
    "voices.listed": Row(DESK),
    "voices.learn_of": Row(DESK),
    "voices.switch_of": Row(DESK),
    "voices.forget_of": Row(DESK),
    "voices.ways": Row(DESK),
    "sync.sync": Row(PHONE, OFTEN, 4 * MB),
    "tus.options": Row(ANYONE),
    "tus.create": Row(PAIRED, CHUNKS),
    "tus.upload": Row(PAIRED, CHUNKS, 8 * MB),
    "media.original": Row(PAIRED, CHUNKS),
    "media.small": Row(PAIRED, CHUNKS),
    "media.about": Row(PAIRED, CHUNKS),
}


@dataclass(frozen=True)
class Gate:
    """Checks every request against its row before the route runs, and leaves the caller in `g.caller`."""

    phones: Phones
    desk: Desk
    buckets: Buckets
    local_key: str
    visits: Visits

    def check(self) -> None:
        """Refuse the request with a Problem, or let it through."""
        g.caller = NOBODY
        row = ROUTES.get(request.endpoint or "")
        if row is None:
            return  # no such route: Flask answers 404 or 405
        request.max_content_length = row.body
        caller, refusal = self._visitor() if row.who == VISITOR else self._caller()
        g.caller, g.who = caller, caller.role.value
        self._limit(row)
        if caller.role not in row.who:
            raise refusal or _not_for(caller)
        if caller.session is not None and row.who != ANYONE and request.method not in SAFE:
            _same_page(caller.session)  # what anyone may do is not done by the session's right

    def _caller(self) -> tuple[Caller, Problem | None]:
        """Who asks, and if nobody, how to tell them why."""
        kind, _, token = request.headers.get("Authorization", "").partition(" ")
        if kind.lower() == "bearer":
            return self._bearer(token.strip())
        cookie = request.cookies.get(SECURE_COOKIE if request.is_secure else COOKIE, "")
        session = self.desk.session(cookie) if cookie else None
        return (Caller(Role.DESK, session=session), None) if session else (NOBODY, None)

    def _visitor(self) -> tuple[Caller, Problem | None]:
        """Who holds this link. What is no link any more is answered like what never was one."""
        visit = self.visits.holder((request.view_args or {}).get("token", ""))
        if visit is None:
            return NOBODY, _unauthorized("no-visit", NO_VISIT)
        return Caller(Role.VISITOR, visit.id), None

    def _bearer(self, token: str) -> tuple[Caller, Problem | None]:
        if same(token, self.local_key):
            return Caller(Role.DESK), None
        phone = self.phones.holder(token)
        if phone is None:
            return NOBODY, _unauthorized("not-paired", "this token is not of a paired phone: pair again")
        if phone.revoked:
            return NOBODY, _unauthorized(
                "revoked",
                f"the desk revoked this phone on {day_told(phone.revoked)}: "
                "pair again, nothing on it is lost",
            )
        return Caller(Role.PHONE, phone.device), None

    def _limit(self, row: Row) -> None:
        rate = GUESSES if row.who == VISITOR and g.caller == NOBODY else row.rate
        key = (rate, request.endpoint, g.caller.owner, "" if g.caller.device else request.remote_addr)
        wait = self.buckets.take(key, rate)
        if wait:
            raise Problem(
                "too-often",
                f"too many requests of this kind; wait {int(wait) + 1} seconds",
                headers={"Retry-After": str(int(wait) + 1)},
            )


def register(app: Flask, gate: Gate) -> None:
    """Put the gate before every route."""
    app.before_request(gate.check)


def check_rows(app: Flask) -> None:
    """Raise LookupError unless ROUTES and the app's routes are the same set."""
    endpoints = {rule.endpoint for rule in app.url_map.iter_rules()}
    if endpoints != ROUTES.keys():
        raise LookupError(
            f"routes without a row: {sorted(endpoints - ROUTES.keys())}; "
            f"rows without a route: {sorted(ROUTES.keys() - endpoints)}"
        )


def caller() -> Caller:
    """Who asks, once the gate has let the request through."""
    found: Caller = g.caller
    return found


def _same_page(session: Session) -> None:
    """A signed-in browser must prove that our own page asks: a forged form cannot read the token."""
    if not same(request.headers.get(CSRF_HEADER, ""), session.csrf):
        raise Problem("cross-site", f"the header {CSRF_HEADER} must carry the token of this session")


def _not_for(asker: Caller) -> Problem:
    if asker.role is not Role.NOBODY:
        return Problem("not-allowed", f"this is not for a {asker.role.value}")
    if request.path.startswith("/api/desk") or ROUTES[request.endpoint or ""].who == DESK:
        return _unauthorized("not-signed-in", "sign in at the desk first")
    return _unauthorized("not-paired", "pair this phone first: the desk shows a code")


def _unauthorized(kind: str, detail: str) -> Problem:
    return Problem(kind, detail, headers={"WWW-Authenticate": 'Bearer realm="plytally"'})
