"""A second copy of a data folder, made while the log is in use, and a folder made from such a copy.

A backup is itself a data folder: `verify` and `repair` work on it. Each run adds only what is new: the
lines behind those that are there, the sounds and photos that are missing. Keys and the lock stay out of
it, so that a stolen backup opens no door.

A log made from a backup gets a new epoch, so that phones notice, read it anew and send again what the
backup did not have.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from plytally.store.aside import ASIDE_NAME
from plytally.store.disk import GROWING, Disk, RealDisk, ensure_folder, replace_file, write_all
from plytally.store.documents import DOCUMENTS_NAME
from plytally.store.errors import BackupRefused, telling
from plytally.store.heard import HEARD_NAME
from plytally.store.journal import EPOCH_NAME, JOURNAL_NAME
from plytally.store.media import MEDIA_NAME, MediaFolder
from plytally.store.tail import month_files
from plytally.store.verify import Report, verify

SCHEDULES_NAME = "schedules"
MAKING = ".restoring"
PIECE = 1 << 20

Progress = Callable[[int, int], None]
"""Called with how many of the things to copy are done, and how many there are."""


@dataclass(frozen=True, slots=True)
class Added:
    """What a run added to a backup, and what the look at the whole of it then found."""

    lines_bytes: int
    media: int
    report: Report


def backup(folder: Path, target: Path, progress: Progress | None = None, disk: Disk | None = None) -> Added:
    """Bring the backup in `target` up to date with the data folder, and verify it.

    BackupRefused if `target` holds something else, or a log that this one does not continue.
    """
    disk, progress = disk or RealDisk(), progress or (lambda done, total: None)
    folder, target = folder.resolve(), target.resolve()
    _refuse_nested(folder, target)
    with telling("backing up to", target):
        _refuse_other(folder, target)
        ensure_folder(disk, target / JOURNAL_NAME)
        _copy(disk, folder, target, f"{JOURNAL_NAME}/{EPOCH_NAME}")
        spans = [(path, _whole_lines(path)) for path in month_files(folder / JOURNAL_NAME)]
        media, kept = MediaFolder(folder / MEDIA_NAME, disk), MediaFolder(target / MEDIA_NAME, disk)
        missing = [address for address in media if address not in kept]
        total, grown = len(spans) + len(missing), 0
        for done, (path, size) in enumerate(spans):
            progress(done, total)
            grown += _grow(disk, path, size, target / JOURNAL_NAME / path.name)
        for done, address in enumerate(missing, len(spans)):
            progress(done, total)
            kept.keep(media.read(address), address)
        _copy_small(disk, folder, target)
        progress(total, total)
        return Added(grown, len(missing), verify(target))


def restore(source: Path, folder: Path, fresh_epoch: Callable[[], str], disk: Disk | None = None) -> Report:
    """Make a data folder from a backup. BackupRefused if the folder is in use, or the backup is damaged."""
    disk, source, folder = disk or RealDisk(), source.resolve(), folder.resolve()
    _refuse_nested(source, folder)
    if folder.exists() and any(folder.iterdir()):
        raise BackupRefused(f"{folder} is not empty; restore into a new folder and move it afterwards")
    if not (source / JOURNAL_NAME / EPOCH_NAME).is_file():
        raise BackupRefused(f"{source} holds no log; it is no backup")
    _refuse_links(source)
    found = verify(source)
    if not found.sound:
        raise BackupRefused(
            f"the backup in {source} is damaged ({found.damage[0]}); "
            f"mend it first with: plytally verify --repair --data {source}"
        )
    making = folder.with_name(folder.name + MAKING)
    with telling("restoring to", folder):
        report = backup(source, making, disk=disk).report
        replace_file(disk, making / JOURNAL_NAME / EPOCH_NAME, f"{fresh_epoch()}\n".encode("ascii"))
        if folder.exists():
            folder.rmdir()
        disk.rename(making, folder)
        disk.sync_folder(folder.parent)
    return report


def _refuse_nested(one: Path, other: Path) -> None:
    if one == other or one in other.parents or other in one.parents:
        raise BackupRefused(f"{one} and {other} lie in one another; a backup belongs on another disk")


def _refuse_links(source: Path) -> None:
    """A stick may have been in other hands: what a link points at is not its own, and a pipe never ends."""
    for path in source.rglob("*"):
        if path.is_symlink() or not (path.is_file() or path.is_dir()):
            raise BackupRefused(
                f"{path} is no plain file; a backup holds nothing else. Look at it, and take it out"
            )


def _refuse_other(folder: Path, target: Path) -> None:
    epoch = target / JOURNAL_NAME / EPOCH_NAME
    if not epoch.is_file():
        if target.exists() and any(target.iterdir()):
            raise BackupRefused(f"{target} is not empty and holds no backup; choose a new folder")
    elif epoch.read_bytes() != (folder / JOURNAL_NAME / EPOCH_NAME).read_bytes():
        raise BackupRefused(
            f"{target} is the backup of another log, or of this one before it was restored or mended; "
            "keep it and choose a new folder"
        )


def _whole_lines(path: Path) -> int:
    """How many bytes of a file that may be growing are whole lines."""
    with path.open("rb") as file:
        end = file.seek(0, os.SEEK_END)
        while end > 0:
            start = max(0, end - PIECE)
            file.seek(start)
            if (at := file.read(end - start).rfind(b"\n")) >= 0:
                return start + at + 1
            end = start
    return 0


def _grow(disk: Disk, source: Path, size: int, target: Path) -> int:
    """Append to `target` what the first `size` bytes of `source` have beyond it; how many bytes that was."""
    have = _whole_lines(target) if target.exists() else 0
    if have > size or (have and not _begin_alike(source, target, have)):
        raise BackupRefused(
            f"{target} is not the beginning of {source}: one of them was changed. Keep both, and look at "
            "each with: plytally verify --data FOLDER"
        )
    if have == size:
        return 0
    fd = disk.open(target, GROWING)
    try:
        disk.truncate(fd, have)  # the rest of a line whose copying was cut off
        with source.open("rb") as lines:
            lines.seek(have)
            while left := size - lines.tell():
                write_all(disk, fd, lines.read(min(left, PIECE)))
        disk.sync(fd)
    finally:
        disk.close(fd)
    disk.sync_folder(target.parent)
    return size - have


def _begin_alike(source: Path, target: Path, size: int) -> bool:
    with source.open("rb") as one, target.open("rb") as other:
        while left := size - other.tell():
            if one.read(min(left, PIECE)) != other.read(min(left, PIECE)):
                return False
    return True


def _copy_small(disk: Disk, folder: Path, target: Path) -> None:
    """The documents, the schedules, what was put aside and what was heard again."""
    for name in (DOCUMENTS_NAME, ASIDE_NAME, HEARD_NAME):
        _copy(disk, folder, target, name)
    kept = (folder / SCHEDULES_NAME).glob("*.*")
    for path in sorted(path for path in kept if path.suffix in (".yaml", ".csv")):
        _copy(disk, folder, target, f"{SCHEDULES_NAME}/{path.name}")


def _copy(disk: Disk, folder: Path, target: Path, name: str) -> None:
    if (folder / name).is_file():
        ensure_folder(disk, (target / name).parent)
        replace_file(disk, target / name, (folder / name).read_bytes())
