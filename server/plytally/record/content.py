"""What a record holds, before it is put on paper: which entries of which parts, and what became of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from plytally.core.account import Finding
from plytally.core.answering import dated
from plytally.core.body import TAUGHT, WITHDRAWN
from plytally.core.desk.acts import ACCEPTED, CAME_FROM, accepted
from plytally.core.desk.asker import OF_NO_FIELD
from plytally.core.desk.rows import label
from plytally.core.entry import FIELDS, FieldValue, Place
from plytally.core.findings import findings
from plytally.core.history import Change, Logged
from plytally.core.hours import Hours, hours
from plytally.core.ledger import Ledger
from plytally.core.likes import USUAL, Likes
from plytally.core.merge import State
from plytally.core.schedule import Schedule
from plytally.core.stock import Stock
from plytally.core.telling import place_told
from plytally.store.line import Head
from plytally.store.log import OWN_DEVICE

NO_APPROVAL = (
    "This record is no approval and no proof of airworthiness. It says what the builder noted, and when; the "
    "plans, the kit's manual, local rules and a licensed inspector decide."
)
NOT_SAID = "not said"


@dataclass(frozen=True)
class Scope:
    """What a record is about: these parts (a place names part and side; none: all), on these days.

    `first` and `last` are days such as "2026-03-14", both counted, "" for no end; by the shop's wall clock.
    """

    parts: tuple[Place, ...] = ()
    first: str = ""
    last: str = ""

    def has(self, place: Place) -> bool:
        """Whether a place, in the print's spelling, is on one of the parts."""
        return not self.parts or any(
            part.part == place.part and part.side in ("", place.side) for part in self.parts
        )

    def is_on(self, day: str) -> bool:
        """Whether a day is among those asked for."""
        return (not self.first or self.first <= day) and (not self.last or day <= self.last)

    @property
    def told(self) -> str:
        """The scope in words."""
        return self.told_as(USUAL)

    def told_as(self, likes: Likes) -> str:
        """The scope in words, its days as they are liked."""
        parts = ", ".join(place_told(part) for part in self.parts) or "all parts"
        ends = (
            f"from {likes.day(self.first)}" if self.first else "",
            f"to {likes.day(self.last)}" if self.last else "",
        )
        return " ".join(filter(None, (parts, *ends)))


@dataclass(frozen=True)
class Content:
    """The log and the print, and what part of them a record is about. `now` is RFC 3339.

    `print_sha256` is that of the schedule's file as it was given, "" where there is none.
    """

    state: State
    schedule: Schedule
    ledger: Ledger
    head: Head
    now: str
    scope: Scope = field(default_factory=Scope)
    stock: Stock = field(default_factory=Stock)
    likes: Likes = USUAL
    print_sha256: str = ""
    _known_places: dict[Place, bool] = field(default_factory=dict, repr=False, compare=False)

    @classmethod
    def of(
        cls,
        state: State,
        schedule: Schedule,
        head: Head,
        now: str,
        scope: Scope | None = None,
        stock: Stock | None = None,
        likes: Likes = USUAL,
        print_sha256: str = "",
    ) -> Content:
        """The content, its ledger counted anew."""
        ledger = Ledger(schedule, map(dated, state.entries.values()))
        return cls(
            state, schedule, ledger, head, now, scope or Scope(), stock or Stock(), likes, print_sha256
        )

    @cached_property
    def entries(self) -> tuple[Logged, ...]:
        """The entries within the scope, withdrawn ones too, the first done first."""
        return tuple(
            logged
            for logged in self.state.order
            if self.scope.is_on(logged.wall[:10]) and self._in_scope(logged.entry.place)
        )

    @cached_property
    def number(self) -> dict[str, int]:
        """The number in this record of each entry, by its id."""
        return {logged.id: number for number, logged in enumerate(self.entries, 1)}

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Each part and side of the print to be drawn: those of the scope that have any work asked for.

        With days but no parts, only parts that were worked on those days.
        """
        worked = {self._part(logged) for logged in self.entries}
        only_worked = bool((self.scope.first or self.scope.last) and not self.scope.parts)
        every = (Place(part.name, side) for part in self.schedule.parts for side in part.sides or ("",))
        return tuple(
            place for place in every if self.scope.has(place) and (place in worked or not only_worked)
        )

    def begun(self, place: Place) -> bool:
        """Whether anything that counts was ever noted on this part and side, or on no side in particular."""
        return any(
            part.part == place.part and part.side in ("", place.side) for part in self._parts_worked_on
        )

    @cached_property
    def _parts_worked_on(self) -> frozenset[Place]:
        return frozenset(self._part(each) for each in self.state.order if each.withdrawn is None)

    @cached_property
    def hours(self) -> Hours:
        """The hours within the scope."""
        return hours(self.state.order).within(lambda logged: logged.id in self.number)

    @property
    def doubts(self) -> tuple[Logged, ...]:
        """The entries within the scope that wait for an answer."""
        return tuple(each for each in self.entries if each.entry.doubts and each.withdrawn is None)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Where the log and the print disagree, within the scope."""
        return tuple(found for found in findings(self.ledger) if found.entry.id in self.number)

    def changed(self, likes: Likes | None = None) -> Iterator[tuple[Logged, Change, str, str]]:
        """Every later change: the entry, the change, and the old and the new value in words.

        Without `likes` amounts are told as they were said, and as nothing else.

        That somebody at the desk accepted an entry as it stood changed nothing.
        """
        for logged in self.entries:
            for change in (each for each in logged.changes if each.field not in (ACCEPTED, TAUGHT)):
                yield logged, change, *values_told(logged, change, likes)

    def _in_scope(self, place: Place) -> bool:
        """Whether a place is within the scope; thousands of entries share a few hundred places."""
        found = self._known_places.get(place)
        if found is None:
            found = self._known_places[place] = self.scope.has(self.ledger.spelt(place))
        return found

    def _part(self, logged: Logged) -> Place:
        place = self.ledger.spelt(logged.entry.place)
        return Place(place.part, place.side)


