"""The few things that durable writing asks of a disk, and the careful ways to put them together.

Everything that must survive a power cut goes through a `Disk`, so that a test can pull the plug at
each single step. Rules: a file is safe after `sync`, its name after `sync_folder` of the folder it is in.
"""

from __future__ import annotations

import fcntl
import os
from contextlib import suppress
from pathlib import Path
from typing import Protocol

FILE_MODE = 0o600
FOLDER_MODE = 0o700
READABLE = os.O_RDONLY
FRESH = os.O_WRONLY | os.O_CREAT | os.O_TRUNC
GROWING = os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0)
"""No link is followed: in a folder from elsewhere it may point at any file of the builder's."""

_CLOSED = getattr(os, "O_CLOEXEC", 0)
_FULL_SYNC = getattr(fcntl, "F_FULLFSYNC", None)  # on macOS fsync stops at the drive's own cache


class Disk(Protocol):
    """The steps a durable write is made of; each may fail with OSError."""

    def open(self, path: Path, flags: int) -> int:
        """A file descriptor."""

    def write(self, fd: int, content: bytes) -> int:
        """Write some of `content`; how many bytes were taken."""

    def sync(self, fd: int) -> None:
        """Return when all that was written is on the medium."""

    def truncate(self, fd: int, size: int) -> None:
        """Cut the file to `size` bytes."""

    def close(self, fd: int) -> None:
        """Give the descriptor back."""

    def rename(self, source: Path, target: Path) -> None:
        """Give a file another name in the same file system, in place of what had it."""

    def make_folder(self, path: Path) -> None:
        """Make one folder; FileExistsError if it is there."""

    def sync_folder(self, path: Path) -> None:
        """Return when the names in this folder are on the medium."""


class RealDisk:
    """The operating system's own calls."""

    def open(self, path: Path, flags: int) -> int:
        """`open(2)`, not handed on to child processes."""
        return os.open(path, flags | _CLOSED, FILE_MODE)

    def write(self, fd: int, content: bytes) -> int:
        """`write(2)`."""
        return os.write(fd, content)

    def sync(self, fd: int) -> None:
        """`fsync(2)`, on macOS down to the medium."""
        if _FULL_SYNC is not None:
            fcntl.fcntl(fd, _FULL_SYNC)
        else:
            os.fsync(fd)

    def truncate(self, fd: int, size: int) -> None:
        """`ftruncate(2)`."""
        os.ftruncate(fd, size)

    def close(self, fd: int) -> None:
        """`close(2)`."""
        os.close(fd)

    def rename(self, source: Path, target: Path) -> None:
        """`rename(2)`."""
        source.replace(target)

    def make_folder(self, path: Path) -> None:
        """`mkdir(2)`, for this user only."""
        path.mkdir(FOLDER_MODE)

    def sync_folder(self, path: Path) -> None:
        """`fsync(2)` on the folder."""
        fd = os.open(path, os.O_RDONLY | _CLOSED)
        try:
            os.fsync(fd)
        finally:
            os.close(fd)


def write_all(disk: Disk, fd: int, content: bytes) -> None:
    """Write every byte, however few the disk takes at a time."""
    rest = memoryview(content)
    while rest:
        rest = rest[disk.write(fd, bytes(rest)) :]


def ensure_folder(disk: Disk, path: Path) -> None:
    """Make `path` and the folders above it, each name durable before it is used."""
    if path.is_dir():
        return
    ensure_folder(disk, path.parent)
    try:
        disk.make_folder(path)
    except FileExistsError:
        if not path.is_dir():
            raise
    disk.sync_folder(path.parent)


def replace_file(disk: Disk, path: Path, content: bytes) -> None:
    """Put `content` at `path` so that at any moment either the old or the new is there, whole."""
    fresh = path.with_name(path.name + ".new")
    write_file(disk, fresh, content)
    disk.rename(fresh, path)
    disk.sync_folder(path.parent)


def write_file(disk: Disk, path: Path, content: bytes) -> None:
    """Write a new file and wait until its content is on the medium; its name is not yet.

    What cannot be written to its end gives its room back.
    """
    fd = disk.open(path, FRESH)
    try:
        write_all(disk, fd, content)
        disk.sync(fd)
    except OSError:
        with suppress(OSError):
            disk.truncate(fd, 0)
        raise
    finally:
        disk.close(fd)
