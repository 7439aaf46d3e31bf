"""Clocks that run no more: what they were for, who was called for them and when, and how they ended."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from plytally.core.body import WITHDRAWN
from plytally.core.clocks import ENDS, Running, clock_of, ended_by, runs_one
from plytally.core.due import Around
from plytally.core.history import Logged
from plytally.core.pot_life import ResinTimes
from plytally.core.readback import shown
from plytally.core.wall import Wall

DONE, NOTED, SCRATCHED, LAPSED = "done", "noted", "scratched", "lapsed"


@dataclass(frozen=True)
class Past:
    """A clock that ended: `how` is one of the above, `wall` when, `device` on which, `line` in what words."""

    clock: Running
    how: str
    wall: str
    device: str = ""
    line: str = ""


def past(
    entries: Sequence[Logged], times: ResinTimes, now: int, most: int, before: int | None = None
) -> tuple[Past, ...]:
    """The latest `most` clocks that ended, the one that was started last first; all times Unix milliseconds.

    `entries` are those of `ClockBook.entries`; only what was started before `before` is told.
    """
    counting = [logged for logged in entries if logged.withdrawn is None]
    around = Around.of(counting)
    enders = sorted((each for each in counting if each.entry.kind in ENDS), key=lambda e: e.happened_millis)
    started = (
        each for each in entries if runs_one(each) and (before is None or each.happened_millis < before)
    )
    rows = sorted(started, key=lambda each: (each.happened_millis, each.id), reverse=True)
    return tuple(islice(_ended(rows, enders, around, times, now), most))


def _ended(
    rows: Sequence[Logged], enders: Sequence[Logged], around: Around, times: ResinTimes, now: int
) -> Iterator[Past]:
    for logged in rows:
        clock = clock_of(logged, around, times)
        found = (
            _scratched(logged, clock) or _done(logged, clock) or _noted(clock, enders) or _lapsed(clock, now)
        )
        if found is not None:
            yield found


def _scratched(logged: Logged, clock: Running) -> Past | None:
    if logged.withdrawn is None:
        return None
    last = next(reversed(logged.standing.get(WITHDRAWN, ())), None)
    wall, device = (last.wall, last.device) if last else (logged.wall, "")
    return Past(clock, SCRATCHED, wall, device, logged.withdrawn)


def _done(logged: Logged, clock: Running) -> Past | None:
    if not logged.entry.fields.get("done"):
        return None
    said = [change for change in logged.history("done") if change.value]
    last = said[-1] if said else None
    return Past(clock, DONE, last.wall, last.device, last.why) if last else Past(clock, DONE, logged.wall)


def _noted(clock: Running, enders: Sequence[Logged]) -> Past | None:
    ender = ended_by(clock, enders)
    return Past(clock, NOTED, ender.wall, ender.device, shown(ender.entry)) if ender else None


def _lapsed(clock: Running, now: int) -> Past | None:
    return Past(clock, LAPSED, str(Wall(clock.lapses, clock.offset_min))) if clock.lapsed(now) else None
