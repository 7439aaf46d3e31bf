"""What starting, ending and putting off a clock puts into the log, as plain JSON acts.

The phone makes operations of them, and so does the shop computer: one set of rules for both.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from plytally.core.clock_kinds import ClockKind, kind_of
from plytally.core.clock_lines import NONE_RUN, due_told, name_told, span_told, wall_told
from plytally.core.clocks import BY_ITSELF, ClockBook, Running
from plytally.core.cups import cup_mass
from plytally.core.day_times import read_day_time
from plytally.core.due import unsaid
from plytally.core.entry import Doubt, Entry, FieldValue
from plytally.core.history import Logged
from plytally.core.next_time import Due, Zone, meant, next_time, zone_of
from plytally.core.next_time import told as wall_shown
from plytally.core.pot_life import pot_life
from plytally.core.quantities import Quantity
from plytally.core.wall import Wall, WallError, read_wall

Act = dict[str, Any]
SNOOZE_MS = 10 * 60_000
UNSAID = Doubt("duration", "", "", "how long it runs was not said")
GONE_BY = "that time had gone by when this was told anew"
DONE = "done"


@dataclass(frozen=True)
class Commanded:
    """What comes of "stop the timer" or "snooze": the acts, the lines to say, and the entry concerned."""

    acts: tuple[Act, ...]
    lines: tuple[str, ...]
    target: str | None = None


def with_due(entry: Entry, said: Wall, zone: Zone, told: int | None = None) -> Entry:
    """A clock's entry as it is noted: a time of day becomes an instant, with its doubt; else unchanged.

    `said` is when it was said, and the zone of then. `told`: when it is told anew, in Unix milliseconds; a
    time that had gone by between the two is asked about.
    """
    if entry.kind != "clock":
        return entry
    fields, doubts = dict(entry.fields), list(entry.doubts)
    due = next_time(str(fields.get("at", "")), said, zone)
    if due is not None:
        fields["due"] = str(due.wall)
        late = told is not None and due.wall.millis <= told
        doubts += [due.doubt or Doubt("due", wall_shown(due.wall), "", GONE_BY)] if due.doubt or late else []
    elif "duration" not in fields and not kind_of(str(fields.get("clock", ""))).knows_how_long:
        doubts.append(UNSAID)
    return replace(entry, fields=fields, doubts=tuple(doubts))


def started_told(entry: Entry, now: Wall, book: ClockBook) -> tuple[str, ...]:
    """What to say of the clock that a fresh entry runs: until when, and how that was found."""
    clock = kind_of(str(entry.fields.get("clock", "")) or BY_ITSELF.get(entry.kind, ""))
    fields = entry.fields
    if entry.kind == "mixed" or (clock.name == "pot life" and not {"due", "duration"} & fields.keys()):
        weight, resin = cup_mass(fields), str(fields.get("resin", ""))
        life = pot_life(resin, weight, now.millis, book.around(now.millis).airs, book.times)
        until = wall_told(life.due_millis, now.millis, now.offset_min)
        return (f"pot life about {life.lasts}, until {until} ({life.why})",)
    if entry.kind != "clock":
        return ()
    due, why = _due_of(fields, clock, now.millis, book)
    if due is None:
        return ()
    calls = f"calls at {wall_told(due, now.millis, now.offset_min)}, in {span_told(due - now.millis)}"
    return (f"{calls} ({why})" if why else calls,)


def _due_of(
    fields: Mapping[str, FieldValue], clock: ClockKind, now: int, book: ClockBook
) -> tuple[int | None, str]:
    due, lasts = fields.get("due"), fields.get("duration")
    if isinstance(due, str):
        return read_wall(due).millis, ""
    if isinstance(lasts, Quantity):
        return now + int(lasts.si() * 1000), ""
    return unsaid(clock, None, None, now, book.around(now), book.times)


def zone_then(logged: Logged, changes: Sequence[Sequence[int]] = ()) -> tuple[Wall, Zone]:
    """When an entry was noted, by the shop's clock, and its local time; `changes` as `zone_of` has them."""
    wall = Wall(logged.happened_millis, read_wall(logged.wall).offset_min)
    return wall, zone_of(str(wall), changes)


