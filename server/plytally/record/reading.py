"""A data folder read as it stands, without its lock: also while a server keeps the log.

What is read is the chain up to its last whole line; damage is refused, as a record made from it would lie.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plytally.core.merge import Fold, State
from plytally.record.errors import NoLog
from plytally.store.backup import SCHEDULES_NAME
from plytally.store.documents import DOCUMENTS_NAME, copy_of, unframed
from plytally.store.errors import JournalDamaged, telling
from plytally.store.journal import EPOCH_NAME, JOURNAL_NAME
from plytally.store.line import Head
from plytally.store.media import MEDIA_NAME, MediaFolder
from plytally.store.verify import Report, SoundRecords, journal_files

Progress = Callable[[int, int], None]
"""Called with how much is done and how much there is."""


@dataclass(frozen=True)
class Reading:
    """A log as it stood when it was read: `head` is its last line, `tables` the small documents."""

    folder: Path
    state: State
    head: Head
    media: MediaFolder
    tables: Mapping[str, Mapping[str, Any]]

    def table(self, name: str) -> list[Any]:
        """The rows of one of the documents' tables, in the order they were put in."""
        rows = self.tables.get(name, {})
        return [rows[key] for key in sorted(rows, key=int)]

    def print_file(self) -> Path | None:
        """The file of the layup schedule that counts, None where none was ever given."""
        rows = self.table("schedules")
        if not rows:
            return None
        return self.folder / SCHEDULES_NAME / f"{rows[-1]['sha256']}.{rows[-1].get('kind', 'yaml')}"


def read_folder(folder: Path, progress: Progress | None = None) -> Reading:
    """Read a data folder; JournalDamaged where a line is not what was written, NoLog if there is none."""
    fold, report, paths = Fold(), Report(), journal_files(folder)
    if not (folder / JOURNAL_NAME / EPOCH_NAME).is_file():
        raise NoLog(f"{folder} holds no log; name its folder with --data")
    total, done = sum(path.stat().st_size for path in paths), 0

    def step(size: int) -> None:
        nonlocal done
        done += size
        if progress:
            progress(min(done, total), total)

    with telling("reading", folder):
        for record in SoundRecords(report, step).read(paths):
            fold.apply(record.operation, record.received_millis)
    for damage in report.damage:
        raise JournalDamaged(damage.file, damage.line, damage.what)
    return Reading(folder, fold.state(), report.head, MediaFolder(folder / MEDIA_NAME), _tables(folder))


def _tables(folder: Path) -> Mapping[str, Mapping[str, Any]]:
    main = folder / DOCUMENTS_NAME
    text = unframed(main) or unframed(copy_of(main))
    found: Mapping[str, Mapping[str, Any]] = json.loads(text) if text else {}
    return found