def values_told(logged: Logged, change: Change, likes: Likes | None = None) -> tuple[str, str]:
    """What stood before a change, and what it put in its place."""
    if change.field == WITHDRAWN:
        if change.value is None:
            return "withdrawn", "counts again"
        return "counts", f"withdrawn: {change.value}" if change.value else "withdrawn"
    if change.field == CAME_FROM:
        return "noted by itself", f"{change.why or 'made'} from an entry that is withdrawn"
    before = [each for each in logged.history(change.field) if each.operation in change.over]
    old = " and ".join(dict.fromkeys(value_told(each.value, likes) for each in before)) or NOT_SAID
    new = value_told(change.value, likes)
    if change.doubts:
        return old, f"{new} (put in doubt)" if old == new else f"{new} (in doubt)"
    if old == new:
        return old, "confirmed" if old == NOT_SAID else f"{new} (confirmed)"
    return old, new


def given_told(logged: Logged, name: str, likes: Likes) -> str:
    """Every value a field was given, in order; a value given again was confirmed."""
    history = logged.history(name)
    values = [value_told(change.value, likes) for change in history]
    if history[-1].doubts:
        return " → ".join(dict.fromkeys(values)) + ", in doubt"
    if len(set(values)) == 1:
        return f"{values[0]}, confirmed" if name in FIELDS else "confirmed"
    return " → ".join(values)


def said_of(logged: Logged, likes: Likes) -> Iterator[tuple[str, str]]:
    """What was said of an entry since it was noted: each field's values, and who accepted it when."""
    for name in logged.standing:
        if name != WITHDRAWN and name not in OF_NO_FIELD:
            yield field_told(name), given_told(logged, name, likes)
    if CAME_FROM in logged.standing:
        yield field_told(CAME_FROM), "an entry that is withdrawn"
    if taken := accepted(logged):
        who = f"{taken.author or 'someone'}, {likes.moment(taken.wall)}"
        yield "accepted as it stands", f"by {who}"


def device_told(device: str) -> str:
    """A device as a reader may know it: the shop computer, else the name that it has in the log."""
    return f"the shop computer ({device})" if device.startswith(OWN_DEVICE) else device


def value_told(value: FieldValue | None, likes: Likes | None = None) -> str:
    """A field's value in words."""
    if value is None or value == "":
        return NOT_SAID
    return str(value) if likes is None else likes.told(value)


def field_told(name: str) -> str:
    """A field's name in words."""
    return label(name)
