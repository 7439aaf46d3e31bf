"""Whom to call and how: one row a phone, in the documents.

A row outlives its subscription: when a push service ends that, the phone's choice stays for the next one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from tinydb import where

from plytally.core.clock_kinds import CLOCKS, OWN
from plytally.store.documents import Documents

TABLE = "calls"
EVERY_KIND = (*CLOCKS, OWN.name)


@dataclass(frozen=True)
class Subscription:
    """One phone's way to be called, and its choice.

    `endpoint` is "" while it has none; `key` the shop's public key it was made with. `kinds` are those that
    call; `quiet` the minutes of the day from which and until which only pressing ones do, None for never.
    `detail`: whether a lock screen may show what a clock is for. `since`: Unix milliseconds from which on it
    wants calls. `alarm` says why calls fail and someone has to look.
    """

    device: str
    endpoint: str
    p256dh: str
    auth: str
    key: str
    since: int
    kinds: tuple[str, ...] = EVERY_KIND
    quiet: tuple[int, int] | None = None
    detail: bool = False
    alarm: str = ""

    def wants(self, kind: str) -> bool:
        """Whether this phone is to be called for clocks of this kind."""
        return bool(self.endpoint) and kind in self.kinds

    def is_quiet(self, minute: int) -> bool:
        """Whether this minute of the local day lies in its quiet hours, which may go over midnight."""
        if self.quiet is None:
            return False
        start, end = self.quiet
        return start <= minute < end if start <= end else minute >= start or minute < end

    def as_json(self) -> dict[str, Any]:
        """What the phone and the desk may see of it: not the secrets by which it is written to."""
        return {
            "device": self.device,
            "active": bool(self.endpoint),
            "kinds": list(self.kinds),
            "quiet": None if self.quiet is None else list(self.quiet),
            "detail": self.detail,
            "alarm": self.alarm,
        }


class Subscriptions:
    """The rows, read from the documents each time, so that everyone sees the same."""

    def __init__(self, documents: Documents) -> None:
        self._documents = documents

    def __iter__(self) -> Iterator[Subscription]:
        """Every row."""
        with self._documents.table(TABLE) as table:
            rows = [_of(row) for row in table.all()]
        return iter(rows)

    def of(self, device: str) -> Subscription | None:
        """The row of a phone, None where it never asked to be called."""
        return next((row for row in self if row.device == device), None)

    def keep(self, row: Subscription) -> None:
        """Durably, in place of the phone's row before; `since` stays that of the first one."""
        before = self.of(row.device)
        if before is not None:
            row = replace(row, since=before.since)
        self._write(row)

    def ended(self, device: str, endpoint: str, why: str) -> None:
        """The push service ended a subscription; one that the phone has renewed meanwhile stays."""
        row = self.of(device)
        if row is not None and row.endpoint == endpoint:
            self._write(replace(row, endpoint="", p256dh="", auth="", alarm=why))

    def alarm(self, device: str, why: str) -> None:
        """Note why calls to a phone fail, or "" when one went through."""
        row = self.of(device)
        if row is not None and row.alarm != why:
            self._write(replace(row, alarm=why))

    def drop(self, device: str) -> None:
        """Forget a phone's subscription and choice."""
        with self._documents.table(TABLE) as table:
            table.remove(where("device") == device)

    def alarms(self) -> dict[str, str]:
        """By phone, why calls to it fail."""
        return {row.device: row.alarm for row in self if row.alarm and row.endpoint}

    def _write(self, row: Subscription) -> None:
        with self._documents.table(TABLE) as table:
            table.upsert(asdict(row), where("device") == row.device)


def _of(row: Mapping[str, Any]) -> Subscription:
    quiet = row["quiet"]
    return Subscription(
        **{**row, "kinds": tuple(row["kinds"]), "quiet": None if quiet is None else (quiet[0], quiet[1])}
    )
