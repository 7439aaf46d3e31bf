"""A log made from an export: the same lines, sounds and photos, byte for byte, or nothing at all.

Everything is looked at before anything counts: each line's form, content, hash and place in the chain, each
file's name, kind, size and hash. The log is built beside its place and moved there at the end. It gets an
epoch of its own, as another copy of the log does, so that phones notice.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import stat
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plytally.core.wall import Wall
from plytally.record.errors import ImportRefused
from plytally.record.export import ABOUT, FORM, LOG, MEDIA
from plytally.record.reading import Progress
from plytally.store.disk import FRESH, Disk, RealDisk, ensure_folder, write_all, write_file
from plytally.store.errors import MediaRefused, telling
from plytally.store.journal import EPOCH_NAME, JOURNAL_NAME
from plytally.store.line import EMPTY, Head, LineError, Record, follows, parse, strict_problem
from plytally.store.media import MEDIA_NAME, MediaFolder

MOST_LINE = 300 * 1024
MOST_MEDIUM = 128 * 1024 * 1024
MOST_SMALL = 4 * 1024 * 1024
_MEDIUM = re.compile(r"(?P<address>[0-9a-f]{64})(\.[a-z0-9]{1,8})?")


@dataclass(frozen=True, slots=True)
class Imported:
    """What came in: how many lines, how many sounds and photos, and the last line's hash."""

    lines: int
    media: int
    head: Head


def import_log(
    source: Path,
    folder: Path,
    fresh_epoch: Callable[[], str],
    progress: Progress | None = None,
    disk: Disk | None = None,
) -> Imported:
    """Make a new data folder from an export. ImportRefused, and nothing is made, if anything is wrong."""
    disk, step = disk or RealDisk(), progress or (lambda done, total: None)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise ImportRefused(f"{folder} is not empty: an export goes into a new folder, named with --data")
    about, epoch = _about(source), fresh_epoch()
    media = list(_media_files(source))
    making = folder.with_name(f"{folder.name}.importing-{epoch}")
    with telling("importing into", folder):
        try:
            ensure_folder(disk, making / JOURNAL_NAME)
            head = _take_log(disk, source / LOG, making / JOURNAL_NAME)
            _agree(about, head, len(media))
            write_file(disk, making / JOURNAL_NAME / EPOCH_NAME, f"{epoch}\n".encode("ascii"))
            disk.sync_folder(making / JOURNAL_NAME)
            step(1, len(media) + 1)
            kept = MediaFolder(making / MEDIA_NAME, disk)
            for done, (path, address) in enumerate(media, 2):
                _take_medium(kept, path, address)
                step(done, len(media) + 1)
            if folder.exists():
                folder.rmdir()
            disk.rename(making, folder)
            disk.sync_folder(folder.parent)
        except BaseException:
            shutil.rmtree(making, ignore_errors=True)  # what was just made here; the export is untouched
            raise
    return Imported(head.seq, len(media), head)


def small_file(source: Path, name: str) -> bytes | None:
    """One of the export's small files, None if it has none; ImportRefused for what is no plain small file."""
    path = source / name
    if not os.path.lexists(path):
        return None
    _plain_file(path, MOST_SMALL)
    return path.read_bytes()


def _about(source: Path) -> dict[str, Any]:
    content = small_file(source, ABOUT) if source.is_dir() else None
    if content is None:
        raise ImportRefused(f"{source} holds no {ABOUT}: it is no export, or one that was not finished")
    try:
        about = json.loads(content)
    except (ValueError, RecursionError) as problem:
        raise ImportRefused(f"{source / ABOUT} is no JSON: {problem}") from problem
    if not isinstance(about, dict) or about.get("form") != FORM:
        raise ImportRefused(f"{source / ABOUT}: wanted the form {FORM!r}")
    return about


def _agree(about: dict[str, Any], head: Head, media: int) -> None:
    for name, wanted, found in (
        ("lines", about.get("lines"), head.seq),
        ("head", about.get("head"), head.hash),
        ("media", about.get("media"), media),
    ):
        if wanted != found:
            raise ImportRefused(f"{ABOUT} says {name} {wanted!r}, here is {found!r}: the export is not whole")


def _take_log(disk: Disk, path: Path, target: Path) -> Head:
    """Write the log's lines into files by month of receipt, each line as it came."""
    _plain_file(path, None)
    head, month, fd, seen = EMPTY, "", -1, set[str]()
    try:
        for number, line in _lines(path):
            record = _checked(path, number, line, head, seen)
            received = str(Wall(record.received_millis, 0))[: len("2026-11")]
            if received < month:
                raise ImportRefused(f"{path}, line {number}: it was received before the line before it")
            if received > month:
                _finish(disk, fd)
                fd, month = disk.open(target / f"{received}.jsonl", FRESH), received
            write_all(disk, fd, line)
            head = record.head
    finally:
        _finish(disk, fd)
    return head


def _lines(path: Path) -> Iterator[tuple[int, bytes]]:
    with path.open("rb") as file:
        number = 0
        while line := file.readline(MOST_LINE + 1):
            number += 1
            if len(line) > MOST_LINE:
                raise ImportRefused(
                    f"{path}, line {number}: longer than {MOST_LINE} bytes, as no line may be"
                )
            yield number, line


def _checked(path: Path, number: int, line: bytes, head: Head, seen: set[str]) -> Record:
    try:
        record = parse(line)
        why = follows(record, head) or strict_problem(line, record)
    except (LineError, RecursionError) as problem:
        raise ImportRefused(f"{path}, line {number}: {problem}") from problem
    if record.operation.id in seen:
        why = why or "its operation is in the log already"
    if why:
        raise ImportRefused(f"{path}, line {number}: {why}")
    seen.add(record.operation.id)
    return record


def _finish(disk: Disk, fd: int) -> None:
    if fd >= 0:
        disk.sync(fd)
        disk.close(fd)


def _media_files(source: Path) -> Iterator[tuple[Path, str]]:
    """The media by name, each looked at: a plain file, named by a SHA-256, not too large."""
    folder, seen = source / MEDIA, set[str]()
    if folder.is_symlink() or not folder.is_dir():
        raise ImportRefused(f"{folder} must be a folder")
    for path in sorted(folder.iterdir()):
        named = _MEDIUM.fullmatch(path.name)
        if named is None:
            raise ImportRefused(
                f"{path}: a sound or photo is named by its SHA-256 and an ending, nothing else"
            )
        if named["address"] in seen:
            raise ImportRefused(f"{path}: this sound or photo is there twice")
        seen.add(named["address"])
        _plain_file(path, MOST_MEDIUM)
        yield path, named["address"]


def _take_medium(kept: MediaFolder, path: Path, address: str) -> None:
    with path.open("rb") as file:
        content = file.read(MOST_MEDIUM + 1)
    try:
        kept.keep(content, address)
    except MediaRefused as problem:
        raise ImportRefused(f"{path}: its bytes are not what its name says: {problem}") from problem


def _plain_file(path: Path, most: int | None) -> None:
    """Refuse links, folders and devices: only what lies in the export itself is read."""
    try:
        found = path.lstat()
    except FileNotFoundError:
        raise ImportRefused(f"{path} is missing: the export is not whole") from None
    if not stat.S_ISREG(found.st_mode):
        raise ImportRefused(f"{path} must be a plain file, no link and no folder")
    if most is not None and found.st_size > most:
        raise ImportRefused(f"{path} takes {found.st_size} bytes, the limit is {most}")
