"""Hours worked, from "started work" and "stopped work", and from "worked two hours": who, when, on what.

A stop ends what the same person started last. A start that nobody stopped counts nothing and is told: an
hour that was not noted is asked for, not guessed. What is told afterwards and may be time that counts
already is told as well, and not counted a second time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from plytally.core.entry import Place
from plytally.core.history import Logged
from plytally.core.spoken_hours import Told, told_afterwards
from plytally.core.telling import day_told, place_told

NOT_SAID = "not said"
MOST_MINUTES = 16 * 60
"""Longer than this in one go somebody forgot to say stop."""


@dataclass(frozen=True, slots=True)
class Session:
    """Work from a start to its stop: whole minutes, by whom, and what was said of it.

    `told` is there where it was told afterwards, in one entry, which is both `started` and `stopped`.
    """

    author: str
    started: Logged
    stopped: Logged
    minutes: int
    told: Told | None = None

    @property
    def day(self) -> str:
        """The day it began, by the clock on the shop's wall: "2026-03-14"."""
        return self.told.day if self.told else self.started.wall[:10]

    @property
    def walls(self) -> tuple[str, str]:
        """From when to when, RFC 3339; "" twice where only its length was told."""
        return self.told.walls if self.told else (self.started.wall, self.stopped.wall)

    @property
    def millis(self) -> tuple[int, int] | None:
        """The same in Unix milliseconds, None where only its length was told."""
        return self.told.millis if self.told else (self.started.happened_millis, self.stopped.happened_millis)

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
    counting = (logged for logged in entries if logged.withdrawn is None)
    ordered = sorted(counting, key=lambda each: (each.happened_millis, each.id))
    sessions, loose = list[Session](), list[tuple[Logged, str]]()
    _clocked(ordered, sessions, loose)
    for logged in ordered:
        if logged.entry.kind == "spent":
            session, why = _session_told(logged, sessions)
            if session is None:
                loose.append((logged, why))
            else:
                sessions.append(session)
    sessions.sort(key=lambda each: (each.day, each.started.happened_millis))
    return Hours(tuple(sessions), tuple(loose))


def _clocked(ordered: Sequence[Logged], sessions: list[Session], loose: list[tuple[Logged, str]]) -> None:
    """Add what was started and stopped, and the starts and stops that make no session."""
    running = dict[str, Logged]()
    for logged in ordered:
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


def _session_told(logged: Logged, sessions: Sequence[Session]) -> tuple[Session | None, str]:
    """The session that was told afterwards; None and why where it is not counted."""
    told = told_afterwards(logged.entry.fields, logged.wall)
    if told is None or any(doubt.field == "duration" for doubt in logged.entry.doubts):
        return None, f"time worked, noted on {day_told(logged.wall)}, is in doubt: not counted"
    session = Session(logged.author, logged, logged, told.minutes, told)
    if told.minutes > MOST_MINUTES:
        return None, f"{_length(session)} in one go: not counted"
    other = next(
        (each for each in sessions if each.author == session.author and _same_time(told, session.part, each)),
        None,
    )
    if other is None:
        return session, ""
    return None, f"{_length(session)} may be the same time as {_length(other)}: not counted a second time"


def overlapping(logged: Iterable[Logged], fields: Mapping[str, object], now: str, author: str) -> str:
    """Why time that is about to be noted at `now` may count already; "" where nothing speaks for that."""
    told = told_afterwards(fields, now)
    counted = hours(logged).sessions
    if told is None or not counted:
        return ""
    part = place_told(Place(str(fields.get("part", "")), str(fields.get("side", "")))) or NOT_SAID
    for each in counted:
        if each.author == author and _same_time(told, part, each):
            return f"it may be the same time as {_length(each)}, which counts already"
    return ""


def _same_time(told: Told, part: str, other: Session) -> bool:
    """Whether what was told overlaps a session, or may: one of them says no more than how long it was."""
    if told.millis and other.millis:
        return told.millis[0] < other.millis[1] and other.millis[0] < told.millis[1]
    same_part = part == other.part or NOT_SAID in (part, other.part)
    return told.day == other.day and same_part and (other.told is None or told.minutes == other.minutes)


def _length(session: Session) -> str:
    """How long a session was, and when: "2 h 30 min on 3 March 2026, rudder"."""
    on = f", {session.part}" if session.part != NOT_SAID else ""
    return f"{time_told(session.minutes)} on {day_told(session.day)}{on}"


def time_told(minutes: int) -> str:
    """Minutes as hours and minutes.

    >>> time_told(125), time_told(45)
    ('2 h 05 min', '45 min')
    """
    return f"{minutes // 60} h {minutes % 60:02} min" if minutes >= 60 else f"{minutes} min"


def _told(logged: Logged) -> str:
    did = "work started" if logged.entry.kind == "started" else "work stopped"
    return f"{did} on {day_told(logged.wall)} at {logged.wall[11:16]} by {logged.author}"
