"""The tables of an export: every entry, every change, and plies asked against laid.

They are for reading in a spreadsheet. The log itself, to the last byte, is log.jsonl.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from plytally.core.entry import FIELDS
from plytally.core.history import Logged
from plytally.core.readback import asked, shown
from plytally.record.content import Content, value_told
from plytally.record.photos import PHOTO

Rows = Iterator[Sequence[str]]

ENTRY_HEAD = (
    *("number", "id", "when", "noted by", "device", "kind"),
    *FIELDS,
    *("in words", "said", "open doubts", "withdrawn", "photos", "sounds"),
)
CHANGE_HEAD = ("entry", "operation", "when", "noted by", "device", "act", "field", "old", "new", "why")
PLY_HEAD = (
    *("part", "side", "face", "feature", "station", "material", "orientation"),
    *("asked", "laid", "in doubt", "owed", "over", "laid instead", "steps"),
)


def entry_rows(content: Content) -> Rows:
    """A row an entry, the first done first, withdrawn ones too."""
    for logged in content.entries:
        said = logged.entry.fields
        fields = [value_told(said[name]) if name in said else "" for name in FIELDS]
        yield (
            str(content.number[logged.id]),
            *(logged.id, logged.wall, logged.author, logged.device, logged.entry.kind),
            *fields,
            shown(logged.entry),
            logged.entry.said,
            "; ".join(map(asked, logged.entry.doubts)),
            "" if logged.withdrawn is None else logged.withdrawn or "withdrawn",
            _media(logged, photos=True),
            _media(logged, photos=False),
        )


def change_rows(content: Content) -> Rows:
    """A row a change, entry by entry."""
    for logged, change, old, new in content.changed():
        who = (change.wall, change.author, change.device, change.act, change.field)
        yield (logged.id, change.operation, *who, old, new, change.why)


def ply_rows(content: Content) -> Rows:
    """A row for each cloth at each place of the print that is within the scope."""
    for tally in content.ledger.tallies():
        place = tally.place
        if content.scope.has(place):
            numbers = (tally.asked, tally.laid, tally.in_doubt, tally.owed, tally.over)
            yield (
                *(place.part, place.side, place.face, place.feature, place.station),
                *(tally.material, tally.orientation, *map(str, numbers)),
                ", ".join(tally.instead),
                ", ".join(dict.fromkeys(tally.steps)),
            )


TABLES: Mapping[str, tuple[Sequence[str], Callable[[Content], Rows]]] = {
    "entries": (ENTRY_HEAD, entry_rows),
    "changes": (CHANGE_HEAD, change_rows),
    "plies": (PLY_HEAD, ply_rows),
}
"""Each table by its name: its head, and what gives its rows."""


def _media(logged: Logged, *, photos: bool) -> str:
    return " ".join(each.media for each in logged.attachments if (each.role == PHOTO) is photos)
