"""Making a damaged data folder usable again. Nothing is deleted: what is damaged goes to `quarantine/`.

    DATA/quarantine/journal.1/       the log as it was found, if any line of it was damaged
    DATA/quarantine/<address>.1      a sound or photo that is not what its name says
    DATA/quarantine/documents….1     documents of which neither copy can be read

Every sound operation is written to a new log, with its time of receipt, under a new epoch: phones notice,
read it anew and send again what it lacks. The new log takes the old one's place by renaming; if the
power fails between the two renames, `finish_repair` completes them at the next opening.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from plytally.core.wall import Wall
from plytally.store.disk import FRESH, Disk, RealDisk, ensure_folder, write_all, write_file
from plytally.store.documents import DOCUMENTS_NAME, copy_of, unframed
from plytally.store.errors import telling
from plytally.store.journal import EPOCH_NAME, JOURNAL_NAME, MENDED_NAME, finish_repair
from plytally.store.line import EMPTY, compose
from plytally.store.lock import FolderLock
from plytally.store.media import MEDIA_NAME
from plytally.store.tail import QUARANTINE
from plytally.store.verify import Progress, Report, SoundRecords, journal_files, verify

BUILDING_NAME = "journal.building"


def repair(
    folder: Path,
    fresh_epoch: Callable[[], str],
    progress: Progress | None = None,
    disk: Disk | None = None,
) -> Report:
    """Put aside what is damaged and keep the rest; the report says what was found.

    A sound folder is left untouched. StoreLocked if the log is in use.
    """
    disk, lock = disk or RealDisk(), FolderLock(folder)
    try:
        with telling("repairing", folder):
            finish_repair(disk, folder / JOURNAL_NAME)
            report = verify(folder, progress)
            if any(damage.file.parent == folder / JOURNAL_NAME for damage in report.damage):
                _rebuild_log(disk, folder, fresh_epoch())
            for damage in report.damage:
                if folder / MEDIA_NAME in damage.file.parents:
                    _put_away(disk, damage.file, folder)
            _put_away_documents(disk, folder)
            return report
    finally:
        lock.close()


def _rebuild_log(disk: Disk, folder: Path, epoch: str) -> None:
    journal, mended, building = (folder / name for name in (JOURNAL_NAME, MENDED_NAME, BUILDING_NAME))
    for left in (mended, building):
        if left.exists():
            _put_away(disk, left, folder)
    ensure_folder(disk, building)
    _write_months(disk, building, journal_files(folder))
    write_file(disk, building / EPOCH_NAME, f"{epoch}\n".encode("ascii"))
    disk.sync_folder(building)
    disk.rename(building, mended)
    disk.sync_folder(folder)
    _put_away(disk, journal, folder)
    finish_repair(disk, journal)


def _write_months(disk: Disk, target: Path, sources: list[Path]) -> None:
    """Chain the sound records anew, in their order, into files by their month of receipt."""
    head, month, fd = EMPTY, "", -1
    for record in SoundRecords(Report()).read(sources):
        received = str(Wall(record.received_millis, 0))[: len("2026-11")]
        if received > month:
            _finish(disk, fd)
            month, fd = received, disk.open(target / f"{received}.jsonl", FRESH)
        line, head = compose(record.operation.to_bytes(), record.received_millis, head)
        write_all(disk, fd, line)
    _finish(disk, fd)


def _finish(disk: Disk, fd: int) -> None:
    if fd >= 0:
        disk.sync(fd)
        disk.close(fd)


def _put_away_documents(disk: Disk, folder: Path) -> None:
    """Put unreadable documents away; while one copy can be read, opening the folder mends the other."""
    main = folder / DOCUMENTS_NAME
    copies = [path for path in (main, copy_of(main)) if path.exists()]
    if not any(map(unframed, copies)):
        for path in copies:
            _put_away(disk, path, folder)


def _put_away(disk: Disk, path: Path, folder: Path) -> None:
    """Move a file or folder into quarantine, under a name that nothing there has."""
    quarantine = folder / QUARANTINE
    ensure_folder(disk, quarantine)
    count = 1
    while (target := quarantine / f"{path.name}.{count}").exists():
        count += 1
    disk.rename(path, target)
    disk.sync_folder(quarantine)
    disk.sync_folder(path.parent)
