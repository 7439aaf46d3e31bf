"""The order of work: what each step needs, what it would spoil, and how early and how late it can come.

A step's place is counted in the steps of the whole print, from 1: at the earliest right after all that must
come before it, at the latest right before all that must come after it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heapify, heappop, heappush

from plytally.core.entry import Place
from plytally.core.schedule import Schedule, Step
from plytally.core.telling import step_told


@dataclass(frozen=True)
class Moment:
    """When a step can be worked: `earliest` and `latest` of so many places, `needs` what must be done.

    `disturbs` are steps that it would spoil, so they come after it. `critical` is the longest chain of
    steps, each needing the one before, that leads to it: the way that cannot be made shorter.
    """

    step: Step
    earliest: int
    latest: int
    needs: tuple[Step, ...]
    disturbs: tuple[Step, ...]
    critical: tuple[Step, ...]


class OrderOfWork:
    """Every step of a print, once for each side, in an order in which it can be worked."""

    def __init__(self, schedule: Schedule) -> None:
        self.schedule = schedule
        self._at = {(step.id, step.side): at for at, step in enumerate(schedule.steps)}
        self._before: list[list[int]] = [[] for _ in schedule.steps]
        self._after: list[list[int]] = [[] for _ in schedule.steps]
        for at, step in enumerate(schedule.steps):
            for first in schedule.needed_by(step):
                self._link(self._of(first), at)
            for spoilt in schedule.disturbed_by(step):
                self._link(at, self._of(spoilt))

    def _link(self, first: int, then: int) -> None:
        if first not in self._before[then]:
            self._before[then].append(first)
            self._after[first].append(then)

    def _of(self, step: Step) -> int:
        return self._at[step.id, step.side]

    @cached_property
    def _order(self) -> tuple[int, ...]:
        """As the print has it, where nothing else is asked."""
        waiting = [len(before) for before in self._before]
        ready = [at for at, count in enumerate(waiting) if not count]
        heapify(ready)
        order = []
        while ready:
            order.append(at := heappop(ready))
            for then in self._after[at]:
                waiting[then] -= 1
                if not waiting[then]:
                    heappush(ready, then)
        return tuple(order)

    @cached_property
    def _ancestors(self) -> list[int]:
        """For each step a number whose bits are the steps that must come before it."""
        return _reach(self._order, self._before)

    @cached_property
    def _descendants(self) -> list[int]:
        return _reach(self._order[::-1], self._after)

    @cached_property
    def _chain(self) -> list[tuple[int, int]]:
        """For each step how many lead to it in the longest chain, and the last of them (-1: none)."""
        chain = [(0, -1)] * len(self._order)
        for at in self._order:
            leading = ((chain[first][0] + 1, -first) for first in self._before[at])
            length, last = max(leading, default=(0, 1))
            chain[at] = (length, -last)
        return chain

    def steps(self, where: Place | None = None) -> tuple[Step, ...]:
        """Give the steps of a part and side, or of all, in an order in which they can be worked."""
        steps = (self.schedule.steps[at] for at in self._order)
        return tuple(step for step in steps if where is None or _is_of(where, step, self.schedule))

    def comes_before(self, first: Step, then: Step) -> bool:
        """Whether the print wants one step done before another, at once or by way of others."""
        return bool(self._ancestors[self._of(then)] >> self._of(first) & 1)

    def moments(self, where: Place | None = None) -> Iterator[Moment]:
        """Give the moment of each step of a part and side, or of all, in the order of work."""
        return map(self.moment, self.steps(where))

    def moment(self, step: Step) -> Moment:
        """Give the earliest and latest moment of one step."""
        at = self._of(step)
        return Moment(
            step,
            earliest=self._ancestors[at].bit_count() + 1,
            latest=len(self._order) - self._descendants[at].bit_count(),
            needs=tuple(self.schedule.steps[first] for first in self._before[at]),
            disturbs=self.schedule.disturbed_by(step),
            critical=self._critical(at),
        )

    def _critical(self, at: int) -> tuple[Step, ...]:
        steps: list[Step] = []
        while (at := self._chain[at][1]) >= 0:
            steps.append(self.schedule.steps[at])
        return tuple(reversed(steps))


def moment_told(moment: Moment, of: int) -> str:
    """Give a moment on one line: "E2 (7 BID on the fore face): 2 to 17 of 20; after E1; would spoil E9"."""
    when = f"{moment.earliest} to {moment.latest} of {of}"
    chain = moment.critical if len(moment.critical) > 1 else ()
    words = [
        f"{moment.step} ({step_told(moment.step)}): {when}",
        f"after {_ids(moment.needs, moment.step)}" if moment.needs else "",
        f"would spoil {_ids(moment.disturbs, moment.step)}" if moment.disturbs else "",
        f"longest way here: {' > '.join(_id(step, moment.step) for step in chain)}" if chain else "",
    ]
    return "; ".join(filter(None, words))


def _reach(order: Sequence[int], towards: Sequence[Sequence[int]]) -> list[int]:
    reached = [0] * len(order)
    for at in order:
        for other in towards[at]:
            reached[at] |= reached[other] | 1 << other
    return reached


def _is_of(where: Place, step: Step, schedule: Schedule) -> bool:
    return (
        schedule.takes_in(where.part, step.part)
        and all(
            asked in ("", has)
            for asked, has in (
                (where.side, step.side),
                (where.face, step.face),
                (where.feature, step.feature),
            )
        )
        and (not where.station or not step.stations or where.station in step.stations)
    )


def _ids(steps: Sequence[Step], beside: Step) -> str:
    return ", ".join(_id(step, beside) for step in steps)


def _id(step: Step, beside: Step) -> str:
    return step.id if step.side == beside.side else str(step)
