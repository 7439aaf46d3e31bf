"""One entry as the log has it: what it says now, and everyone who ever said something about it.

The values only; `standing.py` works them out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from plytally.core.body import KIND, TAUGHT, Examined
from plytally.core.clock import MAX_DRIFT_MS, ahead_ms
from plytally.core.entry import FIELDS, Doubt, Entry, FieldValue
from plytally.core.operation import Operation

Rank = tuple[int, int, int, str, str]


@dataclass(frozen=True, slots=True)
class Kept:
    """An operation and when the shop computer received it, None while it has not been there.

    The body is kept without its hearing: that is for the ear's record, and nothing is merged from it.
    """

    operation: Operation
    received_millis: int | None = None
    examined: Examined = field(default_factory=Examined)

    @property
    def ahead_ms(self) -> int:
        """How far its stamp was ahead of its receiver's clock, 0 within the allowed drift."""
        if self.received_millis is None:
            return 0
        return ahead_ms(self.operation.stamp, self.received_millis)

    @property
    def rank(self) -> Rank:
        """Its place among all operations: by stamp, one from a clock years ahead no later than received."""
        stamp = self.operation.stamp
        latest = stamp.millis if self.received_millis is None else self.received_millis + MAX_DRIFT_MS
        return (min(stamp.millis, latest), stamp.millis, stamp.counter, stamp.device, self.operation.id)


@dataclass(frozen=True, slots=True)
class Change:
    """One value that one field was given: by whom (a role), on which device, when on its wall clock."""

    operation: str
    act: str
    field: str
    value: FieldValue | None
    author: str
    device: str
    wall: str
    why: str = ""
    over: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class Attachment:
    """A sound or photo that belongs to an entry: its address, media type, size in bytes, and what it is."""

    operation: str
    media: str
    mime: str
    size: int
    role: str
    name: str
    device: str
    wall: str


@dataclass(frozen=True, slots=True)
class PutAside:
    """An operation that changes nothing as it is, and why; `waiting` if only something else is missing."""

    operation: Operation
    why: tuple[str, ...]
    waiting: bool = False


@dataclass(frozen=True, slots=True)
class Logged:
    """One entry of the log. `entry` is what counts now, its open doubts on it; `noted` what was said first.

    `standing` has the fields that were ever amended, each with the values that stand, in order; more
    than one distinct value is a conflict. `withdrawn` is the reason, None while the entry counts.
    """

    id: str
    entry: Entry
    noted: Entry
    author: str
    device: str
    number: int
    wall: str
    happened_millis: int
    rank: Rank
    ahead_ms: int = 0
    changes: tuple[Change, ...] = ()
    standing: Mapping[str, tuple[Change, ...]] = field(default_factory=dict)
    withdrawn: str | None = None
    attachments: tuple[Attachment, ...] = ()

    @property
    def is_work(self) -> bool:
        """Whether it counts and tells of the build: not withdrawn, and no note of a word that was taught."""
        return self.withdrawn is None and TAUGHT not in self.standing

    @property
    def conflicts(self) -> tuple[str, ...]:
        """The fields in which different values stand."""
        return tuple(name for name, heads in sorted(self.standing.items()) if differ(heads))

    def history(self, name: str) -> tuple[Change, ...]:
        """Every value the field was given, the noted one first."""
        first = self._noted_change(name)
        return (*((first,) if first else ()), *(change for change in self.changes if change.field == name))

    def heads(self, name: str) -> tuple[str, ...]:
        """The operations whose value stands for a field: what an amendment made now must name in `over`.

        None for a field that gathers, since nothing is ever said over it.
        """
        if gathers(name):
            return ()
        if name in self.standing:
            return tuple(change.operation for change in self.standing[name])
        return (self.id,) if self._noted_change(name) else ()

    def shown(self, name: str) -> FieldValue | None:
        """The value that counts for a field now, None if it has none."""
        if name in self.standing:
            return self.standing[name][-1].value
        return self.noted.kind if name == KIND else self.noted.fields.get(name)

    def _noted_change(self, name: str) -> Change | None:
        value = self.noted.kind if name == KIND else self.noted.fields.get(name)
        doubts = tuple(doubt for doubt in self.noted.doubts if doubt.field == name)
        if value is None and not doubts:
            return None
        return Change(self.id, "note", name, value, self.author, self.device, self.wall, doubts=doubts)


def gathers(name: str) -> bool:
    """Whether every value of the field is a fact of its own, so that several never disagree."""
    return name in FIELDS and FIELDS[name].gathers


def differ(heads: Sequence[Change]) -> bool:
    """Whether these values are more than one, where one must be chosen."""
    return not gathers(heads[0].field) and any(not same(head, heads[0]) for head in heads)


def same(one: Change, other: Change) -> bool:
    """Whether two changes gave the same value."""
    return type(one.value) is type(other.value) and one.value == other.value
