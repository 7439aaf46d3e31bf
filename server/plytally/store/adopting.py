"""A log that was built beside takes the place of an empty one that is open, also while a server works on it.

    media first      what is named by its content does no harm before anything speaks of it
    journal.mended   the new log, ready beside
    journal          the empty one goes to quarantine/, the new one takes its place

Should the power fail between the two renames, `finish_repair` completes them at the next opening.
"""

from __future__ import annotations

from pathlib import Path

from plytally.store.disk import Disk, RealDisk, ensure_folder
from plytally.store.errors import LogNotEmpty, telling
from plytally.store.journal import JOURNAL_NAME, MENDED_NAME, finish_repair
from plytally.store.log import BuildLog
from plytally.store.media import MEDIA_NAME, MediaFolder
from plytally.store.tail import QUARANTINE


def adopt(log: BuildLog, made: Path, disk: Disk | None = None) -> None:
    """Let the open, empty log become the one that lies in the data folder `made`; what is there moves here.

    LogNotEmpty, and nothing of the log is changed, if anything was noted meanwhile.
    """
    disk, folder = disk or RealDisk(), log.folder
    check_empty(log)
    coming = MediaFolder(made / MEDIA_NAME, disk)
    for address in coming:
        if address not in log.media:
            log.media.take(coming.path(address), address)
    with log.changing_journal() as reopen, telling("taking in", made):
        check_empty(log)
        mended, old = folder / MENDED_NAME, folder / QUARANTINE / f"{JOURNAL_NAME}.{log.journal.epoch}"
        ensure_folder(disk, old.parent)
        if mended.exists():  # left by an adoption that was cut short before anything was moved away
            disk.rename(mended, old.with_name(f"{MENDED_NAME}.{log.journal.epoch}"))
        disk.rename(made / JOURNAL_NAME, mended)
        disk.sync_folder(folder)
        log.journal.close()
        try:
            disk.rename(folder / JOURNAL_NAME, old)
            disk.sync_folder(folder)
            finish_repair(disk, folder / JOURNAL_NAME)
        finally:
            reopen()


def check_empty(log: BuildLog) -> None:
    """Raise LogNotEmpty unless nothing was ever noted."""
    if log.journal.head.seq:
        raise LogNotEmpty(
            f"{log.journal.head.seq} lines are in this log already, and none of them may be lost: an export "
            "goes into an empty one"
        )
