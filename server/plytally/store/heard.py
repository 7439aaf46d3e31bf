"""What the shop computer heard when it heard recordings again.

    second_hearings.jsonl   {"attachment":…,"differing":[…],"entry":…,"heard":…,"problem":…}, a line a try

It grows with the log, so it is no table of the documents, which are written whole at each change; in
memory is only where each entry's lines end. Several of these may read one file while one of them keeps.
"""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from plytally.core.hearing import Hearing
from plytally.store.disk import Disk
from plytally.store.lines import JsonLines

HEARD_NAME = "second_hearings.jsonl"
MOST_TRIES = 2


class HeardAgain:
    """Which recordings were heard again. One thread at a time may keep; others may ask meanwhile."""

    def __init__(self, folder: Path, disk: Disk | None = None) -> None:
        self._lines = JsonLines(folder / HEARD_NAME, disk)
        self._heard, self._failed = set[str](), Counter[str]()
        self._ends: dict[str, dict[str, int]] = {}
        self._read, self._mutex = 0, threading.Lock()
        self._catch_up()

    def __iter__(self) -> Iterator[Mapping[str, Any]]:
        """Every try, the first one first."""
        return (row for row in self._lines if isinstance(row, dict) and "attachment" in row)

    def __contains__(self, attachment: str) -> bool:
        """Whether this recording was heard, or tried so often that it is left."""
        return attachment in self._heard or self._failed[attachment] >= MOST_TRIES

    def of_entry(self, entry_id: str) -> Mapping[str, Mapping[str, Any]]:
        """The last try of each recording of an entry, by the operation that attached it.

        `place` in it is another number after each try.
        """
        self._catch_up()
        ends = self._ends.get(entry_id, {})
        return {name: self._lines.before(end) | {"place": end} for name, end in ends.items()}

    @property
    def given_up(self) -> int:
        """How many recordings could not be heard."""
        failed = list(self._failed.items())
        return sum(tries >= MOST_TRIES and one not in self._heard for one, tries in failed)

    def keep(
        self, attachment: str, entry_id: str, heard: Hearing | None, differing: Sequence[str], problem: str
    ) -> None:
        """Keep what a try gave, durably: a hearing and the fields that differ, or what went wrong."""
        row: dict[str, Any] = {
            "attachment": attachment,
            "entry": entry_id,
            "heard": None if heard is None else heard.as_json(),
            "differing": list(differing),
            "problem": problem,
        }
        self._lines.append(row)
        self._catch_up()

    def _catch_up(self) -> None:
        """Take in the lines that were added since, by whomever."""
        with self._mutex:
            for end, row in self._lines.from_place(self._read):
                self._read = end
                if isinstance(row, dict) and "attachment" in row:
                    self._ends.setdefault(str(row.get("entry", "")), {})[row["attachment"]] = end
                    self._count(row)

    def _count(self, row: Mapping[str, Any]) -> None:
        if row.get("heard"):
            self._heard.add(row["attachment"])
        else:
            self._failed[row["attachment"]] += 1
