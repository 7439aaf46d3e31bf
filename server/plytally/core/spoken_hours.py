"""Hours as they are said afterwards: "worked two hours yesterday", "from six to half past nine"."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from plytally.core.day_times import day_time
from plytally.core.quantities import Quantity, unit_named
from plytally.core.wall import Wall, read_wall

HALF_DAY, DAY = 12 * 60, 24 * 60
MINUTE_MS, SLACK_MS = 60_000, 30 * 60_000
YESTERDAY = "yesterday"


@dataclass(frozen=True)
class Told:
    """Time worked as it was told: whole minutes, on which day, and from when to when where that was said."""

    minutes: int
    day: str
    walls: tuple[str, str] = ("", "")
    millis: tuple[int, int] | None = None


def told_afterwards(fields: Mapping[str, object], said: str) -> Told | None:
    """What an entry's fields tell that was said at `said` (RFC 3339); None where no length was told.

    Of the times of day that it can be, the last that was over by then (or within half an hour) counts.
    """
    lasted = fields.get("duration")
    if not isinstance(lasted, Quantity):
        return None
    minutes = int(lasted.to("min").amount)
    earlier = fields.get("day") == YESTERDAY
    day = (date.fromisoformat(said[:10]) - timedelta(days=earlier)).isoformat()
    wall = read_wall(said)
    end = _ended(str(fields.get("ended", "")), wall, day)
    if end is None:
        return Told(minutes, day)
    begin = Wall(end - minutes * MINUTE_MS, wall.offset_min)
    return Told(minutes, str(begin)[:10], (str(begin), str(Wall(end, wall.offset_min))), (begin.millis, end))


def _ended(text: str, said: Wall, day: str) -> int | None:
    """When it ended: on that day, or else on the day before if that is the first time gone by."""
    ended = day_time(text)
    if ended is None:
        return None
    midnight = read_wall(f"{day}T00:00:00.000Z").millis - said.offset_min * MINUTE_MS
    ends = [
        midnight + (24 * 60 * back + hour * 60 + ended.minute) * MINUTE_MS
        for back in (0, -1)
        for hour in sorted(ended.hours, reverse=True)
    ]
    return next((end for end in ends if end <= said.millis + SLACK_MS), None)


def from_until(began: str, ended: str) -> Quantity | None:
    """How long it is from one time of day to another, as `DayTime` writes them; None where one is none.

    Where morning or evening was said of neither, or of one only, it is less than twelve hours.

    >>> from_until("6:00 am or pm", "9:30 am or pm").amount
    Decimal('3.5')
    """
    first, last = day_time(began), day_time(ended)
    if first is None or last is None:
        return None
    half = HALF_DAY if first.either or last.either else DAY
    minutes = (last.hour * 60 + last.minute - first.hour * 60 - first.minute) % half or half
    if minutes % 30:
        return Quantity(Decimal(minutes), unit_named("min"))
    return Quantity(Decimal(minutes) / 60, unit_named("h"))
