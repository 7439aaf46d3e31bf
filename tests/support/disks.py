"""Disks that lose power, fill up or fall ill, on real files."""

import errno
import os
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
    that grew, partly there or zeros. What is in `root` at the start counts as synced.
    """

    def __init__(self, root, cut_at=None):
        self.root, self.cut_at, self.steps = Path(root), cut_at, 0
        self.held, self.content, self.names = {}, {}, {}
        for folder in (self.root, *(path for path in self.root.rglob("*") if path.is_dir())):
            self.names[_inode(folder)] = _names_in(folder)
        for file in (path for path in self.root.rglob("*") if path.is_file()):
            self.hold(os.open(file, os.O_RDONLY))

    def hold(self, fd):
        """Keep a descriptor, so that the system gives the file's number to no other file."""
        self.held[os.fstat(fd).st_ino] = fd
        self.content[os.fstat(fd).st_ino] = _bytes_behind(fd)

    def step(self):
        self.steps += 1
        if self.cut_at is not None and self.steps >= self.cut_at:
            raise PowerCut

    def open(self, path, flags):
        if flags & (os.O_CREAT | os.O_TRUNC):
            self.step()
        new = not path.exists()
        fd = super().open(path, flags)
        if new:
            self.hold(os.dup(fd))
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
        self.content[os.fstat(fd).st_ino] = _bytes_behind(fd)

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
        self.names[_inode(path)] = _names_in(path)

    def leave(self, target, names, content):
        """Write what the disk may hold into the folder `target`."""
        if names == "new":
            folders = (self.root, *(path for path in self.root.rglob("*") if path.is_dir()))
            self._leave(
                target, _inode(self.root), {_inode(path): _names_in(path) for path in folders}, content
            )
        else:
            self._leave(target, _inode(self.root), self.names, content)

    def _leave(self, target, folder, names, content):
        Path(target).mkdir()
        for name, inode in names.get(folder, {}).items():
            if inode in self.content:
                (target / name).write_bytes(self.surviving(inode, content))
            elif name != "lock":
                self._leave(target / name, inode, names, content)

    def surviving(self, inode, content):
        synced, written = self.content[inode], _bytes_behind(self.held[inode])
        if content == "old" or (content != "new" and not written.startswith(synced)):
            return synced
        grown = len(written) - len(synced)
        half = written[: len(synced) + grown // 2]
        return {"half": half, "zeros": synced + b"\0" * grown, "new": written}[content]

    def let_go(self):
        for fd in self.held.values():
            os.close(fd)


def _inode(path):
    return path.stat().st_ino


def _names_in(folder):
    return {path.name: _inode(path) for path in folder.iterdir()}


def _bytes_behind(fd):
    with open(f"/proc/self/fd/{fd}", "rb") as file:
        return file.read()


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
