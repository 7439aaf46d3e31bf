"""From the operations about one entry to what counts now.

Each field is a register that keeps every value it was given. A value stands until another one names
its operation in `over`; if two devices wrote without having seen each other, both values stand, the
later one is shown, and the field carries a doubt until someone chooses. A doubt stands as long as the
operation that brought it does, so amending or confirming a field settles it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import cast

from plytally.core.body import KIND, WITHDRAWN
from plytally.core.entry import FIELDS, KINDS, Doubt, Entry, FieldValue
from plytally.core.history import Attachment, Change, Kept, Logged, PutAside, Rank, differ, same
from plytally.core.operation import Operation

SEVERAL = "different values were given without knowing of each other; someone has to choose"


def look(
    entry_id: str, group: Sequence[Kept], target_act: str | None
) -> tuple[Logged | None, list[PutAside]]:
    """What a group of operations about one entry amounts to, and those that amount to nothing.

    The result is the same in whatever order the group comes. `target_act` is what the operation with
    the entry's id is, None while it is missing.
    """
    aside = [PutAside(kept.operation, kept.examined.problems) for kept in group if kept.examined.problems]
    sound = sorted((kept for kept in group if not kept.examined.problems), key=_rank_of)
    note = next((kept for kept in sound if kept.operation.act == "note"), None)
    if note is None:
        why = (_why_waiting(entry_id, target_act),)
        return None, [*aside, *(PutAside(kept.operation, why, waiting=True) for kept in sound)]
    return _logged(note, [kept for kept in sound if kept is not note]), aside


def _rank_of(kept: Kept) -> Rank:
    return kept.rank


def _why_waiting(entry_id: str, target_act: str | None) -> str:
    if target_act is None:
        return f"it is about entry {entry_id}, which has not arrived yet"
    if target_act == "note":
        return f"it is about entry {entry_id}, which is itself put aside"
    return f"it is about {entry_id}, which is no entry but the act '{target_act}'"


def _logged(note: Kept, rest: Sequence[Kept]) -> Logged:
    first = note.operation
    noted = cast(Entry, note.examined.meaning)
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


def _amended(bare: Logged, rest: Sequence[Kept]) -> Logged:
    changes = tuple(_change(kept) for kept in rest if kept.operation.act != "attach")
    logged = replace(
        bare,
        changes=changes,
        attachments=tuple(_attachment(kept.operation) for kept in rest if kept.operation.act == "attach"),
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
        if differ(heads):
            other = next(head for head in reversed(heads) if not same(head, heads[-1]))
            yield Doubt(name, _shown(heads[-1].value), _shown(other.value), SEVERAL)


def _shown(value: FieldValue | None) -> str:
    return "nothing" if value is None else str(value)


def _change(kept: Kept) -> Change:
    operation, body = kept.operation, kept.operation.body
    return Change(
        operation=operation.id,
        act=operation.act,
        field=WITHDRAWN if operation.act == "withdraw" else body["field"],
        value=cast("FieldValue | None", kept.examined.meaning),
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
