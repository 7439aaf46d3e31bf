"""When a cup's pot life is over, from its resin system and the shop air that is noted.

pot_life(mixed at 90 °F) -> 10 min where 20 min at 72 °F is usual: 18 °F more halve it. A maker's own times
for the resin system come first (`ResinTimes`); the temperature is the last one noted within a day, and
further ones count from when they are noted. An estimate: the maker's sheet decides.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from itertools import chain
from typing import Any

from plytally.core.cards.curing import POT_LIFE
from plytally.core.entry import EntryError, value_from_json, value_to_json
from plytally.core.history import Logged
from plytally.core.printed import printed
from plytally.core.quantities import Quantity, parse_quantity, unit_named
from plytally.core.resin_systems import Resin, resin_of
from plytally.core.schedule import Schedule
from plytally.core.shop.cure import At, Timed, timed
from plytally.core.shop.cure_clock import Reading, run_clock
from plytally.core.shop.errors import ShopError
from plytally.core.shop.sources import DA20, TRADE, WARM
from plytally.core.wall import DAY_MS

ROOM = parse_quantity("72 degF")
USUAL_POT = parse_quantity("20 min")
USUAL = timed(ROOM, USUAL_POT)
"""A short, common pot life of a laminating epoxy: common practice, no source."""

COMMON_POT = parse_quantity("100 g")
RULE = f"18 °F more halve it, {WARM}"
COMMON_CUP = f"the common 100 g ({DA20})"
BY_PRINT, BY_SHEET = "the print's", "the maker's sheet"
NO_AIR = "no shop air was noted in the last day: 72 °F assumed"
DOUBTED = "the shop air noted is in doubt: the shorter time is taken"


@dataclass(frozen=True)
class Air:
    """A shop temperature that was noted; `doubted` if nobody confirmed what was heard."""

    millis: int
    temperature: Quantity
    doubted: bool = False


@dataclass(frozen=True)
class PotLife:
    """When it is over (Unix milliseconds), how long that is from mixing, and how it was found."""

    due_millis: int
    lasts: Quantity
    why: str


@dataclass(frozen=True)
class ResinTimes:
    """What the makers' sheets say: pot lives by resin system as the builder gave them, and the print's.

    Of what is known for a resin the builder's own counts first, then the print's; a lone system counts for
    every cup that names none that is known.
    """

    pots: Mapping[str, Timed] = field(default_factory=dict)
    systems: tuple[Resin, ...] = ()

    def with_print(self, schedule: Schedule) -> ResinTimes:
        """These, and what the print says of its resins."""
        return replace(self, systems=schedule.resins)

    def of(self, resin: str) -> tuple[Timed, str]:
        """The pot life of a resin system, and where it comes from; the usual one where none is known."""
        printed = {each.name: each.pot for each in self.systems if each.pot}
        both = ((self.pots, BY_SHEET), (printed, BY_PRINT))
        named = ((known[resin], source) for known, source in both if resin in known)
        lone = ((next(iter(known.values())), source) for known, source in both if len(known) == 1)
        return next(chain(named, lone), (USUAL, f"usual, {TRADE}"))

    def system(self, resin: str) -> Resin | None:
        """What the print says of a resin system, a lone one for every cup."""
        return resin_of(self.systems, resin) or (self.systems[0] if len(self.systems) == 1 else None)

    def cup(self, resin: str) -> tuple[Quantity, str]:
        """The mass of a cup that the pot life is for, and its name in a sentence."""
        system = self.system(resin)
        if system is None or system.cup is None:
            return COMMON_POT, COMMON_CUP
        return system.cup, f"the {system.cup} that the print gives it for"

    def as_json(self) -> dict[str, Any]:
        """By resin system, rows of temperature and time."""
        return {
            resin: [[value_to_json(row.temperature), value_to_json(row.time)] for row in maker.rows]
            for resin, maker in self.pots.items()
        }

    @classmethod
    def from_json(cls, raw: Mapping[str, Any]) -> ResinTimes:
        """The inverse of `as_json`; EntryError or ShopError say what is wrong."""
        return cls({resin: Timed(tuple(_row(row) for row in rows)) for resin, rows in raw.items()})


def kept_times(sums: Iterable[Logged]) -> ResinTimes:
    """The maker's pot life that was kept last from the card of pot lives; none where none stands."""
    standing = [each for each in sums if each.withdrawn is None and not each.entry.doubts]
    for each in sorted(standing, key=lambda logged: logged.happened_millis, reverse=True):
        fields = each.entry.fields
        heat, lasts = fields.get("temperature"), fields.get("duration")
        if fields.get("quality") == POT_LIFE and isinstance(heat, Quantity) and isinstance(lasts, Quantity):
            return ResinTimes({str(fields.get("resin", "")): timed(heat, lasts)})
    return ResinTimes()


