"""The real time and the real randomness: the one place where plytally asks the machine for either."""

from __future__ import annotations

import secrets
import time
from typing import Protocol

from plytally.core.clock import RANDOM_BITS, uuid7


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


def fresh_id(clock: Clock | None = None) -> str:
    """A new UUIDv7, by the machine's clock where no other is given."""
    clock = clock or MachineClock()
    return uuid7(clock.now_millis(), clock.random_bits())
