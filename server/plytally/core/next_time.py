"""From a time of day to an instant: the next time the shop's wall clock shows it, and every doubt about that.

next_time("21:00 today", now, zone) -> Due(2026-11-25T21:00:00-05:00). Where morning or evening was not said,
where the time has just gone by, or where the clocks are changed that night, the likeliest instant comes with
a doubt that names the other: nothing is guessed in silence.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plytally.core.day_times import DayTime, day_time
from plytally.core.entry import Doubt
from plytally.core.telling import day_told
from plytally.core.wall import DAY_MS, Wall, read_wall

MINUTE_MS = 60_000
JUST_PAST_MS = 12 * 60 * MINUTE_MS
"""A time of day that went by less than this ago may be meant as gone by, or as tomorrow's."""


@dataclass(frozen=True)
class Zone:
    """How local time lies to UTC: now, and from when on otherwise, as (Unix milliseconds, minutes)."""

    offset_min: int
    changes: tuple[tuple[int, int], ...] = ()

    def offset_at(self, millis: int) -> int:
        """Minutes that local time is ahead of UTC at an instant from now on."""
        passed = [offset for begins, offset in self.changes if begins <= millis]
        return passed[-1] if passed else self.offset_min

    def at(self, local_ms: int) -> list[Wall]:
        """Every instant when the wall shows this: two when clocks go back, none when they go forward."""
        offsets = dict.fromkeys((self.offset_min, *(offset for _, offset in self.changes)))
        found = (Wall(local_ms - offset * MINUTE_MS, offset) for offset in offsets)
        return sorted(
            (wall for wall in found if self.offset_at(wall.millis) == wall.offset_min),
            key=lambda wall: wall.millis,
        )

    def after_gap(self, local_ms: int) -> Wall:
        """The instant for a local time that the wall never shows, as if the clocks had not gone forward."""
        change = next(begins for begins, offset in self.changes if begins + offset * MINUTE_MS > local_ms)
        before = self.offset_at(change - 1)
        millis = local_ms - before * MINUTE_MS
        return Wall(millis, self.offset_at(millis))


def zone_of(now: str, changes: Sequence[Sequence[int]]) -> Zone:
    """The zone of a phone, from its time (RFC 3339) and the changes that it told."""
    return Zone(read_wall(now).offset_min, tuple((begins, offset) for begins, offset in changes))


@dataclass(frozen=True)
class Due:
    """When a clock is due, the other instants it may have been meant for, and the doubt about it."""

    wall: Wall
    others: tuple[Wall, ...] = ()
    doubt: Doubt | None = None


def told(wall: Wall) -> str:
    """An instant as the shop's wall shows it: "21:00 on 25 November 2026"."""
    text = str(wall)
    return f"{text[11:16]} on {day_told(text)}"


def next_time(text: str, now: Wall, zone: Zone) -> Due | None:
    """When a time of day comes next, seen from `now`; None if `text` is none that `day_times` wrote."""
    time = day_time(text)
    if time is None:
        return None
    found = [candidate for hour in time.hours for candidate in _candidates(time, hour, now, zone)]
    coming = sorted((each for each in found if each.wall.millis > now.millis), key=lambda e: e.wall.millis)
    return _chosen(time, coming, found, now)


@dataclass(frozen=True)
class _Candidate:
    """One instant that may be meant; `strange` says what the change of the clocks does to it."""

    wall: Wall
    hour: int
    strange: str = ""


def _candidates(time: DayTime, hour: int, now: Wall, zone: Zone) -> Iterator[_Candidate]:
    midnight = (now.millis + now.offset_min * MINUTE_MS) // DAY_MS * DAY_MS
    days = (0, 1) if time.day is None else (time.day, time.day + 1) if time.day == 0 else (time.day,)
    for day in days:
        local = midnight + day * DAY_MS + (hour * 60 + time.minute) * MINUTE_MS
        instants = zone.at(local)
        if not instants:
            yield _Candidate(zone.after_gap(local), hour, "the clocks go forward then: that time is left out")
        for instant in instants:
            strange = "the clocks go back then: that time comes twice" if len(instants) > 1 else ""
            yield _Candidate(instant, hour, strange)


def _chosen(time: DayTime, coming: Sequence[_Candidate], found: Sequence[_Candidate], now: Wall) -> Due:
    first = coming[0]
    past = max((each.wall for each in found if each.wall.millis <= now.millis), key=_millis, default=None)
    if first.strange:
        twin = [each.wall for each in coming[1:] if each.hour == first.hour and each.strange][:1]
        return _doubted(first.wall, twin, first.strange)
    if time.either:
        other = next((each.wall for each in coming if each.hour != first.hour), None)
        return _doubted(first.wall, [other] if other else [], "morning or evening was not said")
    if past is not None and (time.day == 0 or now.millis - past.millis < JUST_PAST_MS):
        return _doubted(first.wall, [past], "that time has gone by today")
    return Due(first.wall)


def _doubted(wall: Wall, others: Sequence[Wall], why: str) -> Due:
    second = _apart(others[0], wall) if others else ""
    return Due(wall, tuple(others), Doubt("due", _apart(wall, *others), second, why))


def _apart(wall: Wall, *others: Wall) -> str:
    """An instant in words that no other of these has: with its offset where clocks go back."""
    words = told(wall)
    return f"{words} ({str(wall)[-6:]})" if any(told(other) == words for other in others) else words


def meant(due: Due, text: str) -> Wall | None:
    """Which of a doubt's instants these words name; None for neither."""
    every = (due.wall, *due.others)
    named = (each for each in every if text in (told(each), _apart(each, *(o for o in every if o != each))))
    return next(named, None)


def _millis(wall: Wall) -> int:
    return wall.millis
