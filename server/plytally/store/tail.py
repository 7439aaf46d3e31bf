"""Reading a month's file from its start, and what to do about the end that a power cut tore.

Torn means: behind the last whole line there is a rest without a line end, or with the zero bytes of
blocks that never reached the disk, and no whole line follows it. Such a rest was never acknowledged; it
is copied to `quarantine/`, then cut off. Anything else that is wrong is damage, and is left as it is.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from plytally.store.disk import Disk, ensure_folder, write_all, write_file
from plytally.store.errors import JournalDamaged
from plytally.store.line import Head, LineError, Record, follows, parse

QUARANTINE = "quarantine"
_MONTH = re.compile(r"\d{4}-(0[1-9]|1[0-2])\.jsonl")


@dataclass(frozen=True, slots=True)
class Scanned:
    """A record as read from a file, with the bytes its line takes there."""

    record: Record
    size: int


def month_files(folder: Path) -> list[Path]:
    """The log's files in the order of the chain."""
    return sorted(path for path in folder.iterdir() if _MONTH.fullmatch(path.name))


def scan_file(disk: Disk, path: Path, head: Head, last: bool, remarks: list[str]) -> Iterator[Scanned]:
    """Every record of a file that continues the chain at `head`; the torn end of the last file is cut.

    JournalDamaged tells file, line and what is wrong. What was mended is added to `remarks`.
    """
    offset = number = 0
    with path.open("rb") as lines:
        for line in lines:
            number += 1
            whole = line if line.endswith(b"\n") or not last else line + b"\n"
            try:
                record = parse(whole)
            except LineError as problem:
                if last and is_torn(line + lines.read()):
                    _cut(disk, path, offset, remarks)
                    return
                raise JournalDamaged(path, number, str(problem)) from problem
            if why := follows(record, head):
                raise JournalDamaged(path, number, why)
            if whole != line:
                _finish(disk, path)
            head, offset = record.head, offset + len(whole)
            yield Scanned(record, len(whole))
            if whole != line:
                return  # what reading on would find is the line end just written


def is_torn(rest: bytes) -> bool:
    """Whether these bytes behind the last whole line are what a cut write leaves behind."""
    if rest.endswith(b"\n") and b"\0" not in rest:
        return False
    return not any(map(is_whole, rest.splitlines(keepends=True)))


def is_whole(line: bytes) -> bool:
    """Whether this is a whole line of the log, its own hash right."""
    try:
        return parse(line) is not None
    except LineError:
        return False


def _cut(disk: Disk, path: Path, offset: int, remarks: list[str]) -> None:
    with path.open("rb") as file:
        file.seek(offset)
        torn = file.read()
    kept = _put_beside(disk, path, offset, torn)
    fd = disk.open(path, os.O_WRONLY)
    try:
        disk.truncate(fd, offset)
        disk.sync(fd)
    finally:
        disk.close(fd)
    remarks.append(f"{path}: the last {len(torn)} bytes were never finished; they are kept in {kept}")


def _put_beside(disk: Disk, path: Path, offset: int, torn: bytes) -> Path:
    folder = path.parent / QUARANTINE
    ensure_folder(disk, folder)
    count = 1
    while (kept := folder / f"{path.name}.{offset}.{count}.torn").exists() and kept.read_bytes() != torn:
        count += 1
    write_file(disk, kept, torn)
    disk.sync_folder(folder)
    return kept


def _finish(disk: Disk, path: Path) -> None:
    """Give the last line the line end that is all it lacks."""
    fd = disk.open(path, os.O_WRONLY | os.O_APPEND)
    try:
        write_all(disk, fd, b"\n")
        disk.sync(fd)
    finally:
        disk.close(fd)
