"""Operations to state: what the log says, whatever way its operations came.

Merging is set union, so any order, split and repetition of the same operations gives the same state and
the same bytes. What cannot be used is put aside with its reasons and shown, never dropped.

A `State` never changes; `with_operations` gives the next one and touches only the entries concerned.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType
from typing import Any

from plytally.core.body import examine
from plytally.core.canonical import canonical
from plytally.core.entry import FieldValue, value_to_json
from plytally.core.history import Kept, Logged, PutAside
from plytally.core.operation import Operation
from plytally.core.sharing import SharedMap
from plytally.core.standing import look
from plytally.core.tally import Tally

SAME_ID = "another operation has the same id and other content; one of the two devices must be looked at"


@dataclass(frozen=True)
class State:
    """What the log says: its entries, what is put aside, and which of each device's numbers are here."""

    _kept: SharedMap[str, tuple[Kept, ...]] = field(default_factory=SharedMap, repr=False)
    _groups: SharedMap[str, tuple[str, ...]] = field(default_factory=SharedMap, repr=False)
    _entries: SharedMap[str, Logged] = field(default_factory=SharedMap, repr=False)
    _aside: SharedMap[str, tuple[PutAside, ...]] = field(default_factory=SharedMap, repr=False)
    _open: SharedMap[str, None] = field(default_factory=SharedMap, repr=False)
    _ahead: SharedMap[str, int] = field(default_factory=SharedMap, repr=False)
    _devices: Mapping[str, Tally] = field(default_factory=dict, repr=False)

    @property
    def entries(self) -> Mapping[str, Logged]:
        """Every entry by its id, withdrawn ones too."""
        return MappingProxyType(self._entries)

    def changed_since(self, earlier: State) -> Iterator[Logged]:
        """The entries that are new since an earlier state of the same log, or say something else."""
        return self._entries.differing(earlier._entries)

    @cached_property
    def order(self) -> tuple[Logged, ...]:
        """Every entry, the first done first."""
        return tuple(sorted(self._entries.values(), key=lambda logged: logged.rank))

    @cached_property
    def to_settle(self) -> tuple[Logged, ...]:
        """The entries with an open doubt or with several values standing, in order."""
        return tuple(sorted((self._entries[name] for name in self._open), key=lambda logged: logged.rank))

    @cached_property
    def put_aside(self) -> tuple[PutAside, ...]:
        """Every operation that changes nothing as it is, with why, by id."""
        found = (aside for group in self._aside.values() for aside in group)
        return tuple(sorted(found, key=lambda aside: (aside.operation.id, aside.why)))

    @property
    def ahead(self) -> Mapping[str, int]:
        """Operations stamped further ahead of their receipt than allowed, each with by how many ms."""
        return MappingProxyType(self._ahead)

    @property
    def devices(self) -> Mapping[str, Tally]:
        """Which of its running numbers are here, for each device."""
        return MappingProxyType(dict(self._devices))

    def __contains__(self, operation_id: str) -> bool:
        return operation_id in self._kept

    def __len__(self) -> int:
        return len(self._kept)

    def with_operations(self, operations: Iterable[Operation], received_millis: int | None = None) -> State:
        """The state after some more operations, all received then (None: not by the shop computer yet)."""
        fold = Fold(self)
        for operation in operations:
            fold.apply(operation, received_millis)
        return fold.state()

    def as_json(self) -> dict[str, Any]:
        """All of the state as plain JSON values, in one spelling: equal states give equal bytes."""
        return {
            "ahead": dict(self._ahead),
            "devices": {name: tally.as_json() for name, tally in self._devices.items()},
            "entries": [_logged_json(logged) for logged in self.order],
            "put_aside": [
                {"operation": a.operation.as_json(), "waiting": a.waiting, "why": list(a.why)}
                for a in self.put_aside
            ],
        }

    def to_bytes(self) -> bytes:
        """The canonical bytes of `as_json`."""
        return canonical(self.as_json())


