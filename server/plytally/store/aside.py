"""What arrived and could not be taken into the log: kept as it came, with the reasons, for the desk.

    aside.jsonl   {"from":…,"raw":…,"received":…,"why":[…]}, one line each, only ever appended

A phone that sends the same thing again and again makes one line.
"""

from __future__ import annotations

import hashlib
import json
import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plytally.core.wall import Wall
from plytally.store.disk import Disk
from plytally.store.lines import JsonLines

ASIDE_NAME = "aside.jsonl"


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Something that is no operation: who sent it, when it came, why it was refused, and the thing itself."""

    sender: str
    received: str
    why: tuple[str, ...]
    raw: Any


class AsideFile:
    """The file of what could not be taken. A torn last line is passed over on reading."""

    def __init__(self, path: Path, disk: Disk | None = None) -> None:
        self._lines = JsonLines(path, disk)
        self._mutex = threading.Lock()
        self._seen = {_digest(one.sender, one.raw) for one in self}

    def keep(self, raw: Any, why: Sequence[str], sender: str, received_millis: int) -> None:
        """Keep `raw`, durably, unless this sender sent the same before."""
        digest = _digest(sender, raw)
        line = {"from": sender, "raw": raw, "received": str(Wall(received_millis, 0)), "why": list(why)}
        with self._mutex:
            if digest not in self._seen:
                self._lines.append(line)
                self._seen.add(digest)

    def __iter__(self) -> Iterator[Unreadable]:
        for raw in self._lines:
            try:
                yield Unreadable(raw["from"], raw["received"], tuple(raw["why"]), raw["raw"])
            except (LookupError, TypeError):
                continue


def _digest(sender: str, raw: Any) -> str:
    return hashlib.sha256(json.dumps([sender, raw], sort_keys=True).encode("ascii")).hexdigest()
