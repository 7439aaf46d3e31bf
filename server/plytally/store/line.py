"""One line of the journal: an operation in its place in the chain.

    {"hash":H,"operation":{…},"previous":P,"received":"2026-11-03T18:05:12.040+00:00","seq":7}

H is `link(P, payload)`, the payload being the line's canonical bytes without `hash` and `previous`; so
the chain also holds the number and the time of receipt. P is the line before's H, 64 zeros before the first.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

from plytally.core.operation import GENESIS, Operation, OperationError, link
from plytally.core.wall import Wall, WallError, read_wall

_FRAME = re.compile(
    rb'\{"hash":"(?P<hash>[0-9a-f]{64})",(?P<operation>"operation":\{.*\}),"previous":"(?P<previous>[0-9a-f]{64})"'
    rb',(?P<rest>"received":"(?P<received>[0-9T:.+-]{10,40})","seq":(?P<seq>[1-9][0-9]{0,15})\})\n',
    re.DOTALL,
)
_OPERATION = len(b'"operation":')


class LineError(ValueError):
    """A line that is not a whole line of the journal; the message says why."""


@dataclass(frozen=True, slots=True)
class Head:
    """Where the log ends: the last number given (0 while empty) and the hash of its line."""

    seq: int
    hash: str


EMPTY = Head(0, GENESIS)
"""The end of a log that has no line yet."""


@dataclass(frozen=True, slots=True)
class Record:
    """One operation as kept: its number in server order, when it was received, and its link in the chain."""

    seq: int
    previous: str
    hash: str
    received_millis: int
    operation: Operation

    @property
    def head(self) -> Head:
        """The log's end when this was the last record."""
        return Head(self.seq, self.hash)


def compose(operation: bytes, received_millis: int, after: Head) -> tuple[bytes, Head]:
    """The line that keeps these canonical bytes behind `after`, newline included, and the new head."""
    rest = f'"received":"{Wall(received_millis, 0)}","seq":{after.seq + 1}}}'.encode("ascii")
    digest = link(after.hash, b'{"operation":' + operation + b"," + rest)
    frame = (b'{"hash":"', digest.encode(), b'","operation":', operation)
    return b"".join((*frame, b',"previous":"', after.hash.encode(), b'",', rest, b"\n")), Head(
        after.seq + 1, digest
    )


def parse(line: bytes) -> Record:
    """The record in a line, its hash checked; LineError says what is wrong with it."""
    found = _FRAME.fullmatch(line)
    if found is None:
        raise LineError(_why_broken(line))
    previous, digest = found["previous"].decode(), found["hash"].decode()
    if link(previous, b"{" + found["operation"] + b"," + found["rest"]) != digest:
        raise LineError(_why_broken(line, "its hash does not match its content: it was changed afterwards"))
    try:
        operation = Operation.from_checked(json.loads(found["operation"][_OPERATION:]))
        received = read_wall(found["received"].decode()).millis
    except (ValueError, TypeError, KeyError) as problem:
        raise LineError(f"its content is not an operation ({problem})") from problem
    return Record(int(found["seq"]), previous, digest, received, operation)


def operation_bytes(line: bytes) -> bytes:
    """The canonical bytes of the operation in a line that `parse` accepts; LineError for any other."""
    found = _FRAME.fullmatch(line)
    if found is None:
        raise LineError(_why_broken(line))
    return found["operation"][_OPERATION:]


def follows(record: Record, head: Head) -> str:
    """Why `record` cannot stand behind `head`; empty if it does."""
    if record.seq != head.seq + 1:
        return f"it has number {record.seq} where {head.seq + 1} belongs: lines or files are missing or extra"
    if record.previous != head.hash:
        return "it does not name the hash of the line before it: one of the two was changed or replaced"
    return ""


def strict_problem(line: bytes, record: Record) -> str:
    """What a full look finds in a line that `parse` accepted: its operation must be sound and canonical."""
    try:
        sound = Operation.from_json(record.operation.as_json())
        same = sound.to_bytes() == operation_bytes(line)
    except (OperationError, WallError) as problem:
        return f"its operation is not sound: {problem}"
    return "" if same else "its operation is not in canonical form"


def _why_broken(line: bytes, otherwise: str = "") -> str:
    if not line.endswith(b"\n"):
        return "it was not written to its end"
    if b"\0" in line:
        return "it holds zero bytes, as a disk leaves them after a power cut or an error"
    return otherwise or "it is not a line of the log: it was cut, edited or overwritten"
