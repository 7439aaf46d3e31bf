"""Hours asked for, and what to ask of a time that was told: counted already, or not come yet."""

from __future__ import annotations

from collections.abc import Iterable

from plytally.core.day_times import day_time
from plytally.core.entry import Doubt, Entry, Place
from plytally.core.history import Logged
from plytally.core.hours import hours, overlapping, time_told
from plytally.core.schedule import Schedule
from plytally.core.telling import place_told

MOST_REMARKS = 2


def hours_told(entries: Iterable[Logged], where: Place, schedule: Schedule) -> tuple[str, ...]:
    """Give the hours on a place, all of it for none; an assembly has those of its parts."""
    worked = hours(entries).within(lambda logged: _is_on(where, logged, schedule))
    on = f" on the {place_told(Place(where.part, where.side))}" if where.part else ""
    if not worked.sessions:
        first = f"no hours are noted{on}."
    else:
        days = len({session.day for session in worked.sessions})
        first = f"{time_told(worked.minutes)} worked{on}, on {days} day{'s' if days > 1 else ''}."
    more = len(worked.remarks) - MOST_REMARKS
    rest = (f"and {more} more that are not counted.",) if more > 0 else ()
    return (first, *(f"{remark}." for remark in worked.remarks[:MOST_REMARKS]), *rest)


def time_doubts(
    entries: Iterable[Logged], entry: Entry, now: str, author: str = "builder"
) -> tuple[Doubt, ...]:
    """What to ask of the times that an entry tells which is about to be noted at `now`."""
    why = overlapping(entries, entry.fields, now, author) if entry.kind == "spent" else ""
    twice = (Doubt("duration", str(entry.fields.get("duration", "")), "", why),) if why else ()
    return (*twice, *_not_yet(entry, now))


def _not_yet(entry: Entry, now: str) -> tuple[Doubt, ...]:
    """The doubt of work that is told as done at a time of day that has not come at `now`."""
    at = day_time(str(entry.fields.get("at", "")))
    if at is None or entry.kind == "clock" or (at.either and at.day != 1):
        return ()
    if at.day != 1 and (at.hour, at.minute) <= (int(now[11:13]), int(now[14:16])):
        return ()
    why = "it is told as done, and that time has not come yet; for a clock say what it is for"
    return (Doubt("at", str(entry.fields["at"]), "", why),)


def _is_on(where: Place, logged: Logged, schedule: Schedule) -> bool:
    place = logged.entry.place
    of = schedule.takes_in(where.part, place.part) if place.part else not where.part
    return of and (not where.side or where.side == place.side)
