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
from plytally.store.disk import GROWING, Disk, RealDisk, write_all
from plytally.store.errors import telling

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
        self._path, self._disk = path, disk or RealDisk()
        self._mutex = threading.Lock()
        self._seen = {_digest(one.sender, one.raw) for one in self}

    def keep(self, raw: Any, why: Sequence[str], sender: str, received_millis: int) -> None:
        """Keep `raw`, durably, unless this sender sent the same before."""
        digest = _digest(sender, raw)
        line = {"from": sender, "raw": raw, "received": str(Wall(received_millis, 0)), "why": list(why)}
        with self._mutex, telling("writing", self._path):
            if digest not in self._seen:
                self._append(json.dumps(line, sort_keys=True).encode("ascii"))
                self._seen.add(digest)

    def __iter__(self) -> Iterator[Unreadable]:
        lines = self._path.read_bytes().splitlines() if self._path.exists() else []
        for line in lines:
            try:
                raw = json.loads(line)
                yield Unreadable(raw["from"], raw["received"], tuple(raw["why"]), raw["raw"])
            except (ValueError, LookupError, TypeError):
                continue

    def _append(self, line: bytes) -> None:
        """Add a line; it begins with a line end, so that what a power cut left before it stays apart."""
        fresh = not self._path.exists()
        fd = self._disk.open(self._path, GROWING)
        try:
            write_all(self._disk, fd, b"\n" + line + b"\n")
            self._disk.sync(fd)
        finally:
            self._disk.close(fd)
        if fresh:
            self._disk.sync_folder(self._path.parent)


def _digest(sender: str, raw: Any) -> str:
    return hashlib.sha256(json.dumps([sender, raw], sort_keys=True).encode("ascii")).hexdigest()
