"""The log itself: append-only JSON Lines, one file a month, each line chained to the one before.

    journal/epoch            the id of this log; another id means another numbering
    journal/2026-11.jsonl    what was received that month, see `line.py`
    journal/quarantine/      bytes that a power cut left behind the last whole line; never deleted

What `append` returned is on the medium. A file is cut only behind its last whole line, and only when it
is opened; any other damage stops the opening. A month is the receiver's. Should its clock run back, as
after a start without a battery, the last time of receipt is written again: the order of the files stays
that of the chain, and no phone looks as if it were years ahead.
"""

from __future__ import annotations

import threading
from array import array
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

from plytally.core.clock import is_uuid7
from plytally.core.operation import Operation
from plytally.core.wall import Wall
from plytally.store.disk import GROWING, Disk, RealDisk, ensure_folder, replace_file, write_all
from plytally.store.errors import (
    JournalDamaged,
    StoreBroken,
    StoreError,
    StoreFull,
    StoreUnwritable,
    store_error,
    telling,
)
from plytally.store.line import EMPTY, Head, LineError, Record, compose, parse
from plytally.store.port import Appended, Refusal
from plytally.store.tail import Scanned, month_files, scan_file

JOURNAL_NAME = "journal"
MENDED_NAME = "journal.mended"
EPOCH_NAME = "epoch"
OTHER_CONTENT = "another operation with this id is in the log; give this one an id of its own"


@dataclass
class _File:
    """One month's file: the number before its first line, where each line starts, and where the last ends."""

    path: Path
    before: int
    starts: array[int] = field(default_factory=lambda: array("Q"))
    end: int = 0


@dataclass
class _Sorted:
    fresh: dict[str, tuple[Operation, bytes]] = field(default_factory=dict)
    known: list[str] = field(default_factory=list)
    refused: list[Refusal] = field(default_factory=list)


