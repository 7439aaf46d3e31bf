"""Wall time as written: RFC 3339 text with the local offset, to and from Unix milliseconds.

"2026-11-03T19:05:12.040+01:00" says both when it was and what the clock on the shop wall showed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

MAX_OFFSET_MIN = 18 * 60
DAY_MS = 86_400_000
_MINUTE_MS = 60_000
_EPOCH = date(1970, 1, 1).toordinal()
_LAST = (date.max.toordinal() - _EPOCH + 1) * DAY_MS - 1
_FIRST = (date.min.toordinal() - _EPOCH) * DAY_MS
_TEXT = re.compile(
    r"(?P<date>\d{4}-\d\d-\d\d)[Tt](?P<h>\d\d):(?P<m>\d\d):(?P<s>\d\d)(?P<frac>\.\d+)?"
    r"(?P<zone>[Zz]|[+-]\d\d:\d\d)",
    re.ASCII,
)
WANTED = "wanted RFC 3339 with an offset, such as 2026-11-03T19:05:12.040+01:00"


class WallError(ValueError):
    """Text that is no time; the message says what was found and what is wanted."""


@dataclass(frozen=True, slots=True)
class Wall:
    """An instant (Unix milliseconds, cut off below) and the offset from UTC at which it was written."""

    millis: int
    offset_min: int

    def __str__(self) -> str:
        """RFC 3339 with milliseconds; the offset is always spelt out."""
        local = self.millis + self.offset_min * _MINUTE_MS
        if not _FIRST <= local <= _LAST:
            raise WallError(f"{self.millis} ms from 1970 is outside the years 0001 to 9999")
        days, rest = divmod(local, DAY_MS)
        minutes, ms = divmod(rest, _MINUTE_MS)
        clock = f"{minutes // 60:02}:{minutes % 60:02}:{ms // 1000:02}.{ms % 1000:03}"
        return f"{date.fromordinal(days + _EPOCH).isoformat()}T{clock}{_zone(self.offset_min)}"


def read_wall(text: str) -> Wall:
    """RFC 3339 text as a Wall; WallError says what is wrong with it.

    A leap second (:60, only at 23:59 UTC) counts as the first instant of the next day, as Unix time has it.

    >>> read_wall("1996-12-19T16:39:57-08:00") == Wall(851042397000, -480)
    True
    """
    return Wall(*_read(text))


def wall_millis(text: str) -> int:
    """The Unix milliseconds of RFC 3339 text; WallError says what is wrong with it."""
    return _read(text)[0]


def _read(text: str) -> tuple[int, int]:
    found = _TEXT.fullmatch(text)
    if found is None:
        raise WallError(f"{text!r} is no time: {WANTED}")
    date_, h, m, s, frac, zone = found.groups()
    try:
        midnight, offset = _midnight(date_), _offset(zone)
    except ValueError as problem:
        raise WallError(f"{text!r} is no time: {problem}") from problem
    hour, minute, second = int(h), int(m), int(s)
    if hour > 23 or minute > 59 or second > 60:
        raise WallError(f"{text!r} is no time: there is no {h}:{m}:{s}")
    at = midnight + (hour * 60 + minute - offset) * _MINUTE_MS
    if second == 60 and at % DAY_MS != DAY_MS - _MINUTE_MS:
        raise WallError(f"{text!r} is no time: a leap second comes at 23:59:60 UTC only")
    ms = int(frac[1:4].ljust(3, "0")) if frac else 0
    return at + second * 1000 + ms, offset


@lru_cache(maxsize=4096)  # a log has thousands of times and a few hundred days
def _midnight(day: str) -> int:
    return (date.fromisoformat(day).toordinal() - _EPOCH) * DAY_MS


@lru_cache(maxsize=64)
def _offset(zone: str) -> int:
    if zone in "Zz":
        return 0
    minutes = int(zone[1:3]) * 60 + int(zone[4:])
    if int(zone[4:]) > 59 or minutes > MAX_OFFSET_MIN:
        raise ValueError(f"{zone} is not an offset from UTC")
    return -minutes if zone[0] == "-" else minutes


def _zone(offset_min: int) -> str:
    sign = "-" if offset_min < 0 else "+"
    return f"{sign}{abs(offset_min) // 60:02}:{abs(offset_min) % 60:02}"
