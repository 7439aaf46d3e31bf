"""A new entry held against the print before it is kept: what a builder should be asked about it.

Nothing is refused. Each doubt names a field of the entry, or "order" where the entry is clear and only
the order of work is not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from plytally.core.build_up import raised_told
from plytally.core.crediting import Demand, Match, Spot
from plytally.core.cups import cup_doubts
from plytally.core.entry import Doubt, Entry, Place
from plytally.core.findings import order_told
from plytally.core.ledger import Ledger, place_of
from plytally.core.telling import ago_told, day_told, place_told, step_told

_CHECKED = ("laid", "mounted", "bonded", "drilled", "clamped", "bagged", "cured", "trimmed")


def check_new(ledger: Ledger, entry: Entry, now: str) -> tuple[Doubt, ...]:
    """Give the doubts of an entry that is about to be noted at `now` (RFC 3339, with offset).

    A ratio that the print does not give for the resin; a place that is not on the print or not complete; a
    material or orientation that is not asked there; plies that are laid already or more than are owed; a
    step that others should come before.
    """
    if entry.kind == "mixed":
        return tuple(cup_doubts(ledger.schedule.resins, entry))
    place = ledger.spelt(entry.place)
    spot, stray = ledger.home(entry, place)
    if stray:
        return (_of_match(stray, entry),)
    if spot is None or entry.kind not in _CHECKED:
        return ()
    match = spot.match(entry)
    if match.kind:
        return (_of_match(match, entry),)
    spot.settle()
    counts = _too_many(ledger, spot, match.demands, entry, place, now) if entry.kind == "laid" else ()
    return (*counts, *_out_of_order(ledger, _filled(match.demands, entry), entry))


def _of_match(match: Match, entry: Entry) -> Doubt:
    return Doubt(match.field, str(entry.fields.get(match.field, "")), match.instead, match.why)


def _too_many(
    ledger: Ledger, spot: Spot, demands: Sequence[Demand], entry: Entry, place: Place, now: str
) -> Iterator[Doubt]:
    plies = int(str(entry.fields["plies"]))
    open_ = sum(demand.open for demand in demands)
    if plies == 0:
        yield Doubt("plies", "0", "", "no plies were laid")
    if plies <= open_:
        return
    have = _have(demands, now)
    elsewhere = [] if place.station else _owing_stations(ledger, place, entry)
    if elsewhere:
        near = elsewhere[0].station if len(elsewhere) == 1 else ""
        stations = ", ".join(demand.station for demand in elsewhere)
        yield Doubt(
            "station", "", near, f"{have}; {elsewhere[0].step.material} is owed at {stations}: is it there?"
        )
    else:
        owed = f", {open_} still open" if open_ else ""
        yield Doubt("plies", str(plies), str(open_) if open_ else "", f"{have}{owed}")


def _have(demands: Sequence[Demand], now: str) -> str:
    """What is there already: "the aft face has its 2 BID since 14 months (20 January 2025)"."""
    step, where = demands[0].step, place_of(demands[0])
    asked, laid = sum(demand.asked for demand in demands), sum(demand.laid for demand in demands)
    in_doubt = sum(demand.in_doubt for demand in demands)
    credits = [credit for demand in demands for credit in demand.credits]
    told = f"{place_told(where)} has {'its' if laid >= asked else f'{laid} of its'} {asked} {step.material}"
    if in_doubt:
        told += f" and {in_doubt} more in doubt"
    if not credits:
        return told
    last = max(credits, key=lambda credit: credit.millis).entry
    return f"{told} since {ago_told(last.when, now)} ({day_told(last.when)})"


def _owing_stations(ledger: Ledger, place: Place, entry: Entry) -> list[Demand]:
    """Where on the same face plies of this material are open at stations."""
    face = Place(place.part, place.side, place.face, place.feature)
    material = str(entry.fields["material"])
    local = (demand for demand in ledger.board.demands(face) if demand.station and demand.step.is_layup)
    found = []
    for demand in local:
        demand.spot.settle()
        if demand.step.feature == place.feature and demand.step.allows(material) and demand.open:
            found.append(demand)
    return found


def _filled(demands: Sequence[Demand], entry: Entry) -> list[Demand]:
    """The demands the entry would count for; the last one it matches if they are all full."""
    left = int(str(entry.fields.get("plies", 1)))
    filled = []
    for demand in demands:
        if demand.open > 0 and left > 0:
            filled.append(demand)
            left -= demand.open
    return filled or list(demands[-1:])


def _out_of_order(ledger: Ledger, demands: Sequence[Demand], entry: Entry) -> Iterator[Doubt]:
    """Steps that should come first and are open, and steps begun that should come after."""
    told: dict[str, Doubt] = {}
    for demand in demands:
        ours = demand.step.id
        for first in ledger.board.waits_for(demand):
            under = raised_told(ledger.schedule, first.step, demand.step, first.open)
            why = _with(order_told(first, demand, spoils=False), under)
            told.setdefault(first.step.id, Doubt("order", ours, first.step.id, why))
        for then, spoils in ledger.board.begun_before(demand):
            if spoils or demand.open > 0:
                under = (
                    raised_told(ledger.schedule, demand.step, then.step, *_laying(entry)) if spoils else ""
                )
                why = _with(_begun(then, ours, spoils=spoils), under)
                told.setdefault(then.step.id, Doubt("order", ours, "", why))
    yield from told.values()


def _laying(entry: Entry) -> tuple[int, str]:
    """The plies that an entry lays, and their material; none if it lays none."""
    laid = entry.kind == "laid"
    return (int(str(entry.fields["plies"])), str(entry.fields["material"])) if laid else (0, "")


def _with(why: str, more: str) -> str:
    return f"{why}; {more}" if more else why


def _begun(then: Demand, ours: str, *, spoils: bool) -> str:
    what = step_told(then.step, [then.station] if then.station else [])
    relation = f"step {ours} would spoil it" if spoils else f"comes after step {ours}"
    return f"step {then.step.id} ({what}) is noted already, and {relation}"
