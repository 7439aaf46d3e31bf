"""How much one phone may bring in a day, and how much of the disk stays free whatever comes.

A phone in bad hands, or one that repeats itself, must not fill the disk under the log. What is refused here
is on the phone, which keeps it and asks again by itself; `Retry-After` says when there will be room for it.
"""

from __future__ import annotations

import shutil
import threading
from collections import deque
from pathlib import Path

from plytally.clock import Clock
from plytally.web.problem import Problem

DAY_MS = 24 * 60 * 60 * 1000
GB, MB = 1024**3, 1024**2

FLOOR_BYTES = GB
"""What sounds and photos leave free on the disk, so that log, backup and record can go on."""

UPLOADS_A_DAY = 8 * GB
"""Sounds and photos of one phone; a long day at the bench makes about one."""

NOTES_A_DAY = 256 * MB
"""Notes and changes of one phone, with what is put aside; a long day makes less than one."""


class Allowance:
    """What each phone brought in the last 24 hours, in bytes; threads may share it."""

    def __init__(self, clock: Clock, most: int, what: str) -> None:
        self._clock, self._most, self._what = clock, most, what
        self._came: dict[str, deque[tuple[int, int]]] = {}
        self._mutex = threading.Lock()

    def check(self, who: str, size: int = 0) -> None:
        """Problem `too-much` if `size` bytes more would be more than a phone may bring in a day."""
        with self._mutex:
            came, now = self._came.get(who, deque()), self._clock.now_millis()
            while came and came[0][0] <= now - DAY_MS:
                came.popleft()
            used = sum(bytes_ for _, bytes_ in came)
            oldest = came[0][0] if came else None
        if oldest is not None and used + size > self._most:
            wait = max(60, (oldest + DAY_MS - now) // 1000)
            raise Problem(
                "too-much",
                f"this phone has brought {used / MB:.0f} MB of {self._what} in a day, as much as one may. "
                "The rest stays on the phone and goes by itself later; a phone that is not yours to trust "
                "can be revoked at the desk, page Phones",
                headers={"Retry-After": str(wait)},
            )

    def took(self, who: str, size: int, at: int | None = None) -> None:
        """Count what was taken in; `at` in Unix milliseconds, else now."""
        with self._mutex:
            when = self._clock.now_millis() if at is None else at
            self._came.setdefault(who, deque()).append((when, size))


def check_floor(folder: Path, size: int) -> None:
    """Problem `disk-full` if `size` bytes more would take what is to stay free."""
    free = shutil.disk_usage(folder).free
    if free < size + FLOOR_BYTES:
        raise Problem(
            "disk-full",
            f"the shop computer has {free / MB:.0f} MB free and keeps {FLOOR_BYTES // MB} MB for its log; "
            "sounds and photos stay on the phone until there is more room: make room on the computer",
            headers={"Retry-After": "600"},
        )
