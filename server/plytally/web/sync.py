"""Sync: one request. "Here are my operations and my cursor" - "here is what you lack, and what I refuse".

What is listed in `kept` is on the medium; what is in `refused` is not in the log, but its bytes are kept
beside it for the desk, so that nothing is lost. The same request twice changes nothing.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import structlog
from flask import Blueprint, Response

from plytally.clock import Clock
from plytally.store.line import Record
from plytally.store.log import BuildLog
from plytally.store.port import Refusal
from plytally.web.access import MB, caller
from plytally.web.allowance import NOTES_A_DAY, Allowance
from plytally.web.phones import Phones
from plytally.web.problem import Problem
from plytally.web.schemas import Sync, load

BODY_OPENED = 8 * MB
"""The largest request after decompression."""

ANSWER_BYTES = 4 * MB
"""A page of operations ends before it grows larger than this, but has at least one."""

log = structlog.get_logger(__name__)


@dataclass(frozen=True)
class Page:
    """What a phone lacks, as far as one answer goes."""

    records: tuple[Record, ...]
    seq: int
    more: bool


@dataclass(frozen=True)
class SyncRoute:
    """The route of sync."""

    log: BuildLog
    phones: Phones
    clock: Clock
    allowance: Allowance

    def sync(self) -> Response:
        """Take in, then hand out."""
        asked = load(Sync, BODY_OPENED)
        now, device = self.clock.now_millis(), caller().device
        if asked["device"] != device:
            why = f"this token is of {device!r}, the request of {asked['device']!r}"
            raise Problem("not-allowed", why)
        kept, refused = self._take_in(asked["operations"], device)
        page = self._page(asked["cursor"], asked["limit"], frozenset(kept))
        skew = asked["now"] - now
        self.phones.seen(device, skew)
        log.info("synced", device=device, kept=len(kept), refused=len(refused), given=len(page.records))
        head = {
            "cursor": {"epoch": self.log.journal.epoch, "seq": page.seq},
            "kept": kept,
            "more": page.more,
            "received": [record.received_millis for record in page.records],
            "refused": [{"id": refusal.id, "why": refusal.why} for refusal in refused],
            "server_time": self.clock.now_millis(),
            "skew_ms": skew,
        }
        return Response(_with_operations(head, page), content_type="application/json")

    def _take_in(self, raws: list[Any], device: str) -> tuple[list[str], list[Refusal]]:
        """Append what is new. Only what this adds to the disk counts: the same again does not."""
        if raws:
            self.allowance.check(device, 1)
        own, foreign = list[Any](), list[Refusal]()
        for raw in raws:
            if isinstance(raw, Mapping) and raw.get("device", device) != device:
                foreign.append(self._not_its_own(raw, device))
            else:
                own.append(raw)
        appended = self.log.receive(own, device)
        put_aside = {one.id for one in (*foreign, *appended.refused)}
        added = sum(len(record.operation.to_bytes()) for record in appended.records)
        self.allowance.took(device, added + sum(_size(raw) for raw in raws if _id(raw) in put_aside))
        kept = [record.operation.id for record in appended.records] + list(appended.known)
        return kept, [*foreign, *appended.refused]

    def _not_its_own(self, raw: Mapping[str, Any], device: str) -> Refusal:
        why = f"a phone sends its own operations only; this one is of another device than {device!r}"
        self.log.aside.keep(raw, (why,), device, self.clock.now_millis())
        return Refusal(str(raw.get("id", "")), why)

    def _page(self, cursor: Mapping[str, Any] | None, limit: int, has: frozenset[str]) -> Page:
        """What comes behind the cursor, without what this very request showed the phone to have.

        A cursor of another epoch, or beyond the head, is of another log: the phone begins at 0.
        """
        head, after = self.log.journal.head.seq, 0
        if cursor and cursor["epoch"] == self.log.journal.epoch and cursor["seq"] <= head:
            after = cursor["seq"]
        records, size = list[Record](), 0
        for record in self.log.journal.read(after, limit):
            if record.operation.id not in has:
                size += len(record.operation.to_bytes())
                if records and size > ANSWER_BYTES:
                    break
                records.append(record)
            after = record.seq
        return Page(tuple(records), after, after < head)


def _id(raw: Any) -> str:
    return str(raw.get("id", "")) if isinstance(raw, Mapping) else ""


def _size(raw: Any) -> int:
    return len(json.dumps(raw))


def _with_operations(head: Mapping[str, Any], page: Page) -> bytes:
    """The answer as JSON; the operations go in as the canonical bytes they are."""
    text = json.dumps(head, separators=(",", ":")).encode("ascii")
    return text[:-1] + b',"operations":[' + b",".join(r.operation.to_bytes() for r in page.records) + b"]}"


def blueprint(build_log: BuildLog, phones: Phones, clock: Clock) -> Blueprint:
    """The route, bound to one log."""
    pages = Blueprint("sync", __name__)
    here = SyncRoute(build_log, phones, clock, Allowance(clock, NOTES_A_DAY, "notes"))
    pages.add_url_rule("/api/sync", "sync", here.sync, methods=["POST"])
    return pages
