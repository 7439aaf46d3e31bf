"""The real time and the real randomness: the one place where plytally asks the machine for either."""

from __future__ import annotations

import secrets
import time
from typing import Protocol

from plytally.core.clock import RANDOM_BITS, uuid7
from plytally.core.next_time import Zone

_HOUR_MS = 3_600_000


class Clock(Protocol):
    """What a log asks its machine: the time, how local time lies to UTC, and random bits."""

    def now_millis(self) -> int:
        """Unix time in milliseconds; it may jump either way."""

    def offset_min(self) -> int:
        """Minutes that local time is ahead of UTC now."""

    def random_bits(self) -> int:
        """74 fresh random bits."""


class MachineClock:
    """The machine's own clock, its local offset, and the operating system's random numbers."""

    def now_millis(self) -> int:
        """Unix time in milliseconds."""
        return time.time_ns() // 1_000_000

    def offset_min(self) -> int:
        """Minutes that local time is ahead of UTC now, daylight saving included."""
        return time.localtime().tm_gmtoff // 60

    def random_bits(self) -> int:
        """74 bits from the operating system."""
        return secrets.randbits(RANDOM_BITS)


def local_zone(now_millis: int, days: int = 8) -> Zone:
    """How local time lies to UTC at an instant, and its changes in the days that follow (daylight saving)."""
    changes, before = list[tuple[int, int]](), _offset_at(now_millis)
    first = before
    for hour in range(now_millis, now_millis + days * 24 * _HOUR_MS, _HOUR_MS):
        if _offset_at(hour + _HOUR_MS) != before:
            before = _offset_at(hour + _HOUR_MS)
            changes.append((_first_at(hour, hour + _HOUR_MS, before), before))
    return Zone(first, tuple(changes))


def _first_at(low: int, high: int, offset: int) -> int:
    """The first second in between at which local time has this offset."""
    while high - low > 1000:
        middle = (low + high) // 2000 * 1000
        low, high = (low, middle) if _offset_at(middle) == offset else (middle, high)
    return high // 1000 * 1000


def _offset_at(millis: int) -> int:
    return time.localtime(millis / 1000).tm_gmtoff // 60


def fresh_id(clock: Clock | None = None) -> str:
    """A new UUIDv7, by the machine's clock where no other is given."""
    clock = clock or MachineClock()
    return uuid7(clock.now_millis(), clock.random_bits())
