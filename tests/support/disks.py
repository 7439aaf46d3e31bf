"""Disks that lose power, fill up or fall ill, on real files."""

import errno
import os
from contextlib import suppress
from pathlib import Path

from plytally.store.disk import RealDisk

SURVIVALS = [(names, content) for names in ("old", "new") for content in ("old", "half", "zeros", "new")]
"""What a disk may hold after a power cut: names and contents each as last synced, or further on."""


class PowerCut(BaseException):
    """The moment at which nothing of the process goes on."""


class CutDisk(RealDisk):
    """Works on a real folder, remembers what was synced, and goes dark at step number `cut_at`.

    A write that is cut gets half of its bytes out. `leave` writes to another folder what such a disk
    may hold afterwards: file contents and names that were not synced may be old, new or, for contents
    that grew, partly there or zeros.
    """

    def __init__(self, root, cut_at=None):
        self.root, self.cut_at, self.steps = Path(root), cut_at, 0
        self.held, self.content, self.names = [], {}, {}

    def step(self):
        self.steps += 1
        if self.cut_at is not None and self.steps >= self.cut_at:
            raise PowerCut

    def open(self, path, flags):
        if flags & (os.O_CREAT | os.O_TRUNC):
            self.step()
        fd = super().open(path, flags)
        inode = os.fstat(fd).st_ino
        if inode not in self.content:
            self.held.append(os.dup(fd))  # keeps the system from giving the number to another file
            self.content[inode] = b""
        return fd

    def write(self, fd, content):
        try:
            self.step()
        except PowerCut:
            if self.steps == self.cut_at:
                os.write(fd, content[: len(content) // 2])
            raise
        return super().write(fd, content)

    def sync(self, fd):
        self.step()
        super().sync(fd)
        with open(f"/proc/self/fd/{fd}", "rb") as file:
            self.content[os.fstat(fd).st_ino] = file.read()

    def truncate(self, fd, size):
        self.step()
        super().truncate(fd, size)

    def rename(self, source, target):
        self.step()
        super().rename(source, target)

    def make_folder(self, path):
        self.step()
        super().make_folder(path)

    def sync_folder(self, path):
        self.step()
        super().sync_folder(path)
        self.names = {name: what for name, what in self.names.items() if name.parent != path}
        self.names |= {child: _what(child) for child in path.iterdir()}

    def leave(self, target, names, content):
        """Write what the disk may hold into the folder `target`."""
        there = {path: _what(path) for path in self.root.rglob("*")} if names == "new" else self.names
        for path, inode in sorted(there.items()):
            if path.name != "lock" and path.parent in {self.root, *there}:
                place = Path(target) / path.relative_to(self.root)
                if inode is None:
                    place.mkdir(parents=True, exist_ok=True)
                else:
                    place.parent.mkdir(parents=True, exist_ok=True)
                    place.write_bytes(self.surviving(inode, content))

    def surviving(self, inode, content):
        synced, written = self.content[inode], self.now(inode)
        grown = len(written) - len(synced)
        if content == "new" or (content != "old" and not written.startswith(synced)):
            return written if content == "new" else synced
        return {
            "old": synced,
            "half": synced + written[len(synced) : len(synced) + grown // 2],
            "zeros": synced + b"\0" * grown,
        }[content]

    def now(self, inode):
        for fd in self.held:
            if os.fstat(fd).st_ino == inode:
                with open(f"/proc/self/fd/{fd}", "rb") as file:
                    return file.read()
        raise LookupError(inode)

    def let_go(self):
        for fd in self.held:
            with suppress(OSError):
                os.close(fd)
        self.held = []


def _what(path):
    return None if path.is_dir() else path.stat().st_ino


class FullDisk(RealDisk):
    """Has `room` for so many bytes more; as the system does, it takes what fits before it says so."""

    def __init__(self, room=0, number=errno.ENOSPC):
        self.room, self.number = room, number

    def write(self, fd, content):
        if self.room <= 0:
            raise OSError(self.number, os.strerror(self.number))
        taken = super().write(fd, content[: self.room])
        self.room -= taken
        return taken


class IllDisk(RealDisk):
    """Reports an input/output error at the steps named in `ill`."""

    def __init__(self, *ill):
        self.ill = set(ill)

    def sync(self, fd):
        self.fail("sync")
        super().sync(fd)

    def write(self, fd, content):
        self.fail("write")
        return super().write(fd, content)

    def truncate(self, fd, size):
        self.fail("truncate")
        super().truncate(fd, size)

    def fail(self, step):
        if step in self.ill:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