class FileJournal:
    """A Journal in a folder. The caller holds the folder's lock; threads may share the object.

    `fresh_epoch` gives an id to a log that has none; `watch` sees each record while the log is read
    from its start, so that a fold needs no second reading. `remarks` tells what was mended on opening.
    """

    def __init__(
        self,
        folder: Path,
        fresh_epoch: Callable[[], str],
        disk: Disk | None = None,
        watch: Callable[[Record], None] | None = None,
    ) -> None:
        self._folder, self._disk = folder, disk or RealDisk()
        self._mutex = threading.Lock()
        self._seqs: dict[str, int] = {}
        self._files: list[_File] = []
        self._head, self._received = EMPTY, 0
        self._fd, self._broken, self.remarks = -1, "", list[str]()
        with telling("opening the log in", folder):
            finish_repair(self._disk, folder)
            ensure_folder(self._disk, folder)
            self.epoch = self._read_epoch(fresh_epoch)
            self._load(watch)

    @property
    def head(self) -> Head:
        """The last number given (0 while empty), and the hash of its line."""
        return self._head

    @property
    def broken(self) -> str:
        """Why nothing more is taken until the log is opened again; empty while all is well."""
        return self._broken

    def append(self, operations: Sequence[Operation], received_millis: int) -> Appended:
        """Keep what is new in one write and one fsync, then return.

        An operation that is here already is `known`; another one with its id is refused. StoreFull,
        StoreUnwritable and StoreBroken: nothing of the batch was kept.
        """
        with self._mutex:
            if self._broken:
                raise StoreBroken(self._broken)
            batch = self._sort(operations)
            received = max(received_millis, self._received)
            records = self._keep(batch.fresh.values(), received) if batch.fresh else ()
            return Appended(tuple(records), tuple(batch.known), tuple(batch.refused))

    def read(self, after: int = 0, limit: int | None = None) -> Iterator[Record]:
        """The records with numbers above `after`, at most `limit`, up to the head when reading begins."""
        last = self._head.seq if limit is None else min(self._head.seq, after + limit)
        for file in list(self._files):
            first = max(after, file.before) + 1
            if first <= min(last, file.before + len(file.starts)):
                for number, line in enumerate(self._lines(file, first, last), first - file.before):
                    yield _parsed(file, number, line)

    def find(self, operation_id: str) -> Record | None:
        """The record of this operation, None if it is not here."""
        seq = self._seqs.get(operation_id)
        return None if seq is None else next(self.read(seq - 1, 1))

    def extent(self) -> tuple[tuple[Path, int], ...]:
        """Each file with the bytes that are durable in it: what a backup taken now may copy."""
        with self._mutex:
            return tuple((file.path, file.end) for file in self._files)

    def close(self) -> None:
        """Give the file back; appending afterwards is an error."""
        with self._mutex:
            self._broken = self._broken or f"the log in {self._folder} was closed"
            self._release()

    def _read_epoch(self, fresh_epoch: Callable[[], str]) -> str:
        path = self._folder / EPOCH_NAME
        text = path.read_text("ascii", "replace").strip() if path.exists() else ""
        if is_uuid7(text):
            return text
        if month_files(self._folder):
            self.remarks.append(
                f"{path} was missing or unreadable: the log has a new id, phones read it anew"
            )
        replace_file(self._disk, path, f"{(epoch := fresh_epoch())}\n".encode("ascii"))
        return epoch

    def _load(self, watch: Callable[[Record], None] | None) -> None:
        paths = month_files(self._folder)
        for path in paths:
            file = _File(path, self._head.seq)
            self._files.append(file)
            for scanned in scan_file(self._disk, path, self._head, path == paths[-1], self.remarks):
                self._index(file, scanned)
                if watch is not None:
                    watch(scanned.record)

    def _index(self, file: _File, scanned: Scanned) -> None:
        file.starts.append(file.end)
        file.end += scanned.size
        self._seqs[scanned.record.operation.id] = scanned.record.seq
        self._head = scanned.record.head
        self._received = max(self._received, scanned.record.received_millis)

    def _sort(self, operations: Sequence[Operation]) -> _Sorted:
        """Tell new operations from those that are here, or came earlier in the same batch."""
        batch = _Sorted()
        for operation in operations:
            content = operation.to_bytes()
            kept = (
                batch.fresh[operation.id][1] if operation.id in batch.fresh else self._bytes_of(operation.id)
            )
            if kept is None:
                batch.fresh[operation.id] = (operation, content)
            elif kept == content:
                batch.known.append(operation.id)
            else:
                batch.refused.append(Refusal(operation.id, OTHER_CONTENT))
        return batch

    def _bytes_of(self, operation_id: str) -> bytes | None:
        record = self.find(operation_id)
        return None if record is None else record.operation.to_bytes()

    def _keep(self, fresh: Iterable[tuple[Operation, bytes]], received_millis: int) -> Iterator[Record]:
        """Write the lines and wait for the medium; only then count them as kept."""
        head, lines, records = self._head, list[bytes](), list[Record]()
        for operation, content in fresh:
            line, after = compose(content, received_millis, head)
            records.append(Record(after.seq, head.hash, after.hash, received_millis, operation))
            lines.append(line)
            head = after
        file = self._file_for(str(Wall(received_millis, 0))[: len("2026-11")])
        self._write(file, b"".join(lines))
        for record, line in zip(records, lines, strict=True):
            self._index(file, Scanned(record, len(line)))
        return iter(records)

    def _file_for(self, month: str) -> _File:
        """The file to write to: the month's own, or the newest if that has a later one's name."""
        newest = self._files[-1] if self._files else None
        if newest is not None and newest.path.stem >= month:
            return newest
        return _File(self._folder / f"{month}.jsonl", self._head.seq)

    def _write(self, file: _File, content: bytes) -> None:
        new = file not in self._files
        try:
            if new or self._fd < 0:
                self._release()
                self._fd = self._disk.open(file.path, GROWING)
            write_all(self._disk, self._fd, content)
            self._disk.sync(self._fd)
            if new:
                self._disk.sync_folder(self._folder)
        except OSError as problem:
            told = store_error(problem, "writing to", file.path)
            self._roll_back(file, told)
            raise told from problem
        if new:
            self._files.append(file)

    def _roll_back(self, file: _File, told: StoreError) -> None:
        """Cut the file to what was acknowledged; if that fails, or the disk is ill, take no more."""
        try:
            if self._fd >= 0:
                self._disk.truncate(self._fd, file.end)
            healthy = isinstance(told, StoreFull | StoreUnwritable)
        except OSError:
            healthy = False
        self._release()
        if not healthy:
            self._broken = f"{told}. Nothing more is taken until the log is opened again"

    def _release(self) -> None:
        if self._fd >= 0:
            fd, self._fd = self._fd, -1
            with suppress(OSError):  # what had to be on the medium was synced before
                self._disk.close(fd)

    def _lines(self, file: _File, first: int, last: int) -> Iterator[bytes]:
        with file.path.open("rb") as lines:
            lines.seek(file.starts[first - file.before - 1])
            yield from islice(lines, min(last, file.before + len(file.starts)) - first + 1)


def finish_repair(disk: Disk, folder: Path) -> None:
    """Give a mended log its place if the damaged one was moved away just before the power failed."""
    mended = folder.with_name(MENDED_NAME)
    if mended.exists() and not folder.exists():
        disk.rename(mended, folder)
        disk.sync_folder(folder.parent)


def _parsed(file: _File, number: int, line: bytes) -> Record:
    try:
        return parse(line)
    except LineError as problem:
        raise JournalDamaged(file.path, number, str(problem)) from problem
