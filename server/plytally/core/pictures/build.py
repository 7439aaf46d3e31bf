"""The whole build against the print: plies laid and steps done, a bar for each part and side."""

from __future__ import annotations

from dataclasses import dataclass

from plytally.core.crediting import Demand
from plytally.core.entry import Place
from plytally.core.ledger import Ledger
from plytally.core.pictures.bars import Row, bars
from plytally.core.pictures.drawing import Figure, Table
from plytally.core.telling import place_told

HEAD = ("part", "plies asked", "laid", "in doubt", "owed", "other steps", "done")
NO_PRINT = (
    "there is no layup schedule yet; write one at the desk under The print, or give one with: "
    "plytally schedule FILE.yaml"
)
ONLY_THE_PRINT = "counted against the layup schedule alone: what it does not ask for is not in these figures"


@dataclass(frozen=True, slots=True)
class Standing:
    """How far a part is: plies asked, laid for certain and in doubt, other steps and those done."""

    name: str
    asked: int
    laid: int
    in_doubt: int
    steps: int
    done: int

    @property
    def owed(self) -> int:
        """Plies asked and not laid for certain."""
        return self.asked - self.laid

    @property
    def row(self) -> tuple[str, ...]:
        """The standing as a row of the table."""
        numbers = (self.asked, self.laid, self.in_doubt, self.owed, self.steps, self.done)
        return (self.name, *map(str, numbers))


def standings(ledger: Ledger) -> tuple[Standing, ...]:
    """Every part and side, in the order of the print."""
    ledger.settle()
    return tuple(
        _standing(place_told(Place(part.name, side)), list(ledger.board.by_part.get((part.name, side), ())))
        for part in ledger.schedule.parts
        for side in part.sides or ("",)
    )


def build_figure(ledger: Ledger) -> Figure:
    """Progress of the whole build."""
    each, title = standings(ledger), "the whole build"
    if not each:
        return Figure(title, None, Table(title, HEAD, ()), (NO_PRINT,))
    total = Standing(
        "all parts",
        sum(one.asked for one in each),
        sum(one.laid for one in each),
        sum(one.in_doubt for one in each),
        sum(one.steps for one in each),
        sum(one.done for one in each),
    )
    rows = [
        Row(
            one.name,
            (("laid", one.laid), ("doubt", one.in_doubt), ("owed", one.owed - one.in_doubt)),
            _told(one),
        )
        for one in (total, *each)
    ]
    drawing = bars(title, rows, ("laid", "doubt", "owed"), to_the_end=True)
    return Figure(
        title, drawing, Table(title, HEAD, tuple(one.row for one in (total, *each))), (ONLY_THE_PRINT,)
    )


def _standing(name: str, demands: list[Demand]) -> Standing:
    layup = [demand for demand in demands if demand.step.is_layup]
    other = [demand for demand in demands if not demand.step.is_layup]
    return Standing(
        name,
        sum(demand.asked for demand in layup),
        sum(demand.laid for demand in layup),
        sum(demand.in_doubt for demand in layup),
        len(other),
        sum(demand.laid >= demand.asked for demand in other),
    )


def _told(one: Standing) -> str:
    steps = f", {one.done} of {one.steps} steps" if one.steps else ""
    return f"{one.laid} of {one.asked} plies{steps}"
