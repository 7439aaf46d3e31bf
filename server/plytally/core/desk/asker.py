"""Who judges at the desk, and one operation that is to be made: its id follows from the request."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from plytally.core.body import KIND, TAUGHT, WITHDRAWN
from plytally.core.canonical import canonical
from plytally.core.clock import RANDOM_BITS, uuid7, uuid7_millis
from plytally.core.desk.due_times import Changes
from plytally.core.entry import FIELDS

ACCEPTED, CAME_FROM = "accepted", "came_from"
OF_NO_FIELD = frozenset({ACCEPTED, CAME_FROM, TAUGHT})
"""What a resolve may say of an entry that is no field of it."""
_JUDGED = (KIND, WITHDRAWN, ACCEPTED, "unused", "order", *FIELDS)


@dataclass(frozen=True)
class Act:
    """One operation to be made: `wall` is set where it says when the work was, not when it was typed."""

    id: str
    act: str
    target: str | None
    body: Mapping[str, Any]
    wall: str = ""


@dataclass(frozen=True)
class Asker:
    """Who judges (a role), and the request, from which the ids of its operations follow.

    `changes` are those of local time after the entry that is judged, see `due_times`.
    """

    author: str
    key: str
    request: Mapping[str, Any] = field(default_factory=dict)
    changes: Changes = ()

    def id(self, *about: str) -> str:
        """The id of the operation of this request that is about this."""
        digest = hashlib.sha256(canonical([self._digest, *about])).digest()
        return uuid7(uuid7_millis(self.key), int.from_bytes(digest, "big") >> (256 - RANDOM_BITS))

    @cached_property
    def _digest(self) -> str:
        return hashlib.sha256(canonical([self.key, dict(self.request)])).hexdigest()

    def traces(self, entry_ids: Iterable[str]) -> Iterator[str]:
        """The ids under which something of this request is in the log, if it was asked before."""
        yield from (self.id("note"), self.id("note 0"))
        for entry_id in entry_ids:
            yield from (self.id(entry_id, name) for name in _JUDGED)
