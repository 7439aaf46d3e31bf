"""One process keeps a log: a lock on the data folder that a second process meets as a clear refusal.

The lock is the operating system's (`flock`), so it goes when the process does, however it ends; the
file stays, and holds the number of the process that had it last.
"""

from __future__ import annotations

import fcntl
import os
import weakref
from contextlib import suppress
from pathlib import Path

from plytally.store.disk import FILE_MODE
from plytally.store.errors import StoreLocked, telling

LOCK_NAME = "lock"


_held: weakref.WeakSet[FolderLock] = weakref.WeakSet()


class FolderLock:
    """Holds `folder` for this process until closed; StoreLocked if another one has it."""

    def __init__(self, folder: Path) -> None:
        path = folder / LOCK_NAME
        _held.add(self)
        with telling("locking", path):
            self._fd = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, FILE_MODE)
        try:
            fcntl.flock(self._fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as problem:
            pid = _pid_in(self._fd)
            self.close()
            raise StoreLocked(folder, pid) from problem
        with suppress(OSError):  # a full disk may lose the number, not the lock
            os.ftruncate(self._fd, 0)
            os.pwrite(self._fd, f"{os.getpid()}\n".encode("ascii"), 0)

    def close(self) -> None:
        """Let the folder go; a second call does nothing."""
        if self._fd >= 0:
            os.close(self._fd)
            self._fd = -1


def _let_go_in_child() -> None:
    """A forked child must not keep the log from being opened again after its parent died."""
    for lock in _held:
        lock.close()


os.register_at_fork(after_in_child=_let_go_in_child)


def _pid_in(fd: int) -> int | None:
    text = os.pread(fd, 32, 0).decode("ascii", "replace").strip()
    return int(text) if text.isdigit() else None
