"""When a clock is due: as it was put off, as it was said, or as its resin and the shop air make it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from plytally.core.clock_kinds import ClockKind
from plytally.core.cups import cup_mass
from plytally.core.entry import FieldValue
from plytally.core.history import Change, Logged
from plytally.core.next_time import Zone, next_time
from plytally.core.pot_life import Air, ResinTimes, cure_time, pot_life
from plytally.core.quantities import Quantity
from plytally.core.wall import DAY_MS, Wall, read_wall

Due = tuple[int | None, str, str]
"""When (Unix milliseconds, None if nobody said), how that was found, and the operation that set it."""


@dataclass(frozen=True)
class Around:
    """What was noted in the shop meanwhile, in order of time: temperatures, and cups as (when, resin)."""

    airs: tuple[Air, ...] = ()
    cups: tuple[tuple[int, str], ...] = ()

    @classmethod
    def of(cls, entries: Iterable[Logged]) -> Around:
        """Out of entries that count, in any order."""
        rows = sorted(entries, key=lambda logged: logged.happened_millis)
        cups = ((row.happened_millis, str(row.entry.fields.get("resin", ""))) for row in rows if _is_cup(row))
        return cls(tuple(air for row in rows if (air := _air(row))), tuple(cups))

    def resin(self, until: int) -> str:
        """The resin of the last cup within a day, "" where there is none or it was not named."""
        return next((name for at, name in reversed(self.cups) if until - DAY_MS <= at <= until), "")


def due_of(logged: Logged, kind: ClockKind, around: Around, times: ResinTimes) -> Due:
    """When a clock is due."""
    put_off = [] if _at_changed(logged) else [str(c.value) for c in _heads(logged, "due") if c.value]
    if put_off:
        first = min(put_off, key=lambda text: read_wall(text).millis)
        return read_wall(first).millis, "", _set_by(logged, "due", first)
    fields, since = logged.entry.fields, logged.happened_millis
    said, at = fields.get("duration"), fields.get("at")
    if isinstance(said, Quantity):
        return since + int(said.si() * 1000), "", _set_by(logged, "duration", said)
    if isinstance(at, str):
        wall = Wall(since, read_wall(logged.wall).offset_min)
        found = next_time(at, wall, Zone(wall.offset_min))
        return (found.wall.millis if found else None), "", _set_by(logged, "at", at)
    due, why = unsaid(kind, fields.get("resin"), cup_mass(fields), since, around, times)
    return due, why, logged.id


def unsaid(
    kind: ClockKind,
    resin: FieldValue | None,
    mass: FieldValue | None,
    since: int,
    around: Around,
    times: ResinTimes,
) -> tuple[int | None, str]:
    """When a clock of this kind is due that began at `since` without a time, and how that was found."""
    if kind.name == "pot life":
        weight = mass if isinstance(mass, Quantity) else None
        life = pot_life(str(resin or ""), weight, since, around.airs, times)
        return life.due_millis, life.why
    cure = cure_time(around.resin(since), since, around.airs, times) if kind.name == "cure" else None
    if cure is not None:
        return cure.due_millis, cure.why
    if kind.usual is not None:
        return since + int(kind.usual.si() * 1000), f"{kind.usual} is usual: common practice, no source"
    return None, ""


def _at_changed(logged: Logged) -> bool:
    """Whether its time of day is another than was noted, and nothing was said since of when it is due."""
    changed = "at" in logged.standing and logged.entry.fields.get("at") != logged.noted.fields.get("at")
    return changed and "due" not in logged.standing


def _set_by(logged: Logged, name: str, value: FieldValue) -> str:
    """The operation that gave this value first: confirming it later makes no new call."""
    given = (change.operation for change in logged.history(name) if change.value == value)
    return next(given, logged.id)


def _heads(logged: Logged, name: str) -> tuple[Change, ...]:
    if name in logged.standing:
        return logged.standing[name]
    return tuple(change for change in logged.history(name) if change.act == "note")


def _is_cup(logged: Logged) -> bool:
    return logged.entry.kind == "mixed"


def _air(logged: Logged) -> Air | None:
    heat = logged.entry.fields.get("temperature")
    if logged.entry.kind != "shop_air" or not isinstance(heat, Quantity):
        return None
    doubted = any(doubt.field == "temperature" for doubt in logged.entry.doubts)
    return Air(logged.happened_millis, heat, doubted)
