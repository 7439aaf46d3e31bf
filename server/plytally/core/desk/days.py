"""The days of a log: which entries each holds, and how many of them wait for the desk."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from plytally.core.desk.acts import accepted
from plytally.core.history import Logged
from plytally.core.hours import Hours, hours
from plytally.core.merge import State

OPEN, UNSEEN, ACCEPTED, WITHDRAWN = "open", "unseen", "accepted", "withdrawn"
STANDS = (OPEN, UNSEEN, ACCEPTED, WITHDRAWN)


def stands(logged: Logged) -> str:
    """How an entry stands: open (a doubt or conflict), not seen by a person yet, accepted, withdrawn."""
    if logged.withdrawn is not None:
        return WITHDRAWN
    if logged.entry.doubts or logged.conflicts:
        return OPEN
    return ACCEPTED if accepted(logged) is not None else UNSEEN


@dataclass(frozen=True, slots=True)
class _Placed:
    day: str
    stands: str


class Days:
    """The days of one log, brought up to date at the cost of what changed. Not for two threads at once."""

    def __init__(self) -> None:
        self._state = State()
        self._placed: dict[str, _Placed] = {}
        self._days: dict[str, set[str]] = {}

    def catch_up(self, state: State) -> None:
        """Take in a later state of the same log."""
        for logged in state.changed_since(self._state):
            self._place(logged)
        self._state = state

    def _place(self, logged: Logged) -> None:
        placed = _Placed(logged.wall[:10], stands(logged))
        before = self._placed.get(logged.id)
        if before is not None and before.day != placed.day:
            self._days[before.day].discard(logged.id)
        self._placed[logged.id] = placed
        self._days.setdefault(placed.day, set()).add(logged.id)

    def counts(self) -> Mapping[str, Counter[str]]:
        """How many entries stand how on each day, the latest day first."""
        return {
            day: Counter(self._placed[name].stands for name in self._days[day])
            for day in sorted(self._days, reverse=True)
            if self._days[day]
        }

    def entries(self, day: str) -> list[Logged]:
        """The entries of a day by the clocks of the devices, the first done first."""
        found = (self._state.entries[name] for name in self._days.get(day, ()))
        return sorted(found, key=lambda logged: (logged.happened_millis, logged.rank))

    def hours(self, day: str) -> Hours:
        """The hours that began on a day; a stop after midnight counts with its start."""
        known = sorted(self._days)
        at = known.index(day) if day in known else 0
        near = [logged for each in known[max(0, at - 1) : at + 2] for logged in self.entries(each)]
        return hours(near).within(lambda logged: logged.wall[:10] == day)
