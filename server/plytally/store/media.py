"""Sounds and photos, each at the address that its content gives it: its SHA-256.

    media/3f/a9/3fa9…   the original bytes, never changed

What is here already is not written again; what is read is checked. `take` adopts a file that was
uploaded in pieces, so that it is not copied.
"""

from __future__ import annotations

import hashlib
import re
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Protocol

from plytally.store.disk import READABLE, Disk, RealDisk, ensure_folder, write_file
from plytally.store.errors import MediaDamaged, MediaMissing, MediaRefused, telling

MEDIA_NAME = "media"
_ADDRESS = re.compile(r"[0-9a-f]{64}")


class Media(Protocol):
    """Sounds and photos by the SHA-256 of their bytes, in lower-case hex."""

    def keep(self, content: bytes, address: str | None = None) -> str:
        """Keep the bytes, durably, and give their address; MediaRefused if it is not the one expected."""

    def read(self, address: str) -> bytes:
        """The bytes, checked; MediaMissing or MediaDamaged."""

    def __contains__(self, address: str) -> bool:
        """Whether something is kept at this address."""


class MediaFolder:
    """Media in a folder of the shop computer."""

    def __init__(self, folder: Path, disk: Disk | None = None) -> None:
        self._folder, self._disk = folder, disk or RealDisk()
        self._mutex = threading.Lock()

    def keep(self, content: bytes, address: str | None = None) -> str:
        """Keep the bytes, durably, and give their address.

        MediaRefused if `address` is given and is not theirs; StoreFull and others keep nothing.
        """
        found = hashlib.sha256(content).hexdigest()
        if address is not None and _checked(address) != found:
            raise MediaRefused(
                f"what arrived as {address} is {found}: it was changed on the way, send it again"
            )
        path = self.path(found)
        fresh = path.with_name(path.name + ".new")
        with self._mutex, telling("keeping", path):
            if self._whole(found):
                return found
            ensure_folder(self._disk, path.parent)
            write_file(self._disk, fresh, content)
            self._settle(fresh, path)
        return found

    def take(self, file: Path, address: str) -> str:
        """Move a finished file of the same file system here.

        MediaRefused, and the file stays, if its bytes are not what `address` says.
        """
        path = self.path(address)
        with telling("keeping", path):
            found = digest_of(file)
            if found != address:
                raise MediaRefused(
                    f"what arrived as {address} is {found}: it was changed on the way, send it again"
                )
            ensure_folder(self._disk, path.parent)
            fd = self._disk.open(file, READABLE)
            try:
                self._disk.sync(fd)
            finally:
                self._disk.close(fd)
            self._settle(file, path)
        return address

    def read(self, address: str) -> bytes:
        """The bytes at `address`, checked; MediaMissing if there are none, MediaDamaged if they changed."""
        path = self.path(address)
        if not path.is_file():
            raise MediaMissing(f"{address} is not here; the phone that made it may still have it")
        with telling("reading", path):
            content = path.read_bytes()
        if hashlib.sha256(content).hexdigest() != address:
            raise MediaDamaged(f"{path} is no longer what was kept: put it back from a backup or the phone")
        return content

    def path(self, address: str) -> Path:
        """Where `address` is or would be; MediaRefused for what is no SHA-256: no name leads elsewhere."""
        _checked(address)
        return self._folder / address[:2] / address[2:4] / address

    def __contains__(self, address: str) -> bool:
        return self.path(address).is_file()

    def __iter__(self) -> Iterator[str]:
        """Every address here, in order."""
        for path in sorted(self._folder.glob("??/??/*")):
            if _ADDRESS.fullmatch(path.name):
                yield path.name

    def damaged(self) -> Iterator[str]:
        """Every address whose bytes are no longer what was kept."""
        for address in self:
            if not self._whole(address):
                yield address

    def _whole(self, address: str) -> bool:
        path = self.path(address)
        with telling("reading", path):
            return path.is_file() and digest_of(path) == address

    def _settle(self, fresh: Path, path: Path) -> None:
        self._disk.rename(fresh, path)
        self._disk.sync_folder(path.parent)


def digest_of(file: Path) -> str:
    """The SHA-256 of a file's bytes, in lower-case hex."""
    with file.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()


def _checked(address: str) -> str:
    if not _ADDRESS.fullmatch(address):
        raise MediaRefused(f"{address!r} is not an address: wanted a SHA-256, 64 characters of 0-9 and a-f")
    return address
