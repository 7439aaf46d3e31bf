"""What a log is made of: operations, each immutable, each with one spelling in bytes.

An operation says that one device, at one moment, did one of five acts:

    note      a new entry                        body: entry, doubts, hearing, author
    amend     another value for one field        body: field, value, over
    resolve   the choice among several values, or the answer to a doubt; body as for amend
    withdraw  the entry should not count         body: why
    attach    sound or a photo belongs to it     body: media, mime, size, role

All but a note have the noted entry's id as `target`. `body.py` says what each body must hold; an
operation whose envelope is sound but whose body is not is kept in the log and put aside by `merge`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from plytally.core.canonical import MAX_INTEGER, canonical, problems_in
from plytally.core.clock import DEVICE, MAX_COUNTER, MAX_MILLIS, Stamp, is_uuid7
from plytally.core.wall import WallError, read_wall

ACTS = ("note", "amend", "withdraw", "attach", "resolve")
MAX_BYTES = 256 * 1024
"""The largest operation: a ten-minute note with every word's time and confidence takes half of it."""

GENESIS = "0" * 64
"""What stands before the first link of a chain."""


class OperationError(ValueError):
    """Something that is no operation; `problems` has one sentence for each reason."""

    def __init__(self, problems: tuple[str, ...]) -> None:
        super().__init__("; ".join(problems))
        self.problems = problems


@dataclass(frozen=True, eq=False, slots=True)
class Operation:
    """One act on the log.

    `id` is a UUIDv7; `number` the device's own running number, from 1, so that a gap shows; `wall` the
    time as the device's clock showed it, RFC 3339 with the local offset; `skew_ms` how far that clock
    was ahead of the shop computer's when last measured, None while unknown. `body` is never changed.

    Two operations are equal if their bytes are.
    """

    id: str
    device: str
    number: int
    stamp: Stamp
    wall: str
    skew_ms: int | None
    act: str
    target: str | None
    body: Mapping[str, Any]
    _spelt: bytes = field(default=b"", init=False, repr=False)

    def __post_init__(self) -> None:
        raw = self.as_json()
        found = list(_envelope_problems(raw))
        if self.stamp.device != self.device:
            found.append(f"'stamp' is of device '{self.stamp.device}', the operation of '{self.device}'")
        _refuse(found)
        object.__setattr__(self, "_spelt", _spelt(raw))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Operation) and self.id == other.id and self.to_bytes() == other.to_bytes()

    def __hash__(self) -> int:
        return hash(self.id)

    @property
    def entry_id(self) -> str:
        """The id of the entry this is about: its own for a note, else its target."""
        return self.target or self.id

    @property
    def happened_millis(self) -> int:
        """When it was done, in Unix milliseconds by the shop computer's clock as far as the skew is known."""
        return read_wall(self.wall).millis - (self.skew_ms or 0)

    def as_json(self) -> dict[str, Any]:
        """The operation as plain JSON values; the stamp as [millis, counter], its device being `device`."""
        return {
            "act": self.act,
            "body": self.body,
            "device": self.device,
            "id": self.id,
            "number": self.number,
            "skew_ms": self.skew_ms,
            "stamp": [self.stamp.millis, self.stamp.counter],
            "target": self.target,
            "wall": self.wall,
        }

    def to_bytes(self) -> bytes:
        """The canonical bytes, by the rules of `canonical.py`."""
        return self._spelt or canonical(self.as_json())

    @classmethod
    def from_json(cls, raw: object) -> Operation:
        """The inverse of `as_json`; OperationError lists everything that is wrong with `raw`."""
        if not isinstance(raw, Mapping):
            raise OperationError((f"an operation is a JSON object, found {type(raw).__name__}",))
        _refuse(list(_envelope_problems(raw)))
        return cls.from_checked(raw, _spelt(raw))

    @classmethod
    def from_checked(cls, raw: Mapping[str, Any], spelt: bytes = b"") -> Operation:
        """As `from_json`, for what was checked before it was kept: quick, and looks at nothing again."""
        self = object.__new__(cls)
        for name in ("act", "body", "device", "id", "number", "skew_ms", "target", "wall"):
            object.__setattr__(self, name, raw[name])
        millis, counter = raw["stamp"]
        object.__setattr__(self, "_spelt", spelt)
        object.__setattr__(self, "stamp", Stamp(millis, counter, raw["device"]))
        return self


def link(previous_hex: str, payload: bytes) -> str:
    """The chain's next SHA-256, in hex: over the previous one's 64 characters, a newline and `payload`."""
    return hashlib.sha256(previous_hex.encode("ascii") + b"\n" + payload).hexdigest()


def _refuse(problems: list[str]) -> None:
    if problems:
        raise OperationError(tuple(problems))


def _spelt(raw: Mapping[str, Any]) -> bytes:
    """The canonical bytes, if they are not too many."""
    spelt = canonical(raw)
    if len(spelt) > MAX_BYTES:
        _refuse([f"the operation takes {len(spelt)} bytes, the limit is {MAX_BYTES}"])
    return spelt


def _envelope_problems(raw: Mapping[Any, Any]) -> Iterator[str]:
    for name in sorted(map(str, raw.keys() - _ENVELOPE.keys())):
        yield f"'{name}' is not a part of an operation; its parts: {', '.join(_ENVELOPE)}"
    for name, (fits, wanted) in _ENVELOPE.items():
        if name not in raw:
            yield f"'{name}' is missing; wanted {wanted}"
        elif not fits(raw[name]):
            yield f"'{name}' must be {wanted}, found {_shown(raw[name])}"
    if isinstance(raw.get("body"), Mapping):
        yield from problems_in(raw["body"], "body")
    if raw.get("act") in ACTS and (raw["act"] == "note") != (raw.get("target") is None):
        yield (
            "a note has no target" if raw["act"] == "note" else f"'{raw['act']}' needs an entry as its target"
        )


def _shown(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 80 else f"{text[:77]}..."


def _whole(low: int, high: int) -> Callable[[object], bool]:
    return lambda value: isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _is_wall(value: object) -> bool:
    try:
        return isinstance(value, str) and read_wall(value) is not None
    except WallError:
        return False


def _is_stamp(value: object) -> bool:
    return isinstance(value, list) and len(value) == 2 and _MILLIS(value[0]) and _COUNTER(value[1])


_MILLIS, _COUNTER = _whole(0, MAX_MILLIS), _whole(0, MAX_COUNTER)
_SKEW = _whole(-MAX_INTEGER, MAX_INTEGER)

_ENVELOPE: Mapping[str, tuple[Callable[[Any], bool], str]] = {
    "act": (lambda value: isinstance(value, str) and value in ACTS, f"one of {', '.join(ACTS)}"),
    "body": (lambda value: isinstance(value, Mapping), "a JSON object"),
    "device": (
        lambda value: isinstance(value, str) and DEVICE.fullmatch(value) is not None,
        "a device name: 1 to 64 of a-z, 0-9 and '-', a letter or digit first",
    ),
    "id": (is_uuid7, "a UUIDv7 in lower case"),
    "number": (_whole(1, MAX_INTEGER), "the device's running number, from 1"),
    "skew_ms": (lambda value: value is None or _SKEW(value), "a whole number of milliseconds or null"),
    "stamp": (_is_stamp, f"[millis, counter], whole numbers up to {MAX_MILLIS} and {MAX_COUNTER}"),
    "target": (lambda value: value is None or is_uuid7(value), "an entry's UUIDv7 or null"),
    "wall": (_is_wall, "an RFC 3339 time with an offset, such as 2026-11-03T19:05:12.040+01:00"),
}
