"""One entry as the log has it: what it says now, and everyone who ever said something about it.

Each field is a register that keeps every value it was given. A value stands until another one names
its operation in `over`; if two devices wrote without having seen each other, both values stand, the
later one is shown, and the field carries a doubt until someone chooses. A doubt stands as long as the
operation that brought it does, so amending or confirming a field settles it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from plytally.core.body import KIND, WITHDRAWN, entry_of, value_of
from plytally.core.clock import MAX_DRIFT_MS, ahead_ms
from plytally.core.entry import FIELDS, KINDS, Doubt, Entry, FieldValue
from plytally.core.operation import Operation

Rank = tuple[int, int, int, str, str]
SEVERAL = "different values were given without knowing of each other; someone has to choose"


@dataclass(frozen=True, slots=True)
class Kept:
    """An operation and when the shop computer received it, None while it has not been there.

    The body is kept without its hearing: that is for the ear's record, and nothing is merged from it.
    """

    operation: Operation
    received_millis: int | None = None
    problems: tuple[str, ...] = ()

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
    def conflicts(self) -> tuple[str, ...]:
        """The fields in which different values stand."""
        return tuple(name for name, heads in sorted(self.standing.items()) if _differ(heads))

    def history(self, name: str) -> tuple[Change, ...]:
        """Every value the field was given, the noted one first."""
        first = self._noted_change(name)
        return (*((first,) if first else ()), *(change for change in self.changes if change.field == name))

    def heads(self, name: str) -> tuple[str, ...]:
        """The operations whose value stands for a field: what an amendment made now must name in `over`."""
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


def look(
    entry_id: str, group: Sequence[Kept], target_act: str | None
) -> tuple[Logged | None, list[PutAside]]:
    """What a group of operations about one entry amounts to, and those that amount to nothing.

    The result is the same in whatever order the group comes. `target_act` is what the operation with
    the entry's id is, None while it is missing.
    """
    aside = [PutAside(kept.operation, kept.problems) for kept in group if kept.problems]
    sound = sorted((kept for kept in group if not kept.problems), key=lambda kept: kept.rank)
    note = next((kept for kept in sound if kept.operation.act == "note"), None)
    if note is None:
        why = (_why_waiting(entry_id, target_act),)
        return None, [*aside, *(PutAside(kept.operation, why, waiting=True) for kept in sound)]
    return _logged(note, [kept.operation for kept in sound if kept is not note]), aside


def _why_waiting(entry_id: str, target_act: str | None) -> str:
    if target_act is None:
        return f"it is about entry {entry_id}, which has not arrived yet"
    if target_act == "note":
        return f"it is about entry {entry_id}, which is itself put aside"
    return f"it is about {entry_id}, which is no entry but the act '{target_act}'"


def _logged(note: Kept, rest: Sequence[Operation]) -> Logged:
    first = note.operation
    noted = entry_of(first.body)
    bare = Logged(
        id=first.id,
        entry=noted,
        noted=noted,
        author=first.body["author"],
        device=first.device,
        number=first.number,
        wall=first.wall,
        happened_millis=first.happened_millis,
        rank=note.rank,
        ahead_ms=note.ahead_ms,
    )
    return _amended(bare, rest) if rest else bare


def _amended(bare: Logged, rest: Sequence[Operation]) -> Logged:
    changes = tuple(_change(operation) for operation in rest if operation.act != "attach")
    logged = replace(
        bare,
        changes=changes,
        attachments=tuple(_attachment(operation) for operation in rest if operation.act == "attach"),
    )
    standing = {name: _standing(logged.history(name)) for name in dict.fromkeys(c.field for c in changes)}
    withdrawn = standing[WITHDRAWN][-1].value if WITHDRAWN in standing else None
    return replace(
        logged,
        entry=_current(bare.noted, standing),
        standing=standing,
        withdrawn=None if withdrawn is None else str(withdrawn),
    )


def _standing(history: Sequence[Change]) -> tuple[Change, ...]:
    """The values that no other one replaces; should all replace each other in a ring, all stand."""
    replaced = {over for change in history for over in change.over if over != change.operation}
    return tuple(change for change in history if change.operation not in replaced) or tuple(history)


def _current(noted: Entry, standing: Mapping[str, tuple[Change, ...]]) -> Entry:
    kind = str(standing[KIND][-1].value) if KIND in standing else noted.kind
    fields = dict(noted.fields) | {name: heads[-1].value for name, heads in standing.items()}
    fits = {name: value for name, value in fields.items() if name in KINDS[kind].fields and value is not None}
    doubts = tuple(
        doubt
        for doubt in (*_noted_doubts(noted, standing), *_later_doubts(standing))
        if doubt.field not in FIELDS or doubt.field in KINDS[kind].fields
    )
    return Entry(kind, fits, noted.said, noted.unused, doubts)


def _noted_doubts(noted: Entry, standing: Mapping[str, tuple[Change, ...]]) -> Iterator[Doubt]:
    return (doubt for doubt in noted.doubts if doubt.field not in standing)


def _later_doubts(standing: Mapping[str, tuple[Change, ...]]) -> Iterator[Doubt]:
    for name, heads in sorted(standing.items()):
        for head in heads:
            yield from head.doubts
        if _differ(heads):
            other = next(head for head in reversed(heads) if not _same(head, heads[-1]))
            yield Doubt(name, _shown(heads[-1].value), _shown(other.value), SEVERAL)


def _differ(heads: Sequence[Change]) -> bool:
    return any(not _same(head, heads[0]) for head in heads)


def _same(one: Change, other: Change) -> bool:
    return type(one.value) is type(other.value) and one.value == other.value


def _shown(value: FieldValue | None) -> str:
    return "nothing" if value is None else str(value)


def _change(operation: Operation) -> Change:
    body: Mapping[str, Any] = operation.body
    if operation.act == "withdraw":
        name, value = WITHDRAWN, body["why"]
    else:
        name, value = body["field"], value_of(body)
    return Change(
        operation=operation.id,
        act=operation.act,
        field=name,
        value=value,
        author=body.get("author", ""),
        device=operation.device,
        wall=operation.wall,
        why=body.get("why", ""),
        over=tuple(body.get("over", ())),
        doubts=tuple(Doubt(**doubt) for doubt in body.get("doubts", ())),
    )


def _attachment(operation: Operation) -> Attachment:
    body = operation.body
    return Attachment(
        operation=operation.id,
        media=body["media"],
        mime=body["mime"],
        size=body["size"],
        role=body["role"],
        name=body.get("name", ""),
        device=operation.device,
        wall=operation.wall,
    )