def due_again(logged: Logged, at: FieldValue | None, zone: Zone) -> str | None:
    """When a clock is due whose time of day is `at` from now on; None where that says no time."""
    found = next_time(str(at or ""), zone_then(logged)[0], zone)
    return None if found is None else str(found.wall)


def due_said(logged: Logged, text: str, zone: Zone) -> str | None:
    """The instant that typed words name for a clock: one that was asked about, a time of day, or RFC 3339."""
    words = tuple(text.lower().split())
    read = read_day_time(words, 0)
    try:
        whole = str(read_wall(text))
    except WallError:
        whole = None
    if read is not None and read[1] == len(words):
        return due_again(logged, read[0], zone)
    return due_meant(logged, text, zone) or whole


def due_meant(logged: Logged, text: str, zone: Zone) -> str | None:
    """The instant that an answer to a doubted time of day names: the other one, or words said instead."""
    at, wall = logged.entry.fields.get("at"), read_wall(logged.wall)
    asked: Due | None = next_time(str(at), wall, zone) if at else None
    chosen = meant(asked, text) if asked else None
    return None if chosen is None else str(chosen)


def stop(book: ClockBook, said: Mapping[str, FieldValue], words: str, now: Wall) -> Commanded:
    """Be done with the clock that is meant."""
    clock, why = _meant(book, said, now)
    if clock is None:
        return Commanded((), why)
    return Commanded((done_act(clock, words),), (f"{name_told(clock)}: done",), clock.id)


def snooze(book: ClockBook, said: Mapping[str, FieldValue], words: str, now: Wall) -> Commanded:
    """Put the clock that is meant off: by what was said, else by ten minutes."""
    clock, why = _meant(book, said, now)
    if clock is None:
        return Commanded((), why)
    lasts = said.get("duration")
    more = int(lasts.si() * 1000) if isinstance(lasts, Quantity) else SNOOZE_MS
    act, due = put_off_act(clock, more, words, now)
    return Commanded(
        (act,), (f"{name_told(clock)}: calls at {wall_told(due, now.millis, now.offset_min)}",), clock.id
    )


def done_act(clock: Running, why: str) -> Act:
    """Be done with a clock."""
    return _amend(clock, "done", DONE, clock.over.get("done", ()), why)


def put_off_act(clock: Running, more_ms: int, why: str, now: Wall) -> tuple[Act, int]:
    """Let a clock call so much later: from now where it is due, else from its time; and the new time."""
    due = max(now.millis, clock.due or 0) + more_ms
    return _amend(clock, "due", str(Wall(due, now.offset_min)), clock.over.get("due", ()), why), due


def _amend(clock: Running, field: str, value: str, over: Sequence[str], why: str) -> Act:
    body = {"field": field, "value": value, "over": list(over), "author": "builder", "why": why}
    return {"act": "amend", "target": clock.id, "body": body}


def _meant(
    book: ClockBook, said: Mapping[str, FieldValue], now: Wall
) -> tuple[Running | None, tuple[str, ...]]:
    """The clock that a command means: of the kind named the first due; unnamed only where it is plain."""
    name = str(said.get("clock", ""))
    running = [clock for clock in book.running(now.millis) if not name or clock.kind.name == name]
    asked = [clock for clock in running if not clock.by_itself or clock.kind.name != "pump"] or running
    if not asked:
        return None, (f"no {name} clock is running." if name else NONE_RUN,)
    due = [clock for clock in asked if clock.is_due(now.millis)]
    several = due or asked
    if name or len(several) == 1:
        return several[0], ()
    told = "; ".join(f"{name_told(clock)}, {due_told(clock, now.millis)}" for clock in several[:4])
    return None, (f"which clock? {told}. Say it with its name",)
