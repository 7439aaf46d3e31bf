"""The record of calls: what was about to be sent, and what became of it, each line durable in its turn.

    DATA/calls.jsonl    {"what":"begun","device":…,"call":…,"due":…,"at":…}, then
                        {"what":"sent","device":…,"call":…,"at":…,"status":201}

A line "begun" without an outcome is what kill -9 leaves: nobody knows whether the phone was reached, so the
call is sent again, marked as such, and the phone rings once for both (they have one name).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plytally.store.disk import Disk
from plytally.store.lines import JsonLines

CALLS_NAME = "calls.jsonl"
BEGUN, SENT, LATER, REFUSED, GONE = "begun", "sent", "later", "refused", "gone"
OVER = frozenset({SENT, REFUSED})
"""After one of these a call is not tried again; where the subscription is gone, by the next one."""


@dataclass(frozen=True, slots=True)
class Tried:
    """How far one call to one phone has come: the last line about it, and how often it was begun."""

    what: str
    at: int
    tries: int

    @property
    def is_over(self) -> bool:
        """Whether nothing more is to be done."""
        return self.what in OVER

    @property
    def was_cut(self) -> bool:
        """Whether it was begun, and no line says how that ended."""
        return self.what == BEGUN


class CallRecord:
    """The record in a data folder. One thread at a time may write; others may ask meanwhile."""

    def __init__(self, folder: Path, disk: Disk | None = None) -> None:
        self._lines = JsonLines(folder / CALLS_NAME, disk)
        self._tried: dict[tuple[str, str], Tried] = {}
        for row in self:
            self._count(row)

    def __iter__(self) -> Iterator[Mapping[str, Any]]:
        """Every line, the first one first."""
        return (
            row for row in self._lines if isinstance(row, dict) and {"what", "device", "call"} <= row.keys()
        )

    def of(self, device: str, call: str) -> Tried | None:
        """How far a call has come, None where it was never begun."""
        return self._tried.get((device, call))

    def begin(self, device: str, call: str, entry: str, due: int, at: int) -> None:
        """Write down, durably, that a call is about to be sent. Times are Unix milliseconds."""
        self._append({"what": BEGUN, "device": device, "call": call, "entry": entry, "due": due, "at": at})

    def end(self, what: str, device: str, call: str, at: int, status: int, why: str = "") -> None:
        """Write down, durably, what became of it."""
        row = {"what": what, "device": device, "call": call, "at": at, "status": status}
        self._append(row | ({"why": why} if why else {}))

    def _append(self, row: Mapping[str, Any]) -> None:
        self._lines.append(row)
        self._count(row)

    def _count(self, row: Mapping[str, Any]) -> None:
        key = (str(row["device"]), str(row["call"]))
        before = self._tried.get(key)
        tries = (before.tries if before else 0) + (row["what"] == BEGUN)
        self._tried[key] = Tried(str(row["what"]), int(row.get("at", 0)), tries)