def pot_life(
    resin: str, mass: Quantity | None, mixed: int, airs: Sequence[Air], times: ResinTimes
) -> PotLife:
    """When the pot life of a cup mixed at `mixed` (Unix milliseconds) is over.

    `airs` are in order of time. A temperature in doubt counts only where it makes the time shorter.
    """
    maker, source = times.of(resin)
    sure = _over(maker, mixed, [air for air in airs if not air.doubted])
    every = _over(maker, mixed, airs) if any(air.doubted for air in airs) else sure
    due, start = min(sure, every, key=lambda found: found[0])
    row = maker.rows[0]
    told = [f"{_row_told(row)} is {source}", *_air_told(maker, start)]
    told += [DOUBTED] if every[0] < sure[0] else []
    cup, which = times.cup(resin)
    told += [f"more than {which}: it goes sooner than this clock"] if mass and mass.si() > cup.si() else []
    return PotLife(due, minutes(due - mixed), "; ".join(told))


def cure_time(resin: str, since: int, airs: Sequence[Air], times: ResinTimes) -> PotLife | None:
    """When a cure that began at `since` should be done, by the print's time for the resin; None without one.

    A temperature in doubt counts only where it makes the time longer.
    """
    system = times.system(resin)
    if system is None or system.cure_time is None:
        return None
    if system.cures is None:
        return PotLife(
            since + _millis(system.cure_time), system.cure_time, f"{system.cure_time} by the print"
        )
    sure = _over(system.cures, since, [air for air in airs if not air.doubted])
    every = _over(system.cures, since, airs)
    due, start = max(sure, every, key=lambda found: found[0])
    row = system.cures.rows[0]
    told = [f"{_row_told(row)} by the print", *_air_told(system.cures, start)]
    return PotLife(due, minutes(due - since), "; ".join(told))


def _row_told(row: At) -> str:
    return f"{printed(row.time)} at {printed(row.temperature)}"


def _air_told(maker: Timed, start: Air | None) -> list[str]:
    """The air that a clock began with, and by which rule that counts, where it is not the row's own."""
    if start is None:
        return [NO_AIR]
    if start.temperature.si() == maker.rows[0].temperature.si():
        return []
    several = f"between that and {_row_told(maker.rows[-1])}" if len(maker.rows) > 1 else RULE
    return [f"{printed(start.temperature)} shop air; {several}"]


def minutes(millis: int) -> Quantity:
    """So many milliseconds in whole minutes, the nearest, at least one."""
    return Quantity(Decimal(max(1, round(millis / 60_000))), unit_named("min"))


def _over(maker: Timed, mixed: int, airs: Sequence[Air]) -> tuple[int, Air | None]:
    """When it is over, and the temperature that it began with, None where none is known."""
    start = next((air for air in reversed(airs) if mixed - DAY_MS <= air.millis <= mixed), None)
    readings = [Reading(_seconds(0), start.temperature if start else ROOM)]
    due = _left(maker, mixed, readings)
    for air in airs:
        if mixed < air.millis < due:
            readings.append(Reading(_seconds(air.millis - mixed), air.temperature))
            due = _left(maker, mixed, readings)
    return due, start


def _left(maker: Timed, mixed: int, readings: Sequence[Reading]) -> int:
    """When it is over if the last temperature stays."""
    last = readings[-1]
    try:
        left = run_clock(maker, readings, last.after).left
    except ShopError:  # two readings of one moment, or a temperature no resin meets: the ones before count
        first = USUAL_POT if maker.what == "pot life" else maker.rows[0].time
        return _left(maker, mixed, readings[:-1]) if len(readings) > 1 else mixed + _millis(first)
    return mixed + _millis(last.after) + (_millis(left.value) if left else 0)


def _row(raw: Any) -> At:
    try:
        temperature, time = raw
        heat, lasts = value_from_json("temperature", temperature), value_from_json("duration", time)
    except (TypeError, ValueError) as problem:
        raise EntryError(f"{raw!r} is no row of a maker's table: wanted [temperature, time]") from problem
    assert isinstance(heat, Quantity) and isinstance(lasts, Quantity)  # noqa: S101, PT018 - by their fields
    return At(heat, lasts)


def _seconds(millis: int) -> Quantity:
    return Quantity(Decimal(millis) / 1000, unit_named("s"))


def _millis(time: Quantity) -> int:
    return int(time.si() * 1000)
