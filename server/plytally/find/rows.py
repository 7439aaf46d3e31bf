"""What of an entry can be found: its words, its names now and before, and the places that it ever touched."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plytally.core.desk.days import stands
from plytally.core.desk.typed_value import told
from plytally.core.entry import FIELDS
from plytally.core.history import Logged
from plytally.core.readback import shown

NAMED = (
    "side",
    "part",
    "face",
    "feature",
    "station",
    "material",
    "orientation",
    "resin",
    "batch",
    "item",
    "by",
)
"""Fields by whose value an entry is found, also by a value that it had before."""

ROW_BITS = 20


@dataclass(frozen=True)
class Found:
    """One entry as the index has it. `number` sorts by time.

    `touched` are (part, side) pairs, "" for a side that was not said; `loose` is what an entry says that
    never named a part, and may name one in its own words.
    """

    number: int
    id: str
    day: str
    wall: str
    kind: str
    author: str
    stands: str
    photos: int
    line: str
    words: str
    names: tuple[tuple[str, str], ...]
    touched: tuple[tuple[str, str], ...]
    loose: str


def found(logged: Logged) -> Found:
    """What the index keeps of an entry."""
    return Found(
        number=max(0, logged.happened_millis) << ROW_BITS | int(logged.id[-5:], 16),
        id=logged.id,
        day=logged.wall[:10],
        wall=logged.wall,
        kind=logged.entry.kind,
        author=logged.author,
        stands=stands(logged),
        photos=sum(each.role == "photo" for each in logged.attachments),
        line=shown(logged.entry),
        words="\n".join(dict.fromkeys(filter(None, _words(logged)))),
        names=tuple(_names(logged)),
        touched=tuple(_touched(logged)),
        loose="" if _ever(logged, "part") else "\n".join(filter(None, _words(logged))),
    )


def _words(logged: Logged) -> Iterator[str]:
    yield shown(logged.entry)
    yield logged.entry.said
    yield str(logged.entry.fields.get("text", ""))
    yield shown(logged.noted)
    yield logged.author
    yield logged.withdrawn or ""
    for change in logged.changes:
        yield told(change.value) if change.field in FIELDS and change.value is not None else ""
        yield change.why
        yield from (word for doubt in change.doubts for word in (doubt.heard, doubt.runner_up))
    for doubt in logged.noted.doubts:
        yield doubt.runner_up
    yield from (each.name for each in logged.attachments)


def _ever(logged: Logged, field: str) -> list[str]:
    """Every value that a field has or had, the one that counts now first."""
    values = [logged.entry.fields.get(field), *(change.value for change in reversed(logged.history(field)))]
    return list(dict.fromkeys(str(value) for value in values if value is not None))


def _names(logged: Logged) -> Iterator[tuple[str, str]]:
    for field in NAMED:
        yield from ((field, value.casefold()) for value in _ever(logged, field))


def _touched(logged: Logged) -> Iterator[tuple[str, str]]:
    """Each part with each side that the entry has, had, or may have by a doubt; "" where none was said."""
    sides = [*_ever(logged, "side"), *_doubted_sides(logged)]
    for part in _ever(logged, "part"):
        yield from ((part.casefold(), side) for side in dict.fromkeys(sides or [""]))


def _doubted_sides(logged: Logged) -> Sequence[str]:
    told_sides = (
        word
        for doubt in logged.entry.doubts
        if doubt.field == "side"
        for word in (doubt.heard, doubt.runner_up)
    )
    return [word for word in told_sides if word in {"left", "right"}]
