"""The small things that change: phones, vocabulary, timers, settings. TinyDB on a storage that survives.

    documents.json        one line: the SHA-256 of the rest, and every table
    documents.copy.json   the same, written first

Each write goes whole to the copy, then whole to the main file, each by temp file, fsync, rename and fsync
of the folder. If the main file cannot be read the copy is used, and `remarks` says so. Safe among the
threads of one process; the folder's lock keeps other processes out.
"""

from __future__ import annotations

import hashlib
import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from plytally.store.disk import Disk, RealDisk, replace_file
from plytally.store.errors import DocumentsDamaged, telling

DOCUMENTS_NAME = "documents.json"
Tables = dict[str, dict[str, Any]]

_FRAME = '{{"sha256":"{digest}","documents":{text}}}\n'
_TEXT_AT = len(_FRAME.format(digest="0" * 64, text="")) - len("}\n")


class CrashSafeStorage(Storage):
    """A TinyDB storage whose file is at every moment either the old content or the new, whole."""

    def __init__(self, path: Path, disk: Disk | None = None) -> None:
        self._path, self._disk = path, disk or RealDisk()
        self._copy = copy_of(path)
        self.remarks: list[str] = []
        with telling("reading", path):
            self._text = self._load()

    def read(self) -> Tables | None:
        """Every table, as a fresh value; None while nothing was ever written."""
        return None if self._text is None else json.loads(self._text)

    def write(self, data: Tables) -> None:
        """Put all tables on the medium before returning; StoreFull and others leave the old ones."""
        text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        framed = _FRAME.format(digest=_digest(text), text=text).encode("utf-8")
        with telling("writing", self._path):
            replace_file(self._disk, self._copy, framed)
            replace_file(self._disk, self._path, framed)
        self._text = text

    def _load(self) -> str | None:
        main = unframed(self._path)
        if main is not None:
            return main
        copy = unframed(self._copy)
        if copy is None and (self._path.exists() or self._copy.exists()):
            raise DocumentsDamaged(
                f"{self._path} and {self._copy.name} beside it cannot be read. The log itself is not "
                "concerned. Put one of them back from a backup, or move both away to start afresh: "
                "phones must then be paired again"
            )
        if copy is not None:
            self.remarks.append(f"{self._path} was missing or unreadable; its second copy is used")
            with suppress(OSError):  # a full disk must not keep the log from opening
                self._set_aside_main()
                replace_file(self._disk, self._path, self._copy.read_bytes())
        return copy

    def _set_aside_main(self) -> None:
        """Keep the bytes of an unreadable main file under another name before it is written over."""
        if self._path.exists():
            kept = self._path.with_name(f"{self._path.name}.{_digest(self._path.read_bytes())[:12]}.damaged")
            self._disk.rename(self._path, kept)
            self._disk.sync_folder(self._path.parent)


class Documents:
    """The tables of one data folder."""

    def __init__(self, path: Path, disk: Disk | None = None) -> None:
        self._mutex = threading.RLock()
        self._storage = CrashSafeStorage(path, disk)
        self._db = TinyDB(storage=lambda: self._storage)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What was mended on opening, one sentence each."""
        return tuple(self._storage.remarks)

    @contextmanager
    def table(self, name: str) -> Iterator[Table]:
        """A TinyDB table, this thread's alone inside the block, so that read, think, write holds together."""
        with self._mutex:
            yield self._db.table(name, cache_size=0)


def copy_of(path: Path) -> Path:
    """Where the second copy of a documents file is."""
    return path.with_suffix(".copy.json")


def unframed(path: Path) -> str | None:
    """The documents inside a file as text, None if it is missing or not what was written."""
    if not path.exists():
        return None
    try:
        framed = path.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        return None
    text = framed[_TEXT_AT:-2]
    return text if framed == _FRAME.format(digest=_digest(text), text=text) else None


def _digest(content: str | bytes) -> str:
    raw = content.encode("utf-8") if isinstance(content, str) else content
    return hashlib.sha256(raw).hexdigest()
