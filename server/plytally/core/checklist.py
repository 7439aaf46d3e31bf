"""A checklist to print: the steps of a part in the order of work, boxes blank or ticked with day and name.

E2   7 BID at 45 on the fore face
     [x] hinge 1   14 March 2026, builder
     [ ] hinge 2   5 of 7: 14 March 2026, builder
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from plytally.core.crediting import Credit, Demand
from plytally.core.entry import Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.order_of_work import OrderOfWork
from plytally.core.schedule import Step
from plytally.core.shop.cautions import DECIDE
from plytally.core.telling import day_told, finding_told, place_told, step_told

Names = Mapping[str, str]
"""Who made an entry, by its id: a role."""


@dataclass(frozen=True)
class Box:
    """One box to tick: `mark` is "x" when done for certain, "?" when only with plies in doubt, "" else."""

    station: str
    mark: str
    told: str


@dataclass(frozen=True)
class Line:
    """One step with a box for each station, or one box."""

    step: str
    what: str
    boxes: tuple[Box, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """One part on one side; `snags` tell where the log disagrees with the print there."""

    title: str
    references: str
    lines: tuple[Line, ...]
    snags: tuple[str, ...] = ()


def checklist(ledger: Ledger, where: Place | None = None, names: Names | None = None) -> tuple[Sheet, ...]:
    """Give the sheets of a part, or of the whole print, in the order of the print."""
    by_step: dict[tuple[str, str], list[Demand]] = {}
    for demand in ledger.board.demands(ledger.spelt(where)):
        by_step.setdefault((demand.step.id, demand.step.side), []).append(demand)
    by_part: dict[tuple[str, str], list[Step]] = {}
    for step in OrderOfWork(ledger.schedule).steps():
        if (step.id, step.side) in by_step:
            by_part.setdefault((step.part, step.side), []).append(step)
    return tuple(
        _sheet(ledger, part.name, side, by_part[part.name, side], by_step, names or {})
        for part in ledger.schedule.parts
        for side in part.sides or ("",)
        if (part.name, side) in by_part
    )


def checklist_text(sheets: Sequence[Sheet], heading: str) -> Iterator[str]:
    """Give sheets as lines of plain text."""
    yield heading
    for sheet in sheets:
        yield ""
        yield sheet.title + (f"  ({sheet.references})" if sheet.references else "")
        for line in sheet.lines:
            yield f"  {line.step:<5} {line.what}"
            yield from (f"          {remark}" for remark in line.remarks)
            wide = max(len(box.station) for box in line.boxes)
            for box in line.boxes:
                station = f"{box.station:<{wide}}  " if wide else ""
                yield f"        [{box.mark or ' '}] {station}{box.told}".rstrip()
        yield from (f"  look at: {snag}" for snag in sheet.snags)
    yield ""
    yield DECIDE


def _sheet(
    ledger: Ledger,
    name: str,
    side: str,
    steps: Sequence[Step],
    by_step: Mapping[tuple[str, str], list[Demand]],
    names: Names,
) -> Sheet:
    part = ledger.schedule.part(name)
    references = (part.drawing, part.manual) if part else ()
    return Sheet(
        place_told(Place(name, side)),
        "; ".join(filter(None, references)),
        tuple(_line(step, by_step[step.id, step.side], names) for step in steps),
        tuple(finding_told(finding) for finding in findings(ledger, Place(name, side))),
    )


def _line(step: Step, demands: Sequence[Demand], names: Names) -> Line:
    what = step_told(replace(step, stations=()))  # each station has a box of its own
    remarks = [f"{other.material} instead, because: {other.because}" for other in step.instead]
    references = "; ".join(filter(None, (step.drawing, step.manual, step.note)))
    boxes = tuple(_box(demand, names) for demand in demands)
    return Line(step.id, what, boxes, tuple(filter(None, (*remarks, references))))


def _box(demand: Demand, names: Names) -> Box:
    demand.spot.settle()
    who = dict.fromkeys(_signed(credit, names) for credit in demand.credits)
    told = "; ".join(who)
    if demand.laid >= demand.asked:
        return Box(demand.station, "x", told)
    some = (
        f"{demand.laid} of {demand.asked}"
        if demand.step.is_layup and (demand.laid or demand.in_doubt)
        else ""
    )
    doubt = f"{demand.in_doubt} in doubt" if demand.in_doubt else ""
    counted = ", ".join(filter(None, (some, doubt)))
    return Box(
        demand.station, "?" if doubt and demand.open <= 0 else "", f"{counted}: {told}" if told else ""
    )


def _signed(credit: Credit, names: Names) -> str:
    name = names.get(credit.entry.id, "")
    return f"{day_told(credit.entry.when)}{', ' + name if name else ''}"
