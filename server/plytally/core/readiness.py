"""The next sensible steps: what is on the bench first, and nothing before what lies under it has cured.

A step is ready when what was last laid or bonded where it works, or in what it waits for, has had its cure.
The time of cure is the print's for that material; where it has none, a day, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from plytally.core.account import NextStep
from plytally.core.build_up import material_named
from plytally.core.crediting import Dated
from plytally.core.entry import Place
from plytally.core.ledger import Ledger
from plytally.core.quantities import Quantity, parse_quantity
from plytally.core.schedule import Schedule, Step
from plytally.core.shop.cautions import CURE
from plytally.core.shop.sources import TRADE
from plytally.core.telling import ago_told, day_told, entry_told, next_told
from plytally.core.wall import Wall, read_wall

USUAL_CURE = parse_quantity("24 h")  # common practice, no source: most shop epoxies, overnight and more
_SETS = frozenset({"laid", "bonded"})
CAUTION = CURE


@dataclass(frozen=True)
class Waiting:
    """What still cures where a step is to be worked: the entry, how long it takes, and until when."""

    entry: Dated
    cure: Quantity
    source: str
    until: str


@dataclass(frozen=True)
class BenchStep:
    """A step that the order of work allows now; `waits` tells what has to cure first, None for nothing."""

    next: NextStep
    waits: Waiting | None = None

    @property
    def is_ready(self) -> bool:
        """Whether nothing has to cure first."""
        return self.waits is None


def on_the_bench(ledger: Ledger, now: str, where: Place | None = None) -> tuple[BenchStep, ...]:
    """Give the steps that can be worked at `now` (RFC 3339): ready ones first, last worked part first."""
    steps = [BenchStep(each, _waits(ledger, each, now)) for each in ledger.next_steps(where)]
    worked = {_part(each.next.step): _last_millis(ledger, each.next.step) for each in steps}
    return tuple(sorted(steps, key=lambda each: (not each.is_ready, -worked[_part(each.next.step)])))


def bench_told(step: BenchStep, now: str) -> str:
    """Give a step on one line, with the time before which it should not be worked."""
    told = next_told(step.next)
    if step.waits is None:
        return told
    waits = step.waits
    until = f"{day_told(waits.until)}, {waits.until[11:16]}"
    laid = (
        f"{entry_told(waits.entry)} {ago_told(waits.entry.when, now)} ago cures {waits.cure} ({waits.source})"
    )
    wet = ", unless you go on wet on wet" if step.next.step.is_layup else ""
    return f"{told}: not before {until}{wet}: {laid}"


def _waits(ledger: Ledger, step: NextStep, now: str) -> Waiting | None:
    """What cures longest of all that was laid where the step works and in what it needs."""
    found = [
        waiting
        for place in _places(ledger.schedule, step)
        for waiting in _curing(ledger, place, step.stations, now)
    ]
    return max(found, key=lambda waiting: read_wall(waiting.until).millis, default=None)


def _places(schedule: Schedule, step: NextStep) -> Iterator[Place]:
    for each in (step.step, *schedule.needed_by(step.step)):
        yield Place(each.part, each.side, each.face, each.feature)


def _curing(ledger: Ledger, where: Place, stations: tuple[str, ...], now: str) -> Iterator[Waiting]:
    """What was laid there and not called cured since, and has not had its time; the newest first."""
    moment, offset = read_wall(now).millis, read_wall(now).offset_min
    longest = _longest(ledger.schedule)
    for (millis, _, dated), place in ledger.worked(where.part, where.side):
        if moment - millis >= longest:
            return
        if not _touches(where, stations, place):
            continue
        if dated.entry.kind == "cured":
            return
        if dated.entry.kind in _SETS:
            cure, source = cure_of(ledger.schedule, str(dated.entry.fields.get("material", "")))
            done = millis + _millis(cure)
            if done > moment:
                yield Waiting(dated, cure, source, str(Wall(done, offset)))


def cure_of(schedule: Schedule, material: str) -> tuple[Quantity, str]:
    """Give how long a material cures, and where that is from; else the longest of the print's resins."""
    known = material_named(schedule, material) if material else None
    if known and known.cure:
        return known.cure, "by the print"
    resins = [resin for resin in schedule.resins if resin.cure_time]
    if not resins:
        return USUAL_CURE, TRADE
    slowest = max(resins, key=lambda resin: _millis(resin.cure_time or USUAL_CURE))
    return slowest.cure_time or USUAL_CURE, f"{slowest.name}, by the print"


def _longest(schedule: Schedule) -> int:
    cures = [material.cure for material in schedule.materials]
    resins = [resin.cure_time for resin in schedule.resins]
    return max(_millis(cure) for cure in (USUAL_CURE, *cures, *resins) if cure)


def _millis(time: Quantity) -> int:
    return int(time.si() * Fraction(1000))


def _touches(where: Place, stations: tuple[str, ...], place: Place) -> bool:
    """Whether work at a place concerns a step there; what either leaves out may be anywhere."""
    same = where.face in ("", place.face) or not place.face
    return same and (not stations or not place.station or place.station in stations)


def _last_millis(ledger: Ledger, step: Step) -> int:
    return next((row[0] for row, _ in ledger.worked(step.part, step.side)), 0)


def _part(step: Step) -> tuple[str, str]:
    return step.part, step.side
