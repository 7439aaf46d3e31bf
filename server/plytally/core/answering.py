"""A builder's question answered from the log and the print, in short lines to be shown or spoken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from plytally.core.asking import have_laid
from plytally.core.crediting import Dated
from plytally.core.entry import PLACE, FieldValue, Place
from plytally.core.findings import findings
from plytally.core.history import Logged
from plytally.core.ledger import Ledger, may_be_at
from plytally.core.merge import State
from plytally.core.pot_life import ResinTimes
from plytally.core.readback import asked, shown
from plytally.core.schedule import Schedule
from plytally.core.shop_answers import SHOP_QUESTIONS, Known, shop_answer
from plytally.core.telling import (
    ago_told,
    answer_told,
    assembly_owed_told,
    day_told,
    finding_told,
    left_off_told,
    next_steps_told,
    owed_told,
    place_told,
)
from plytally.core.understand import Understanding


def dated(logged: Logged) -> Dated:
    """An entry of the log as the ledger takes it: a conflict counts as a doubt."""
    doubts = dict.fromkeys((*(doubt.field for doubt in logged.entry.doubts), *logged.conflicts))
    return Dated(logged.id, logged.wall, logged.entry, tuple(doubts), logged.withdrawn is not None)


def catch_up(ledger: Ledger, state: State, earlier: State) -> None:
    """Bring a ledger that holds an earlier state of the log up to date; costs what changed, not the log."""
    for logged in state.changed_since(earlier):
        ledger.add(dated(logged))
    for was in earlier.changed_since(state):
        if was.id not in state.entries:
            ledger.add(replace(dated(was), withdrawn=True))


def answered(
    meant: Understanding, ledger: Ledger, log: Sequence[Dated], now: str, times: ResinTimes
) -> tuple[str, ...]:
    """The answer to a question as it was heard; what is in doubt about the hearing is told before it."""
    doubts = (asked(doubt) for doubt in meant.doubts if doubt.field in meant.fields)
    if meant.name in SHOP_QUESTIONS:
        known = Known(ledger.schedule, log, now, times)
        return (*doubts, *shop_answer(meant.name, meant.fields, known))
    return (*doubts, *answer(meant.name, meant.fields, ledger, log, now))


def answer(
    question: str, said: Mapping[str, FieldValue], ledger: Ledger, log: Sequence[Dated], now: str
) -> tuple[str, ...]:
    """The answer's lines. `log` has the entries, the first done first; `now` is RFC 3339."""
    where = Place(**{name: str(said.get(name, "")) for name in PLACE})
    match question:
        case "left_off":
            return left_off_told(ledger.left_off(where), where)
        case "owed":
            return owed(ledger, where)
        case "have_laid":
            return answer_told(
                have_laid(ledger, where, _count(said.get("plies")), str(said.get("material", "")))
            )
        case "next":
            return next_steps_told(ledger.next_steps(where), where)
        case "snags":
            return _snags(ledger, where)
        case "cup_age":
            return (_cup_age(log, now),)
        case _:
            return (_last_vacuum(log, where, ledger.schedule),)


def owed(ledger: Ledger, where: Place) -> tuple[str, ...]:
    """What is owed at a place; for the whole print one line a part, since nobody can listen to more."""
    tallies = ledger.owed(where)
    whole = ledger.spelt(where)
    assembled = whole.part in ledger.schedule.assemblies
    if where.part and not assembled:
        return owed_told(tallies, where)
    plies: dict[Place, int] = {}
    for tally in tallies:
        part = Place(tally.place.part, tally.place.side)
        plies[part] = plies.get(part, 0) + tally.owed
    if assembled:
        return (assembly_owed_told(plies, whole),)
    return tuple(f"{place_told(part)}: {count} plies owed." for part, count in plies.items()) or owed_told(
        (), where
    )


def _snags(ledger: Ledger, where: Place, most: int = 4) -> tuple[str, ...]:
    """Where the log does not agree with the print, the latest first."""
    found = list(reversed(findings(ledger, where)))
    if not found:
        on = f" on the {place_told(where)}" if where.part else ""
        return (f"no snags are known{on}.",)
    more = len(found) - most
    return (*map(finding_told, found[:most]), *((f"and {more} more.",) if more > 0 else ()))


def _count(value: Any) -> int | None:
    return value if isinstance(value, int) else None


def _cup_age(log: Sequence[Dated], now: str) -> str:
    last = next((each for each in reversed(log) if each.entry.kind == "mixed" and not each.withdrawn), None)
    if last is None:
        return "no cup is noted."
    return f"{ago_told(last.when, now)} since {shown(last.entry)}."


def _last_vacuum(log: Sequence[Dated], where: Place, schedule: Schedule) -> str:
    last = _last(log, "vacuum", where, schedule)
    if last is None:
        return f"no vacuum reading is noted{' on the ' + place_told(where) if where.part else ''}."
    doubt = ", in doubt" if last.in_doubt else ""
    return f"{shown(last.entry)}{doubt}, on {day_told(last.when)} at {last.when[11:16]}."


def _last(log: Sequence[Dated], kind: str, where: Place, schedule: Schedule) -> Dated | None:
    fitting = (each for each in reversed(log) if each.entry.kind == kind and not each.withdrawn)
    return next((each for each in fitting if may_be_at(where, each.entry.place, schedule)), None)
