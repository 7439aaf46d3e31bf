"""What the rest of plytally asks of a journal, whatever keeps it: a folder of files, or a database."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from plytally.core.operation import Operation
from plytally.store.line import Head, Record


@dataclass(frozen=True, slots=True)
class Refusal:
    """An operation that was not kept, and why."""

    id: str
    why: str


@dataclass(frozen=True, slots=True)
class Appended:
    """What became of a batch: the new records, ids that were here already, and refusals."""

    records: tuple[Record, ...] = ()
    known: tuple[str, ...] = ()
    refused: tuple[Refusal, ...] = ()


class Journal(Protocol):
    """The log of record, in server order."""

    @property
    def epoch(self) -> str:
        """The id of this numbering: a cursor from another epoch means nothing here."""

    @property
    def head(self) -> Head:
        """The last number given, and the hash of its line."""

    def append(self, operations: Sequence[Operation], received_millis: int) -> Appended:
        """Keep what is new, durably, before returning; StoreFull and others keep nothing."""

    def read(self, after: int = 0, limit: int | None = None) -> Iterator[Record]:
        """The records with numbers above `after`, in order."""

    def find(self, operation_id: str) -> Record | None:
        """The record of this operation, None if it is not here."""
