"""The whole log in a folder that anyone can read, and that `importing` makes the same log from.

    log.jsonl        every line of the log as it is, in the order of the chain
    media/           sounds and photos, each named by its SHA-256 and an ending for its kind
    entries.csv      every entry; changes.csv every change; plies.csv asked against laid
    print.yaml|csv   the layup schedule that counts; words.json, stock.json: the builder's own lists
    about.json       how much there is, and the SHA-256 of each file; written last, so none is cut short

It reads the data folder without its lock, up to the line that was the last when it began.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from plytally.record.cells import csv_lines
from plytally.record.content import Content
from plytally.record.errors import ExportRefused
from plytally.record.reading import Progress, Reading
from plytally.record.tables import TABLES
from plytally.store.disk import FRESH, Disk, RealDisk, ensure_folder, write_all
from plytally.store.errors import telling
from plytally.store.line import parse
from plytally.store.verify import journal_files

LOG, ABOUT, MEDIA = "log.jsonl", "about.json", "media"
WORDS, STOCK = "words.json", "stock.json"
FORM = "plytally export, form 1"
PIECE = 1 << 20
ENDINGS = {
    b"\xff\xd8\xff": ".jpg",
    b"\x89PNG": ".png",
    b"RIFF": ".wav",
    b"OggS": ".ogg",
    b"\x1aE\xdf\xa3": ".webm",
    b"fLaC": ".flac",
}


class Export:
    """An export as the files that it is made of, one after the other; `about` is what about.json says.

    `files` gives each name with its bytes in pieces, which must be taken to their end before the next file.
    """

    def __init__(self, reading: Reading, content: Content, progress: Progress | None = None) -> None:
        self._reading, self._content = reading, content
        self._step = progress or (lambda done, total: None)
        self._addresses = sorted(reading.media)
        self._sums: dict[str, str] = {}
        self.about: dict[str, Any] = {}

    def files(self) -> Iterator[tuple[str, Iterator[bytes]]]:
        """Every file, about.json the last, so that an export that was cut short has none."""
        listed = list(self._listed())
        total, done = len(listed) + len(self._addresses) + 1, 0
        for name, pieces in listed:
            yield name, self._summed(name, pieces)
            self._step(done := done + 1, total)
        for address in self._addresses:
            content = self._reading.media.read(address)
            yield f"{MEDIA}/{address}{_ending(content)}", iter([content])
            self._step(done := done + 1, total)
        self.about = self._told()
        yield ABOUT, iter([json.dumps(self.about, indent=1, sort_keys=True).encode() + b"\n"])
        self._step(total, total)

    def _listed(self) -> Iterator[tuple[str, Iterable[bytes]]]:
        yield LOG, _log_lines(self._reading)
        for name, (head, rows) in TABLES.items():
            yield f"{name}.csv", csv_lines(head, rows(self._content))
        yield from _lists(self._reading)

    def _summed(self, name: str, pieces: Iterable[bytes]) -> Iterator[bytes]:
        total = hashlib.sha256()
        for piece in _larger(pieces):
            total.update(piece)
            yield piece
        self._sums[name] = total.hexdigest()

    def _told(self) -> dict[str, Any]:
        return {
            "form": FORM,
            "lines": self._reading.head.seq,
            "head": self._reading.head.hash,
            "entries": len(self._content.entries),
            "media": len(self._addresses),
            "files": self._sums,
        }


def export(
    reading: Reading,
    content: Content,
    target: Path,
    progress: Progress | None = None,
    disk: Disk | None = None,
) -> dict[str, Any]:
    """Write the export into a new or empty folder; what stands in its about.json.

    ExportRefused where the folder holds something.
    """
    disk = disk or RealDisk()
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise ExportRefused(f"{target} is there and not empty; choose a new folder")
    made = Export(reading, content, progress)
    with telling("exporting to", target):
        ensure_folder(disk, target / MEDIA)
        for name, pieces in made.files():
            if name == ABOUT:
                disk.sync_folder(target / MEDIA)
            _write(disk, target / name, pieces)
        disk.sync_folder(target)
    return made.about


def _log_lines(reading: Reading) -> Iterator[bytes]:
    """The log's own lines, those that came since it was read left out."""
    left = reading.head.seq
    for path in journal_files(reading.folder):
        with path.open("rb") as lines:
            for line in lines:
                if left <= 0:
                    return
                left -= 1
                yield line
                if left == 0 and parse(line).hash != reading.head.hash:
                    raise ExportRefused(f"{path} changed while it was read; run 'plytally verify'")


def _lists(reading: Reading) -> Iterator[tuple[str, Iterable[bytes]]]:
    """The print, and the builder's own lists, where there are any."""
    print_file = reading.print_file()
    if print_file is not None:
        yield f"print{print_file.suffix}", [print_file.read_bytes()]
    stock = reading.table("stock")
    lists = ((WORDS, reading.table("words")), (STOCK, stock[-1]["list"] if stock else None))
    for name, rows in lists:
        if rows:
            text = json.dumps(rows, indent=1, sort_keys=True, ensure_ascii=False)
            yield name, [text.encode("utf-8") + b"\n"]


def _write(disk: Disk, path: Path, pieces: Iterable[bytes]) -> None:
    """Write a file and wait for the medium."""
    fd = disk.open(path, FRESH)
    try:
        for piece in pieces:
            write_all(disk, fd, piece)
        disk.sync(fd)
    finally:
        disk.close(fd)


def _larger(pieces: Iterable[bytes]) -> Iterator[bytes]:
    """The same bytes in pieces of about a megabyte, so that a row does not cost a write."""
    held, size = list[bytes](), 0
    for piece in pieces:
        held.append(piece)
        size += len(piece)
        if size >= PIECE:
            yield b"".join(held)
            held, size = [], 0
    yield b"".join(held)


def _ending(content: bytes) -> str:
    return next((ending for mark, ending in ENDINGS.items() if content.startswith(mark)), "")
