"""A note that was not understood, told again: it becomes what the builder says now, and keeps its sound."""

from __future__ import annotations

from collections.abc import Sequence

from plytally.core.body import KIND
from plytally.core.clock_acts import with_due, zone_then
from plytally.core.entry import Doubt, Entry
from plytally.core.history import Logged
from plytally.core.replies import Act, Json, change, reply, told
from plytally.core.understand import Understanding


def retold(logged: Logged, meant: Understanding, now: int, changes: Sequence[Sequence[int]] = ()) -> Json:
    """The reply by which a note becomes what was told now; what makes no entry changes nothing.

    A clock's time is seen from when the note was spoken; `now` is Unix milliseconds, `changes` those of the
    clocks (daylight saving).
    """
    entry = meant.entry
    if entry is None or entry.kind == "note":
        return reply(meant, lines=(f"{meant.said!r} makes no entry; nothing is changed",))
    entry = with_due(entry, *zone_then(logged, changes), now)
    return reply(meant, _acts(logged, entry, entry.doubts), told(entry), logged.id)


def _acts(logged: Logged, entry: Entry, doubts: Sequence[Doubt]) -> list[Act]:
    """One change for the kind and each field; a doubt goes with its field, or with the kind.

    What the note had before and does not say now is taken out, and what was doubted of it is settled.
    """
    rest = [doubt for doubt in doubts if doubt.field not in entry.fields]
    acts = [change(logged, "amend", KIND, entry.kind, entry.said, rest)]
    for name, value in entry.fields.items():
        mine = [doubt for doubt in doubts if doubt.field == name]
        acts.append(change(logged, "amend", name, value, entry.said, mine))
    before = (*logged.entry.fields, *(doubt.field for doubt in logged.entry.doubts))
    fresh = {KIND, *entry.fields, *(doubt.field for doubt in rest)}
    for name in dict.fromkeys(before):
        if name not in fresh:
            acts.append(change(logged, "resolve", name, None, entry.said))
    return acts
