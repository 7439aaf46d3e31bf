"""Hours worked, from "started work" and "stopped work": who, when, on what.

A stop ends what the same person started last. A start that nobody stopped counts nothing and is told: an
hour that was not noted is asked for, not guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from plytally.core.entry import Place
from plytally.core.history import Logged
from plytally.core.telling import day_told, place_told

NOT_SAID = "not said"
MOST_MINUTES = 16 * 60
"""Longer than this in one go somebody forgot to say stop."""


@dataclass(frozen=True, slots=True)
class Session:
    """Work from a start to its stop: whole minutes, by whom, and what was said of it."""

    author: str
    started: Logged
    stopped: Logged
    minutes: int

    @property
    def day(self) -> str:
        """The day it began, by the clock on the shop's wall: "2026-03-14"."""
        return self.started.wall[:10]

    @property
    def week(self) -> str:
        """The week it began in, by ISO 8601: "2026-W11"."""
        year, week, _ = date.fromisoformat(self.day).isocalendar()
        return f"{year}-W{week:02}"

    @property
    def part(self) -> str:
        """The part it was on, with its side."""
        said = self._said("part")
        return place_told(Place(said, self._said("side"))) if said else NOT_SAID

    @property
    def category(self) -> str:
        """What kind of work it was."""
        return self._said("category") or NOT_SAID

    def _said(self, name: str) -> str:
        fields = (self.started.entry.fields.get(name), self.stopped.entry.fields.get(name))
        return str(next((value for value in fields if value), ""))


@dataclass(frozen=True, slots=True)
class Hours:
    """All sessions, the first one first, and each start or stop that makes none, with a sentence."""

    sessions: tuple[Session, ...]
    loose: tuple[tuple[Logged, str], ...] = ()

    @property
    def remarks(self) -> tuple[str, ...]:
        """The sentences on what could not be counted."""
        return tuple(why for _, why in self.loose)

    def within(self, keeps: Callable[[Logged], bool]) -> Hours:
        """The sessions whose start is kept; a stop says no part, it belongs to its start."""
        return Hours(
            tuple(session for session in self.sessions if keeps(session.started)),
            tuple((logged, why) for logged, why in self.loose if keeps(logged)),
        )

    @property
    def minutes(self) -> int:
        """The minutes of all of them."""
        return sum(session.minutes for session in self.sessions)

    def by(self, key: Callable[[Session], str]) -> Mapping[str, int]:
        """Minutes by part, category, week or day: `key` gives which."""
        sums: dict[str, int] = {}
        for session in self.sessions:
            sums[key(session)] = sums.get(key(session), 0) + session.minutes
        return sums


def hours(entries: Iterable[Logged]) -> Hours:
    """The hours in a log's entries; withdrawn ones do not count."""
    sessions, loose, running = list[Session](), list[tuple[Logged, str]](), dict[str, Logged]()
    for logged in sorted(entries, key=lambda each: (each.happened_millis, each.id)):
        if logged.withdrawn is not None:
            continue
        if logged.entry.kind == "started":
            if earlier := running.pop(logged.author, None):
                why = f"{_told(earlier)} was not stopped before the next start: not counted"
                loose.append((earlier, why))
            running[logged.author] = logged
        elif logged.entry.kind == "stopped":
            began = running.pop(logged.author, None)
            minutes = (logged.happened_millis - began.happened_millis) // 60_000 if began else 0
            if began is None:
                loose.append((logged, f"{_told(logged)} has no start: not counted"))
            elif minutes > MOST_MINUTES:
                why = f"{_told(began)} ran for {time_told(minutes)}: not counted, when did it stop?"
                loose.append((began, why))
            else:
                sessions.append(Session(logged.author, began, logged, minutes))
    loose += ((each, f"{_told(each)} is not stopped yet: not counted") for each in running.values())
    return Hours(tuple(sessions), tuple(loose))


def time_told(minutes: int) -> str:
    """Minutes as hours and minutes.

    >>> time_told(125), time_told(45)
    ('2 h 05 min', '45 min')
    """
    return f"{minutes // 60} h {minutes % 60:02} min" if minutes >= 60 else f"{minutes} min"


def _told(logged: Logged) -> str:
    did = "work started" if logged.entry.kind == "started" else "work stopped"
    return f"{did} on {day_told(logged.wall)} at {logged.wall[11:16]} by {logged.author}"
