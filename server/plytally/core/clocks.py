"""The clocks that run, worked out from the log: what is due when, who was called, what is done.

clocks(entries, times, now) -> each Running with `due`, `called`, `done`. An entry of kind "clock" runs one;
a cup that was mixed runs its pot life, and a bag its pump, by themselves. What a clock learns while it
runs (put off, done, called) are amendments of its entry, so merging is a union like all else:

    due      put off until then; of several that stand, the earliest counts, so that none is lost
    done     "done"; the same word from two phones is no conflict
    called   "DEVICE CALL", gathered: which device called, for which setting of the clock

A `call` is named by the operation that set its time: put off, a clock calls again, and never twice for one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from plytally.core.clock_kinds import CLOCKS, HOUR_MS, ClockKind, kind_of
from plytally.core.due import Around, due_of
from plytally.core.entry import PLACE, Place
from plytally.core.history import Logged
from plytally.core.pot_life import ResinTimes, kept_times
from plytally.core.wall import read_wall

BY_ITSELF: Mapping[str, str] = {"mixed": "pot life", "bagged": "pump"}
"""The kinds of entry that run a clock by themselves, and which."""

LATE_MS = 60_000
"""A call this long after its time says how late it is."""

OLD_MS = 4 * 24 * HOUR_MS
"""Clocks that ran by themselves are looked at this long after their entry, with all they may wait."""

EARLY_MS = 5 * 60_000
"""A vacuum reading ends its clock from this long before its time."""


@dataclass(frozen=True)
class Called:
    """A device that called for a clock, when by its wall, and how that came about."""

    device: str
    call: str
    wall: str
    why: str


@dataclass(frozen=True)
class Running:
    """One clock. Times are Unix milliseconds; `due` is None while nobody said until when it runs.

    `by_itself`: from an entry of another kind. `over` are the operations that an amendment of "due" or
    "done" made now must name.
    """

    id: str
    call: str
    kind: ClockKind
    place: Place
    text: str
    since: int
    offset_min: int
    due: int | None
    why: str = ""
    by_itself: bool = False
    done: int | None = None
    called: tuple[Called, ...] = ()
    over: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def is_due(self, now: int) -> bool:
        """Whether its time has come and nobody is done with it."""
        return self.done is None and self.due is not None and self.due <= now

    def lapsed(self, now: int) -> bool:
        """Whether it was left so long that calling helps nobody."""
        return now > self.lapses

    @property
    def lapses(self) -> int:
        """When that will be, in Unix milliseconds."""
        return (self.since if self.due is None else self.due) + self.kind.lapse_ms

    def called_on(self, device: str) -> bool:
        """Whether this device has called for its present time."""
        return any((each.device, each.call) == (device, self.call) for each in self.called)

    @property
    def label(self) -> str:
        """What it is for, in a few words: "pot life", "timer: turn the heater"."""
        return f"{self.kind.name}: {self.text}" if self.text else self.kind.name


def clocks(entries: Iterable[Logged], times: ResinTimes, now: int) -> tuple[Running, ...]:
    """Every clock that is not done, the first due first; those without a time behind them.

    `entries` are those that count, in any order; `now` is Unix milliseconds. Clocks that nobody ended for so
    long that they lapsed are not among them.
    """
    return _in_order(clock for clock in _not_ended(entries, times, now) if not clock.lapsed(now))


def _in_order(found: Iterable[Running]) -> tuple[Running, ...]:
    return tuple(sorted(found, key=lambda clock: (clock.due is None, clock.due or 0, clock.id)))


def _not_ended(entries: Iterable[Logged], times: ResinTimes, now: int) -> Iterator[Running]:
    counting = [logged for logged in entries if logged.withdrawn is None]
    around = Around.of(counting)
    enders = [logged for logged in counting if logged.entry.kind in ENDS]
    for logged in counting:
        if _may_run(logged, now):
            clock = clock_of(logged, around, times)
            if ended_by(clock, enders) is None:
                yield clock


def _may_run(logged: Logged, now: int) -> bool:
    if logged.entry.fields.get("done"):
        return False
    if logged.entry.kind == "clock":
        return True
    young = logged.happened_millis > now - OLD_MS
    return logged.entry.kind in BY_ITSELF and (young or "due" in logged.standing)


def runs_one(logged: Logged) -> bool:
    """Whether an entry runs a clock, or ever did."""
    return logged.entry.kind == "clock" or logged.entry.kind in BY_ITSELF


def clock_of(logged: Logged, around: Around, times: ResinTimes) -> Running:
    """The clock that an entry runs, whether or not it was ended."""
    entry = logged.entry
    by_itself = BY_ITSELF.get(entry.kind, "")
    kind = kind_of(by_itself or str(entry.fields.get("clock", "")))
    due, why, call = due_of(logged, kind, around, times)
    return Running(
        id=logged.id,
        call=call,
        kind=kind,
        place=entry.place,
        text=str(entry.fields.get("text", "")) if entry.kind == "clock" else "",
        since=logged.happened_millis,
        offset_min=read_wall(logged.wall).offset_min,
        due=due,
        why=why,
        by_itself=bool(by_itself),
        called=tuple(_called(logged)),
        over={name: logged.heads(name) for name in ("due", "done")},
    )


def _called(logged: Logged) -> Iterator[Called]:
    for change in logged.history("called"):
        device, _, call = str(change.value or "").partition(" ")
        if call:
            yield Called(device, call, change.wall, change.why)


def ended_by(clock: Running, enders: Iterable[Logged]) -> Logged | None:
    """The first of these entries that says that what the clock was for has been done; None for none."""
    if not clock.kind.ends:
        return None
    early = (clock.due or 0) - EARLY_MS if clock.kind.name == "vacuum" else 0
    for logged in enders:
        named = logged.entry.kind in clock.kind.ends
        if named and logged.happened_millis > max(clock.since, early) and _same_place(clock, logged):
            return logged
    return None


def _same_place(clock: Running, ender: Logged) -> bool:
    """Whether two places can be one: what either leaves out fits anything."""
    pairs = ((getattr(clock.place, name), getattr(ender.entry.place, name)) for name in PLACE)
    return all(not mine or not theirs or mine == theirs for mine, theirs in pairs)


ENDS = frozenset(ends for kind in CLOCKS.values() for ends in kind.ends)
_OF_INTEREST = frozenset({"shop_air", *BY_ITSELF, *ENDS})


def _open(logged: Logged) -> bool:
    return logged.withdrawn is None and not logged.entry.fields.get("done")


class ClockBook:
    """The entries of a log that clocks are worked out from, kept up to date at the cost of what changed.

    A look costs what runs, not what ever ran: when a clock lapses, and which were ended, is remembered.
    """

    def __init__(self, times: ResinTimes | None = None) -> None:
        self._times = times or ResinTimes()
        self._sums: dict[str, Logged] = {}
        self._asked: dict[str, Logged] = {}
        self._others: dict[str, Logged] = {}
        self._lapses: dict[str, int] = {}
        self._ended: set[str] = set()

    def use(self, times: ResinTimes) -> None:
        """Count by these times from now on: the print has changed."""
        if times != self._times:
            self._times = times
            self._ended.clear()
            self._lapses.clear()

    def take(self, changed: Iterable[Logged]) -> None:
        """Take in entries that are new or say something else."""
        for logged in changed:
            self.drop((logged.id,))
            if logged.entry.kind == "clock":
                self._asked[logged.id] = logged
            elif logged.entry.kind == "worked":
                self._sums[logged.id] = logged
            elif logged.entry.kind in _OF_INTEREST:
                self._others[logged.id] = logged

    def drop(self, gone: Iterable[str]) -> None:
        """Forget entries that the log no longer has, or has otherwise."""
        for entry_id in gone:
            self._lapses.pop(entry_id, None)
            self._asked.pop(entry_id, None)
            self._others.pop(entry_id, None)
            self._sums.pop(entry_id, None)
        self._ended.clear()

    @property
    def times(self) -> ResinTimes:
        """The makers' pot lives: as they were given to the shop computer, else as one was kept in the log."""
        kept = ResinTimes() if self._times.pots else kept_times(self._sums.values())
        return replace(kept, systems=self._times.systems) if kept.pots else self._times

    def running(self, now: int) -> tuple[Running, ...]:
        """Every clock that is not done, see `clocks`."""
        awake = [
            each
            for name, each in self._asked.items()
            if name not in self._ended and now <= self._lapses.get(name, now) and _open(each)
        ]
        first = min([now, *(each.happened_millis for each in awake)]) - OLD_MS
        around = (e for e in self._others.values() if e.happened_millis > first or "due" in e.standing)
        found = list(_not_ended((*awake, *around), self.times, now))
        self._lapses |= {clock.id: clock.lapses for clock in found if not clock.by_itself}
        self._ended |= {each.id for each in awake} - {clock.id for clock in found}
        return _in_order(clock for clock in found if not clock.lapsed(now))

    def entries(self) -> tuple[Logged, ...]:
        """Every entry that runs or ever ran a clock, sets its time or ends it, in no order."""
        return (*self._asked.values(), *self._others.values())

    def around(self, until: int) -> Around:
        """The shop air and the cups noted up to then, in order."""
        return Around.of(each for each in self._others.values() if each.happened_millis <= until)
