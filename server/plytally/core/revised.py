"""What another revision of the print changes in what was laid already.

The same log is held against both prints; where the two ledgers do not agree, the builder is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from plytally.core.account import IN_DOUBT, OUT_OF_ORDER, OVER, Finding, Tally
from plytally.core.crediting import Dated
from plytally.core.entry import Place
from plytally.core.findings import breaches, findings, of_breach
from plytally.core.ledger import ANYWHERE, Ledger
from plytally.core.telling import day_told, entry_told, place_told

OWED_MORE = "now owed"
OWED_LESS = "no longer owed"
NOW_OVER = "now over"
OFF_PRINT = "no longer on the print"
ORDER_BROKEN = "order now broken"
MENDED = "now on the print"
ORDER_MENDED = "order no longer broken"


@dataclass(frozen=True)
class Effect:
    """One thing that the new print changes: `why` is a sentence, `entries` the log that it is about."""

    kind: str
    place: Place
    why: str
    entries: tuple[Dated, ...] = ()

    def __str__(self) -> str:
        """The effect on one line."""
        return f"{self.kind}: {self.why}"


Key = tuple[Place, str, str]
Tallies = Mapping[Key, Tally]


def effects(old: Ledger, new: Ledger) -> tuple[Effect, ...]:
    """Give what changes in what was laid; both ledgers hold the same entries.

    Plies newly owed or no longer owed are told of faces on which something was laid: where nothing was,
    nothing that was done is changed.
    """
    before, after = _tallies(old), _tallies(new)
    return (*_counts(before, after), *_entries(old, new))


def effects_told(changed: Sequence[Effect]) -> tuple[str, ...]:
    """Give the effects as lines; one line where there is none."""
    return tuple(map(str, changed)) or ("nothing changes in what was laid.",)


def _tallies(ledger: Ledger) -> Tallies:
    return {(tally.place, tally.material, tally.orientation): tally for tally in ledger.tallies()}


def _counts(before: Tallies, after: Tallies) -> Iterator[Effect]:
    worked = _worked_faces(before) | _worked_faces(after)
    for key in dict.fromkeys((*before, *after)):
        was, now = before.get(key), after.get(key)
        where = f"{place_told(key[0])}: "
        evidence = now.evidence if now else before[key].evidence
        more_over = (now.over if now else 0) - (was.over if was else 0)
        if now and more_over > 0:
            why = f"{where}{now.asked} {_of(key)} asked, {now.laid + now.over} laid"
            yield Effect(NOW_OVER, key[0], why, evidence)
        more = (now.owed if now else 0) - (was.owed if was else 0)
        if more and replace(key[0], station="") in worked:
            told = f"{where}{abs(more)} {_of(key)}" + (" more" if more > 0 and was else "")
            yield Effect(OWED_MORE if more > 0 else OWED_LESS, key[0], told, evidence)


def _of(key: Key) -> str:
    return key[1] + (f" at {key[2]}" if key[2] else "")


def _worked_faces(tallies: Tallies) -> set[Place]:
    return {replace(place, station="") for (place, _, _), tally in tallies.items() if tally.evidence}


def _entries(old: Ledger, new: Ledger) -> Iterator[Effect]:
    """Entries that agreed with the old print and not with the new one, or the other way round."""
    was, now = _strays(old), _strays(new)
    yield from (_effect(OFF_PRINT, now[entry_id]) for entry_id in now if entry_id not in was)
    yield from (_effect(MENDED, was[each], "it counts now") for each in was if each not in now)
    early, late = _broken(old), _broken(new)
    yield from (_effect(ORDER_BROKEN, late[key]) for key in late if key not in early)
    yield from (_effect(ORDER_MENDED, early[key], "in order now") for key in early if key not in late)


def _strays(ledger: Ledger) -> Mapping[str, Finding]:
    found = findings(ledger)
    return {each.entry.id: each for each in found if each.kind not in (OVER, IN_DOUBT, OUT_OF_ORDER)}


def _broken(ledger: Ledger) -> Mapping[tuple[str, str, str], Finding]:
    """Breaches by entry and the two steps, whatever words tell of them."""
    found = breaches(ledger, ledger.board.demands(ANYWHERE))
    return {key: of_breach(ledger.schedule, breach) for key, breach in found.items()}


def _effect(kind: str, finding: Finding, why: str = "") -> Effect:
    told = f"{entry_told(finding.entry)}, {day_told(finding.entry.when)}: {why or finding.why}"
    return Effect(kind, finding.place, told, (finding.entry,))
