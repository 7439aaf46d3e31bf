"""When a clock is due, as it is typed or answered at the desk: seen from when its entry was noted."""

from __future__ import annotations

from collections.abc import Sequence

from plytally.core.clock_acts import due_again, due_said, zone_then
from plytally.core.desk.typed_value import TypedValueError
from plytally.core.entry import FieldValue
from plytally.core.history import Logged

Changes = Sequence[Sequence[int]]
"""Those of local time (daylight saving) in the days after the entry; see `zone_of`."""


def due_typed(logged: Logged, words: str, changes: Changes) -> str:
    """The instant that these words name. TypedValueError where they name none."""
    due = due_said(logged, " ".join(words.split()), zone_then(logged, changes)[1])
    if due is None:
        raise TypedValueError(f"due: {words!r} is no time; write a time of day such as 21:00 today")
    return due


def due_of(logged: Logged, at: FieldValue | None, changes: Changes) -> str | None:
    """When it is due with another time of day."""
    return due_again(logged, at, zone_then(logged, changes)[1])
