"""The layup schedules that were ever in use, and which one counts now.

DATA/schedules/<sha256>.yaml      each as it was given, never changed; a table is <sha256>.csv
documents, table "schedules"      which came when; the last one counts
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from plytally.core.schedule import Schedule
from plytally.core.wall import Wall
from plytally.schedule_file import is_table, read_schedule_file, schedule_from_yaml
from plytally.schedule_table import schedule_from_csv
from plytally.store.backup import SCHEDULES_NAME
from plytally.store.disk import RealDisk, ensure_folder, replace_file
from plytally.store.documents import Documents
from plytally.store.errors import telling

YAML, CSV = "yaml", "csv"
NO_PRINT = Schedule(aircraft="", revision="")


def schedule_from_text(text: str, kind: str = YAML) -> Schedule:
    """The schedule that YAML or CSV text holds. ScheduleError tells what is wrong with it."""
    return schedule_from_csv(text) if kind == CSV else schedule_from_yaml(text)


class PrintShelf:
    """The schedules kept in a data folder."""

    def __init__(self, folder: Path, documents: Documents) -> None:
        self._folder, self._documents, self._disk = folder / SCHEDULES_NAME, documents, RealDisk()

    def rows(self) -> list[Mapping[str, Any]]:
        """Which text came when, the one that counts last."""
        with self._documents.table("schedules") as table:
            return list(table.all())

    def text(self, row: Mapping[str, Any]) -> str:
        """A text as it was given, by its row."""
        file = self._folder / f"{row['sha256']}.{row.get('kind', YAML)}"
        with telling("reading the schedule in", file):
            return file.read_bytes().decode("utf-8-sig")

    def current(self) -> Schedule:
        """The schedule that counts now; an empty one where none was ever given."""
        with self._documents.table("schedules") as table:
            rows = table.all()
        if not rows:
            return NO_PRINT
        return read_schedule_file(self._folder / f"{rows[-1]['sha256']}.{rows[-1].get('kind', YAML)}")

    def take(self, file: Path, when: Wall) -> Schedule:
        """Make the schedule in `file` the one that counts. ScheduleError tells what is wrong with it."""
        schedule = read_schedule_file(file)
        return self._keep(schedule, file.read_bytes(), when, CSV if is_table(file) else YAML)

    def take_text(self, text: str, when: Wall, kind: str = YAML) -> Schedule:
        """The same for text: YAML, or a table of CSV."""
        return self._keep(schedule_from_text(text, kind), text.encode(), when, kind)

    def _keep(self, schedule: Schedule, content: bytes, when: Wall, kind: str = YAML) -> Schedule:
        name = hashlib.sha256(content).hexdigest()
        with telling("keeping the schedule in", self._folder):
            ensure_folder(self._disk, self._folder)
            replace_file(self._disk, self._folder / f"{name}.{kind}", content)
        row = {
            "sha256": name,
            "kind": kind,
            "taken": str(when),
            "aircraft": schedule.aircraft,
            "revision": schedule.revision,
        }
        with self._documents.table("schedules") as table:
            table.insert(row)
        return schedule
