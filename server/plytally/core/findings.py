"""Where the log does not agree with the print: over, out of order, not on print, unplaced, in doubt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from plytally.core.account import IN_DOUBT, OUT_OF_ORDER, OVER, Finding
from plytally.core.board import Breach
from plytally.core.build_up import raised_told
from plytally.core.crediting import Demand, Remark, Spot
from plytally.core.entry import Place
from plytally.core.ledger import Ledger, place_of
from plytally.core.schedule import Schedule
from plytally.core.telling import day_told, place_told, step_told


def findings(ledger: Ledger, where: Place | None = None) -> tuple[Finding, ...]:
    """Give every disagreement at a place, the earliest entry first."""
    strays = ledger.strays(where)
    found = [Finding(match.kind, place, dated, match.field, match.why) for dated, place, match in strays]
    demands = list(ledger.board.demands(ledger.spelt(where)))
    for spot in {id(demand.spot): demand.spot for demand in demands}.values():
        found += _of_spot(spot)
    found += (of_breach(ledger.schedule, breach) for breach in breaches(ledger, demands).values())
    return tuple(sorted(found, key=lambda finding: ledger.moment(finding.entry)))


def breaches(ledger: Ledger, demands: Iterable[Demand]) -> dict[tuple[str, str, str], Breach]:
    """Give every step begun too early by the entry that began it, the step to come first, and its own."""
    found: dict[tuple[str, str, str], Breach] = {}
    for demand in demands:
        for breach in ledger.board.breaches(demand):
            found.setdefault((breach.begun.entry.id, breach.first.step.id, breach.then.step.id), breach)
    return found


def order_told(first: Demand, then: Demand, *, spoils: bool) -> str:
    """Give what stands open before a step that should come after it."""
    step = first.step
    elsewhere = step.part != then.step.part or step.side != then.step.side
    stations = (first.station,) if first.station else ()
    where = f"{place_told(Place(step.part, step.side))}, " if elsewhere else ""
    spoilt = f", and would spoil step {then.step.id}" if spoils else ""
    return f"step {step.id} comes first ({where}{step_told(step, stations)}){spoilt}"


def _of_spot(spot: Spot) -> Iterator[Finding]:
    for remark in spot.remarks():
        if not remark.entry.in_doubt and (remark.kind != OVER or _is_layup(remark)):
            yield Finding(remark.kind, remark.entry.entry.place, remark.entry, remark.field, _why(remark))
    for _, _, dated in spot.rows:
        if dated.in_doubt:
            why = f"still in doubt: {', '.join(dated.open_doubts)}"
            yield Finding(IN_DOUBT, dated.entry.place, dated, dated.open_doubts[0], why)


def _is_layup(remark: Remark) -> bool:
    """Drilling or sanding once more than asked is no plies too many."""
    return remark.near is not None and remark.near.step.is_layup


def _why(remark: Remark) -> str:
    if remark.kind != OVER or remark.near is None:
        return remark.why
    step = remark.near.step
    asked = sum(
        other.asked
        for other in remark.near.spot.demands
        if (other.step.material, other.step.orientation) == (step.material, step.orientation)
    )
    return f"the print asks for {asked} {step.material} here, this is {remark.plies} more"


def of_breach(schedule: Schedule, breach: Breach) -> Finding:
    """Give the finding that a step begun too early makes."""
    told = order_told(breach.first, breach.then, spoils=breach.spoils)
    late = f"it was done only on {day_told(breach.late.entry.when)}" if breach.late else "it is still open"
    under = _under(schedule, breach) if breach.spoils else ""
    why = "; ".join(filter(None, (told, late, under)))
    return Finding(OUT_OF_ORDER, place_of(breach.then), breach.begun.entry, "", why)


def _under(schedule: Schedule, breach: Breach) -> str:
    """What the plies do that did not lie there yet when the later step was begun."""
    there = sum(credit.plies for credit in breach.first.credits if credit.millis <= breach.begun.millis)
    return raised_told(schedule, breach.first.step, breach.then.step, breach.first.asked - there)
