"""Plies laid against plies asked, at one place: the innermost part of the ledger.

A Spot holds what the print demands at one place and the entries that say they were there. Entries are
credited in the order of time, first those that are final, then those with an open doubt into what is
left. A new entry that is later than all before it is credited alone, without going over the others.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from plytally.core.entry import FIELDS, Entry
from plytally.core.schedule import Step

LIGHT = frozenset({"unused", "text", "order"})
"""Doubts about something else than what was laid where: the plies count all the same."""


@dataclass(frozen=True, slots=True)
class Dated:
    """An entry as the log has it now: amended, with the fields still in doubt, and withdrawn or not.

    `when` is RFC 3339 with its offset; `open_doubts` are names of fields.
    """

    id: str
    when: str
    entry: Entry
    open_doubts: tuple[str, ...] = ()
    withdrawn: bool = False

    @property
    def in_doubt(self) -> bool:
        """Whether a field that matters is not settled, so that the entry is not final."""
        return bool(self.open_doubts) and any(
            name not in LIGHT and (name not in FIELDS or FIELDS[name].weighty) for name in self.open_doubts
        )


Row = tuple[int, str, Dated]
"""Unix milliseconds, id, entry: rows of one spot sort by them."""


@dataclass(frozen=True, slots=True)
class Credit:
    """Plies of one entry that count for one demand (1 for a step that lays none)."""

    entry: Dated
    millis: int
    plies: int


@dataclass(eq=False, slots=True)
class Demand:
    """What one step asks for at one place: "" as station for the whole face."""

    step: Step
    station: str
    asked: int
    spot: Spot = field(repr=False)
    final: list[Credit] = field(default_factory=list)
    doubtful: list[Credit] = field(default_factory=list)
    laid: int = 0
    in_doubt: int = 0

    @property
    def open(self) -> int:
        """How many nothing was credited for yet, not even in doubt."""
        return self.asked - self.laid - self.in_doubt

    @property
    def credits(self) -> list[Credit]:
        """Everything credited here, in the order of time."""
        self.spot.settle()
        both = self.final + self.doubtful
        return sorted(both, key=lambda credit: (credit.millis, credit.entry.id)) if self.doubtful else both

    def done_at(self) -> Credit | None:
        """The credit that completed it, counting those in doubt; None while something is open."""
        total = 0
        for credit in self.credits:
            total += credit.plies
            if total >= self.asked:
                return credit
        return None

    def add(self, credit: Credit, *, final: bool) -> None:
        """Count a credit."""
        if final:
            self.final.append(credit)
            self.laid += credit.plies
        else:
            self.doubtful.append(credit)
            self.in_doubt += credit.plies


@dataclass(frozen=True, slots=True)
class Match:
    """The demands an entry may fulfil, in the order in which they are filled.

    Without any, `kind` says what the entry then is ("not on print" or "unplaced"), `field` which of its
    fields to ask about, `instead` what the print has there, and `why` one sentence.
    """

    demands: Sequence[Demand] = ()
    kind: str = ""
    field: str = ""
    instead: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Remark:
    """An entry, or some plies of it, that could not be credited."""

    kind: str
    entry: Dated
    plies: int
    field: str
    why: str
    near: Demand | None = None


@dataclass(frozen=True, slots=True)
class Matcher:
    """How entries find their demands at a spot; looks at nothing but these fields of theirs."""

    fields: tuple[str, ...]
    match: Callable[[Sequence[Demand], Entry], Match]


class Spot:
    """One place of the print: its demands, its entries, and who was credited with what."""

    def __init__(self, matcher: Matcher) -> None:
        self.demands: list[Demand] = []
        self.rows: list[Row] = []
        self._matcher = matcher
        self._matches: dict[tuple[object, ...], Match] = {}
        self._settled = 0
        self._final_remarks: list[Remark] = []
        self._doubtful_remarks: list[Remark] = []
        self._doubtful_rows: list[Row] = []

    def demand(self, step: Step, station: str) -> Demand:
        """Add what a step asks for here; all before the first entry."""
        demand = Demand(step, station, step.plies or 1, self)
        self.demands.append(demand)
        return demand

    def put(self, row: Row) -> None:
        """Add an entry."""
        if not self.rows or self.rows[-1] < row:
            self.rows.append(row)
        else:
            insort(self.rows, row)
            self._forget()

    def remove(self, row: Row) -> None:
        """Take an entry out again: it was amended or withdrawn."""
        self.rows.remove(row)
        self._forget()

    def match(self, entry: Entry) -> Match:
        """Give the demands that this entry may fulfil."""
        key = (entry.kind, *map(entry.fields.get, self._matcher.fields))
        found = self._matches.get(key)
        if found is None:
            found = self._matches[key] = self._matcher.match(self.demands, entry)
        return found

    def remarks(self) -> Iterator[Remark]:
        """Every entry that could not be credited in full."""
        self.settle()
        yield from self._final_remarks
        yield from self._doubtful_remarks

    def settle(self) -> None:
        """Credit the entries that came since the last time."""
        if self._settled == len(self.rows):
            return
        self._drop_doubtful()
        for row in self.rows[self._settled :]:
            if row[2].in_doubt:
                self._doubtful_rows.append(row)
            else:
                self._credit(row, self._final_remarks, final=True)
        for row in self._doubtful_rows:
            self._credit(row, self._doubtful_remarks, final=False)
        self._settled = len(self.rows)

    def _credit(self, row: Row, remarks: list[Remark], *, final: bool) -> None:
        millis, _, dated = row
        left = _amount(dated.entry)
        match = self.match(dated.entry)
        for demand in match.demands:
            plies = min(left, demand.open)
            if plies > 0:
                demand.add(Credit(dated, millis, plies), final=final)
                left -= plies
        if match.kind:
            remarks.append(Remark(match.kind, dated, left, match.field, match.why))
        elif left > 0:
            near = match.demands[0] if match.demands else None
            remarks.append(Remark("over", dated, left, "plies", "", near))

    def _forget(self) -> None:
        self._drop_doubtful()
        for demand in self.demands:
            demand.final.clear()
            demand.laid = 0
        self._final_remarks.clear()
        self._doubtful_rows.clear()
        self._settled = 0

    def _drop_doubtful(self) -> None:
        for demand in self.demands if self._doubtful_rows else ():
            demand.doubtful.clear()
            demand.in_doubt = 0
        self._doubtful_remarks.clear()


def _amount(entry: Entry) -> int:
    plies = entry.fields.get("plies", 0)
    return plies if entry.kind == "laid" and isinstance(plies, int) else 1
