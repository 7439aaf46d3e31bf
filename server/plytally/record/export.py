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
    disk, step = disk or RealDisk(), progress or (lambda done, total: None)
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise ExportRefused(f"{target} is there and not empty; choose a new folder")
    addresses = sorted(reading.media)
    total, done = len(addresses) + len(TABLES) + 2, 0
    with telling("exporting to", target):
        ensure_folder(disk, target / MEDIA)
        sums = {LOG: _write(disk, target / LOG, _log_lines(reading))}
        step(done := done + 1, total)
        for name, (head, rows) in TABLES.items():
            file = f"{name}.csv"
            sums[file] = _write(disk, target / file, csv_lines(head, rows(content)))
            step(done := done + 1, total)
        sums |= _lists(disk, reading, target)
        for address in addresses:
            first = reading.media.read(address)
            _write(disk, target / MEDIA / f"{address}{_ending(first)}", [first])
            step(done := done + 1, total)
        about = {
            "form": FORM,
            "lines": reading.head.seq,
            "head": reading.head.hash,
            "entries": len(content.entries),
            "media": len(addresses),
            "files": sums,
        }
        _write(disk, target / ABOUT, [json.dumps(about, indent=1, sort_keys=True).encode() + b"\n"])
        disk.sync_folder(target / MEDIA)
        disk.sync_folder(target)
        step(total, total)
    return about


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


def _lists(disk: Disk, reading: Reading, target: Path) -> dict[str, str]:
    """The print, and the builder's own lists, where there are any."""
    sums, print_file = {}, reading.print_file()
    if print_file is not None:
        name = f"print{print_file.suffix}"
        sums[name] = _write(disk, target / name, [print_file.read_bytes()])
    stock = reading.table("stock")
    lists = ((WORDS, reading.table("words")), (STOCK, stock[-1]["list"] if stock else None))
    for name, rows in lists:
        if rows:
            text = json.dumps(rows, indent=1, sort_keys=True, ensure_ascii=False)
            sums[name] = _write(disk, target / name, [text.encode("utf-8") + b"\n"])
    return sums


def _write(disk: Disk, path: Path, pieces: Iterable[bytes]) -> str:
    """Write a file and wait for the medium; the SHA-256 of what was written."""
    fd, total = disk.open(path, FRESH), hashlib.sha256()
    try:
        for piece in _larger(pieces):
            total.update(piece)
            write_all(disk, fd, piece)
        disk.sync(fd)
    finally:
        disk.close(fd)
    return total.hexdigest()


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
