"""Everything that can go wrong with what is kept, as one family.

    StoreError
    ├── StoreLocked        another process has the data folder open
    ├── StoreFull          no room left; nothing of the write was kept
    ├── StoreUnwritable    the folder or disk may only be read
    ├── StoreBroken        the disk reported an error, or one came before; open again
    ├── JournalDamaged     a line of the log is not what was written
    ├── LogNotEmpty        something is in the log, so none may take its place
    ├── BackupRefused      a backup cannot be made there, or no log can be made from it
    ├── UnknownEntry       the log has no such entry
    ├── DocumentsDamaged   neither copy of the documents can be read
    └── MediaError         a sound or photo
        ├── MediaMissing     is not here
        ├── MediaDamaged     is not what its address says
        └── MediaRefused     cannot be taken as given

Each message says what was being done, where, what was found and what to do.
"""

from __future__ import annotations

import errno
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path


class StoreError(Exception):
    """Something about the data folder; the message says where, what and what to do."""


class StoreLocked(StoreError):
    """Another process has the data folder open; `pid` is its number, None if it is not told."""

    def __init__(self, folder: Path, pid: int | None) -> None:
        who = f"process {pid}" if pid else "another process"
        super().__init__(
            f"{folder} is in use by {who}: one process keeps a log. Stop that one first, "
            "or use its desk page; a second one can only verify"
        )
        self.pid = pid


class StoreFull(StoreError):
    """There is no room left; nothing of the write was kept, and all that was kept before still is."""


class StoreUnwritable(StoreError):
    """The folder or the disk may only be read."""


class StoreBroken(StoreError):
    """The disk reported an error: what it holds of the last write is unknown until it is opened again."""


class JournalDamaged(StoreError):
    """A line of the log is not what was written there."""

    def __init__(self, file: Path, line: int, what: str) -> None:
        super().__init__(
            f"{file}, line {line}: {what}. Nothing was changed. Run 'plytally verify' for a full report; "
            "then put the file back from a backup, or run 'plytally verify --repair'"
        )
        self.file, self.line, self.what = file, line, what


class LogNotEmpty(StoreError):
    """Something is in the log already, so no other may take its place."""


class UnknownEntry(StoreError):
    """The log has no entry with this id."""


class DocumentsDamaged(StoreError):
    """Neither the documents nor their second copy can be read."""


class BackupRefused(StoreError):
    """A backup that cannot be made there, or from which no log can be made."""


class MediaError(StoreError):
    """Something about one sound or photo."""


class MediaMissing(MediaError):
    """No sound or photo with that address is here."""


class MediaDamaged(MediaError):
    """A sound or photo is not what its address says."""


class MediaRefused(MediaError):
    """An address or content that cannot be taken."""


_KINDS: Mapping[int, tuple[type[StoreError], str]] = {
    errno.ENOSPC: (StoreFull, "the disk is full; make room, then try again"),
    errno.EDQUOT: (StoreFull, "the disk quota is used up; make room, then try again"),
    errno.EFBIG: (StoreFull, "the file may not grow further; raise the limit, then try again"),
    errno.EROFS: (StoreUnwritable, "the disk is mounted read-only; mount it for writing"),
    errno.EACCES: (StoreUnwritable, "this user may not write there; change the folder's permissions"),
    errno.ENOENT: (StoreBroken, "there is no such file or folder; look at its name, or make it first"),
    errno.ENOTDIR: (StoreBroken, "a file is where a folder should be; look at its name"),
    errno.EISDIR: (StoreBroken, "it is a folder; name a file"),
    errno.EPERM: (StoreUnwritable, "this user may not write there; change the folder's permissions"),
}


def store_error(problem: OSError, doing: str, where: Path) -> StoreError:
    """The member of the family that tells of `problem`, met while `doing` something at `where`."""
    kind, hint = _KINDS.get(problem.errno or 0, (StoreBroken, "check the disk, then start again"))
    return kind(f"{doing} {where}: {problem.strerror or problem}: {hint}")


@contextmanager
def telling(doing: str, where: Path) -> Iterator[None]:
    """Turn an OSError inside the block into a StoreError that says what was being done, and where."""
    try:
        yield
    except OSError as problem:
        raise store_error(problem, doing, where) from problem