class Fold:
    """Builds a state: apply many operations, then ask for the state once."""

    def __init__(self, start: State | None = None) -> None:
        start = start or State()
        self._kept, self._groups = start._kept.copy(), start._groups.copy()
        self._entries, self._aside = start._entries.copy(), start._aside.copy()
        self._open, self._ahead = start._open.copy(), start._ahead.copy()
        self._devices = dict(start._devices)
        self._dirty: set[str] = set()

    def apply(self, operation: Operation, received_millis: int | None = None) -> None:
        """Take in one operation; one that is here already changes nothing but an earlier time of receipt."""
        here = self._kept.get(operation.id, ())
        kept = _slim(operation, received_millis)
        same = next((known for known in here if known.operation == kept.operation), None) if here else None
        if same is None:
            self._count(operation, here)
            self._put(tuple(sorted((*here, kept), key=_spelling)) if here else (kept,))
        elif (earlier := _earlier(same.received_millis, received_millis)) != same.received_millis:
            known = replace(same, received_millis=earlier)
            self._put(tuple(known if one is same else one for one in here))

    def state(self) -> State:
        """The state after all that was applied."""
        for entry_id in self._dirty & self._groups.keys():
            self._refresh(entry_id)
        self._dirty.clear()
        return State(
            self._kept.copy(),
            self._groups.copy(),
            self._entries.copy(),
            self._aside.copy(),
            self._open.copy(),
            self._ahead.copy(),
            dict(self._devices),
        )

    def _count(self, operation: Operation, here: tuple[Kept, ...]) -> None:
        """Count the device's number, unless the same operation counted it already in another spelling."""
        numbered = (operation.device, operation.number)
        if numbered not in {(kept.operation.device, kept.operation.number) for kept in here}:
            tally = self._devices.get(operation.device, Tally())
            self._devices[operation.device] = tally.with_number(operation.number)

    def _put(self, variants: tuple[Kept, ...]) -> None:
        """Keep all that came under one id; they belong to every entry that one of them is about."""
        operation_id = variants[0].operation.id
        self._kept.put(operation_id, variants)
        self._dirty.add(operation_id)
        for kept in variants:
            group = self._groups.get(kept.operation.entry_id, ())
            if operation_id not in group:
                self._groups.put(kept.operation.entry_id, (*group, operation_id))
            self._dirty.add(kept.operation.entry_id)

    def _refresh(self, entry_id: str) -> None:
        """Look again at one entry, from all that is about it."""
        about = [self._kept[name] for name in self._groups.get(entry_id, ())]
        first = [variants[0] for variants in about if variants[0].operation.entry_id == entry_id]
        target = self._kept.get(entry_id)
        logged, aside = look(entry_id, first, target[0].operation.act if target else None)
        aside += [
            PutAside(kept.operation, (SAME_ID,))
            for variants in about
            for kept in variants[1:]
            if kept.operation.entry_id == entry_id
        ]
        _set(self._entries, entry_id, logged)
        _set(self._aside, entry_id, tuple(aside) or None)
        self._mark(entry_id, logged, first)

    def _mark(self, entry_id: str, logged: Logged | None, first: list[Kept]) -> None:
        if logged is not None and (logged.entry.doubts or logged.conflicts):
            self._open.put(entry_id, None)
        else:
            self._open.drop(entry_id)
        for kept in first:
            _set(self._ahead, kept.operation.id, kept.ahead_ms or None)


def _set(shared: SharedMap[str, Any], key: str, value: object) -> None:
    if value is None:
        shared.drop(key)
    else:
        shared.put(key, value)


def _slim(operation: Operation, received_millis: int | None) -> Kept:
    examined = examine(operation.act, operation.body)
    if not examined.problems and operation.body.get("hearing") is not None:
        raw = operation.as_json() | {"body": {**operation.body, "hearing": None}}
        operation = Operation.from_checked(raw)
    return Kept(operation, received_millis, examined)


def _spelling(kept: Kept) -> bytes:
    return kept.operation.to_bytes()


def _earlier(one: int | None, other: int | None) -> int | None:
    return other if one is None else one if other is None else min(one, other)


def _logged_json(logged: Logged) -> dict[str, Any]:
    return {
        "id": logged.id,
        "entry": logged.entry.as_json(),
        "doubts": [doubt.as_json() for doubt in logged.entry.doubts],
        "noted": logged.noted.as_json(),
        "author": logged.author,
        "device": logged.device,
        "wall": logged.wall,
        "happened_millis": logged.happened_millis,
        "ahead_ms": logged.ahead_ms,
        "changes": [
            {"operation": change.operation, "field": change.field, "value": _value_json(change.value)}
            for change in logged.changes
        ],
        "standing": {name: [change.operation for change in heads] for name, heads in logged.standing.items()},
        "withdrawn": logged.withdrawn,
        "attachments": [[attached.operation, attached.media] for attached in logged.attachments],
    }


def _value_json(value: FieldValue | None) -> Any:
    return None if value is None else value_to_json(value)
