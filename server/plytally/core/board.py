"""The print laid out for crediting: a spot for every place, and what must come before what there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plytally.core.crediting import Credit, Demand, Spot
from plytally.core.entry import Place
from plytally.core.placing import LAYUP, OTHER_WORK
from plytally.core.schedule import DO, Schedule, Step


@dataclass(frozen=True)
class Breach:
    """A step begun although another, that should come first, was open: `late` is what came of that.

    `spoils` tells that the earlier step does not only come first but would spoil the later one.
    """

    first: Demand
    then: Demand
    begun: Credit
    late: Credit | None
    spoils: bool


class Board:
    """Every demand of a schedule, by the place where it is, and by the step that makes it."""

    def __init__(self, schedule: Schedule) -> None:
        self.schedule = schedule
        self.layup: dict[Place, Spot] = {}
        self.work: dict[tuple[str, str, str], Spot] = {}
        self.by_part: dict[tuple[str, str], list[Demand]] = {}
        self._by_step: dict[tuple[str, str], list[Demand]] = {}
        self._spoilers: dict[tuple[str, str], list[Step]] = {}
        self._followers: dict[tuple[str, str], list[Step]] = {}
        self._before: dict[Demand, tuple[tuple[Demand, bool], ...]] = {}
        for step in schedule.steps:
            demands = [self._spot(step, station).demand(step, station) for station in step.stations or ("",)]
            self._by_step[step.id, step.side] = demands
            self.by_part.setdefault((step.part, step.side), []).extend(demands)
            for spoilt in schedule.disturbed_by(step):
                self._spoilers.setdefault((spoilt.id, spoilt.side), []).append(step)
                self._followers.setdefault((step.id, step.side), []).append(spoilt)
            for first in schedule.needed_by(step):
                self._followers.setdefault((first.id, first.side), []).append(step)

    def _spot(self, step: Step, station: str) -> Spot:
        if step.is_layup:
            place = Place(step.part, step.side, step.face, step.feature, station)
            return self.layup.setdefault(place, Spot(LAYUP))
        return self.work.setdefault((DO[step.do], step.part, step.side), Spot(OTHER_WORK))

    def demands(self, where: Place) -> Iterator[Demand]:
        """Give the demands at a place; what it leaves out may be anything.

        A station also has the layers over the whole face.
        """
        all_of_it = not (where.face or where.feature or where.station)
        for part in self.schedule.parts:
            if self.schedule.takes_in(where.part, part.name):
                for side in part.sides or ("",):
                    if where.side in ("", side):
                        here = self.by_part.get((part.name, side), ())
                        yield from here if all_of_it else [each for each in here if covers(where, each)]

    def before(self, demand: Demand) -> Sequence[tuple[Demand, bool]]:
        """Give each demand that comes before this one, and whether it would spoil this one.

        Where both are at stations only the same station counts.
        """
        found = self._before.get(demand)
        if found is None:
            found = self._before[demand] = tuple(self._find_before(demand))
        return found

    def _find_before(self, demand: Demand) -> Iterator[tuple[Demand, bool]]:
        step = demand.step
        for first in self.schedule.needed_by(step):
            yield from ((each, step.id in first.disturbs) for each in self._beside(first, demand.station))
        for first in self._spoilers.get((step.id, step.side), ()):
            if first.id not in step.after:
                yield from ((each, True) for each in self._beside(first, demand.station))

    def is_held_up(self, demand: Demand) -> bool:
        """Whether anything that comes before this one is still open; all spots are settled already."""
        for first, _ in self.before(demand):  # noqa: SIM110 - asked thousands of times; a generator is slower
            if first.asked > first.laid + first.in_doubt:
                return True
        return False

    def waits_for(self, demand: Demand) -> list[Demand]:
        """Give the demands that are still open and come before this one."""
        waiting = []
        for first, _ in self.before(demand):
            first.spot.settle()
            if first.open > 0:
                waiting.append(first)
        return waiting

    def begun_before(self, demand: Demand) -> Iterator[tuple[Demand, bool]]:
        """Give each demand begun that should come after this one, and whether this one would spoil it."""
        step = demand.step
        for then in dict.fromkeys(self._followers.get((step.id, step.side), ())):
            spoils = then.id in step.disturbs
            yield from ((each, spoils) for each in self._beside(then, demand.station) if each.credits)

    def breaches(self, demand: Demand) -> Iterator[Breach]:
        """Give every step that should have come before this one and did not."""
        credits = demand.credits
        if not credits:
            return
        for first, spoils in self.before(demand):
            done = first.done_at()
            if done is None or done.millis > credits[0].millis:
                yield Breach(first, demand, credits[0], done, spoils)

    def _beside(self, step: Step, station: str) -> list[Demand]:
        demands = self._by_step[step.id, step.side]
        return [each for each in demands if each.station == station] if station in step.stations else demands


def covers(where: Place, demand: Demand) -> bool:
    """Whether a place, which may leave things out, takes this demand in."""
    step = demand.step
    return (
        where.face in ("", step.face)
        and where.feature in ("", step.feature)
        and (not where.station or demand.station in ("", where.station))
    )
