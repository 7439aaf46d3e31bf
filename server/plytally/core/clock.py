"""A clock that never runs back, and ids that carry it.

A hybrid logical clock is wall time while wall time behaves, and a counter while it does not: set a
phone back by ten years and its next stamp still follows its last one. Stamps are unique and totally
ordered by (millis, counter, device); the device is plain ASCII, so that Python and JavaScript agree.

Pure: the time and the random bits come in as arguments (`plytally.clock` has the real ones).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

MAX_MILLIS = 2**48 - 1
"""The last millisecond that fits a UUIDv7: a day in the year 10889."""

MAX_COUNTER = 2**20 - 1
"""Stamps in one millisecond, before the clock moves itself on by one."""

MAX_DRIFT_MS = 10 * 60 * 1000
"""How far ahead of its receiver a device may stamp before it is flagged and no longer followed."""

RANDOM_BITS = 74
"""The random bits in a UUIDv7."""

DEVICE = re.compile(r"[a-z0-9][a-z0-9-]{0,63}")
UUID7 = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")


class ClockError(ValueError):
    """A time, device name or id that cannot be; the message says which and what is wanted."""


@dataclass(frozen=True, order=True, slots=True)
class Stamp:
    """When something was done, in an order all devices agree on.

    `millis` is Unix time in milliseconds as far as the device knew it, `counter` separates stamps
    within one, `device` separates devices.
    """

    millis: int
    counter: int
    device: str

    def __post_init__(self) -> None:
        if not 0 <= self.millis <= MAX_MILLIS:
            raise ClockError(f"a stamp's millis lie from 0 to {MAX_MILLIS}, found {self.millis}")
        if not 0 <= self.counter <= MAX_COUNTER:
            raise ClockError(f"a stamp's counter lies from 0 to {MAX_COUNTER}, found {self.counter}")
        if not DEVICE.fullmatch(self.device):
            raise ClockError(
                f"{self.device!r} cannot name a device: 1 to 64 of a-z, 0-9 and '-', a letter or digit first"
            )


def first(device: str) -> Stamp:
    """The stamp before a device's very first one."""
    return Stamp(0, 0, device)


def tick(last: Stamp, now_millis: int) -> Stamp:
    """The stamp for something done now: always later than `last`, whatever the wall clock says.

    `now_millis` is the device's wall clock, corrected by its skew where that is known.

    >>> tick(Stamp(5000, 0, "phone"), 9000)
    Stamp(millis=9000, counter=0, device='phone')
    >>> tick(Stamp(5000, 0, "phone"), 1000)
    Stamp(millis=5000, counter=1, device='phone')
    """
    now = _bounded(now_millis)
    if now > last.millis:
        return Stamp(now, 0, last.device)
    if last.counter < MAX_COUNTER:
        return Stamp(last.millis, last.counter + 1, last.device)
    return Stamp(last.millis + 1, 0, last.device)


def observe(last: Stamp, remote: Stamp, now_millis: int, max_drift_ms: int = MAX_DRIFT_MS) -> Stamp:
    """The stamp after another device's was seen: later than `last`, and than `remote` if that is sane.

    A remote stamp more than `max_drift_ms` ahead of `now_millis` is not followed, so that one clock
    set years ahead does not carry every other one with it.

    >>> observe(Stamp(5000, 0, "shop"), Stamp(7000, 3, "phone"), 6000)
    Stamp(millis=7000, counter=4, device='shop')
    >>> observe(Stamp(5000, 0, "shop"), Stamp(7000, 3, "phone"), 6000, max_drift_ms=10)
    Stamp(millis=6000, counter=0, device='shop')
    """
    if ahead_ms(remote, now_millis, max_drift_ms):
        return tick(last, now_millis)
    latest = max(last, Stamp(remote.millis, remote.counter, last.device))
    return tick(latest, now_millis)


def ahead_ms(stamp: Stamp, now_millis: int, max_drift_ms: int = MAX_DRIFT_MS) -> int:
    """By how many milliseconds `stamp` is ahead of `now_millis`, 0 while within `max_drift_ms`."""
    ahead = stamp.millis - _bounded(now_millis)
    return ahead if ahead > max_drift_ms else 0


def uuid7(millis: int, random_bits: int) -> str:
    """A UUIDv7 (RFC 9562, 5.7) from Unix milliseconds and 74 random bits, in lower case.

    The upper 12 bits become rand_a, the lower 62 rand_b. ClockError for what does not fit.
    """
    if not 0 <= random_bits < 1 << RANDOM_BITS:
        raise ClockError(f"a UUIDv7 takes {RANDOM_BITS} random bits, found {random_bits.bit_length()}")
    rand_a, rand_b = random_bits >> 62, random_bits & ((1 << 62) - 1)
    value = _bounded(millis) << 80 | 0x7 << 76 | rand_a << 64 | 0b10 << 62 | rand_b
    text = f"{value:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


def is_uuid7(text: object) -> bool:
    """Whether `text` is a UUIDv7 in the one spelling we write: lower case, with hyphens."""
    return isinstance(text, str) and UUID7.fullmatch(text) is not None


def uuid7_millis(text: str) -> int:
    """The Unix milliseconds inside a UUIDv7; ClockError if it is none."""
    if not is_uuid7(text):
        raise ClockError(f"{text!r} is not a UUIDv7 in lower case")
    return int(text[:8] + text[9:13], 16)


def _bounded(millis: int) -> int:
    return min(max(millis, 0), MAX_MILLIS)
