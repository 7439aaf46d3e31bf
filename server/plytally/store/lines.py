"""A file of JSON lines beside the log that only grows.

A line is on the medium when `append` returns. It begins with a line end, so that what a power cut left of
the one before stays apart; such a rest is passed over on reading.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from plytally.store.disk import GROWING, Disk, RealDisk, write_all
from plytally.store.errors import telling

_BACK = 64 * 1024


class JsonLines:
    """One such file, made with its first line. One thread at a time may append."""

    def __init__(self, path: Path, disk: Disk | None = None) -> None:
        self._path, self._disk = path, disk or RealDisk()

    def append(self, row: Mapping[str, Any]) -> None:
        """Add a row, durably. StoreFull and others: it may not be there, and those before it are."""
        line = json.dumps(row, sort_keys=True).encode("ascii")
        fresh = not self._path.exists()
        with telling("writing", self._path):
            fd = self._disk.open(self._path, GROWING)
            try:
                write_all(self._disk, fd, b"\n" + line + b"\n")
                self._disk.sync(fd)
            finally:
                self._disk.close(fd)
            if fresh:
                self._disk.sync_folder(self._path.parent)

    def __iter__(self) -> Iterator[Any]:
        """Every line that is JSON, in the order they came."""
        return (row for _, row in self.from_place(0))

    def from_place(self, place: int) -> Iterator[tuple[int, Any]]:
        """Every line that is JSON from this place in the file on, each with the place behind it."""
        if not self._path.exists():
            return
        with self._path.open("rb") as lines:
            lines.seek(place)
            for line in lines:
                if not line.endswith(b"\n"):
                    return  # it is being written, or was cut off
                place += len(line)
                try:
                    yield place, json.loads(line)
                except ValueError:
                    continue

    def before(self, place: int) -> Any:
        """The line that ends at this place."""
        with self._path.open("rb") as lines:
            start = max(0, place - _BACK)
            while True:
                lines.seek(start)
                found = lines.read(place - start).removesuffix(b"\n")
                if b"\n" in found or start == 0:
                    return json.loads(found.rpartition(b"\n")[2])
                start = max(0, start - _BACK)
