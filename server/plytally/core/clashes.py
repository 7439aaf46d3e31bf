"""What the print itself leaves open: steps that would thicken, cover or close in what is done before them.

Found from the print alone, before anything is laid. Where the order of two such steps is settled by `after`
or `disturbs`, with the covered one last, there is nothing to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from plytally.core.build_up import goes_under, lies_at, raised_told
from plytally.core.entry import Place
from plytally.core.order_of_work import OrderOfWork
from plytally.core.schedule import Step
from plytally.core.telling import place_told, step_told

THICKENS, HIDES, CLOSES_IN = "thickens", "hides", "closes in"


@dataclass(frozen=True)
class Clash:
    """A step that does something to others if they come before it, or after it where it closes them in."""

    kind: str
    step: Step
    others: tuple[Step, ...]
    why: str

    def __str__(self) -> str:
        """The clash on one line."""
        return f"{self.kind}: {self.why}"


def clashes(order: OrderOfWork, where: Place | None = None) -> tuple[Clash, ...]:
    """Give every clash of which the step belongs to a part and side, or all, in the order of work."""
    by_part: dict[tuple[str, str], list[Step]] = {}
    for step in order.schedule.steps:
        by_part.setdefault((step.part, step.side), []).append(step)
    found: list[Clash] = []
    for step in order.steps(where):
        if step.is_layup:
            found += _covering(order, step, by_part[step.part, step.side])
        elif step.do == "bond":
            found += _closing(order, step, by_part)
    return tuple(found)


def _covering(order: OrderOfWork, step: Step, beside: list[Step]) -> Iterator[Clash]:
    for other in beside:
        kind = THICKENS if goes_under(step, other) else HIDES if _covers_holes(step, other) else ""
        if not kind or order.comes_before(step, other):
            continue
        late = order.comes_before(other, step)
        which = "comes after" if late else "may come before or after"
        told = f"{_named(step)} {which} {_named(other)}"
        what = raised_told(order.schedule, step, other) or "the plies would cover the holes"
        yield Clash(kind, step, (other,), f"{told}: {what}")


def _covers_holes(step: Step, other: Step) -> bool:
    return other.do == "drill" and lies_at(step, other)


def _closing(
    order: OrderOfWork, step: Step, by_part: Mapping[tuple[str, str], list[Step]]
) -> Iterator[Clash]:
    """What a bond needs done in other parts shows which parts it closes in."""
    needed = dict.fromkeys((first.part, first.side) for first in order.moment(step).needs)
    for part, side in needed:
        left = tuple(
            other
            for other in by_part[part, side]
            if other != step and not order.comes_before(other, step) and not order.comes_before(step, other)
        )
        if left:
            told = ", ".join(f"{other.id} ({step_told(other)})" for other in left)
            where = place_told(Place(part, side))
            why = (
                f"{_named(step)} does not wait for {told} of the {where}; can that still be reached after it?"
            )
            yield Clash(CLOSES_IN, step, left, why)


def _named(step: Step) -> str:
    side = f"{step.side} " if step.side else ""
    return f"step {step.id} of the {side}{step.part} ({step_told(step)})"
