"""An entry as plain JSON for the desk: a row for lists, and all of it with its history and hearings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from plytally.core.body import KIND, TAUGHT, WITHDRAWN
from plytally.core.desk.acts import ACCEPTED, CAME_FROM, accepted, version
from plytally.core.desk.answers import doubts_asked
from plytally.core.desk.days import stands
from plytally.core.doubting import SURE
from plytally.core.entry import FIELDS, KINDS, PLACE, Entry, FieldValue, value_to_json
from plytally.core.hearing import Hearing
from plytally.core.history import Attachment, Change, Logged
from plytally.core.likes import USUAL, Likes
from plytally.core.quantities import Dimension
from plytally.core.readback import asked, shown

Json = dict[str, Any]
LABELS = {
    KIND: "kind",
    WITHDRAWN: "withdrawn",
    ACCEPTED: "accepted",
    CAME_FROM: "made from",
    TAUGHT: "taught",
    "order": "order of work",
    "unused": "left over",
}


@dataclass(frozen=True)
class Heard:
    """What one engine heard in one recording, and the entry that this makes; `problem` where it could not.

    `place` is another number after each try, so that a page sees that one was made.
    """

    attachment: str
    where: str
    hearing: Hearing | None
    entry: Entry | None = None
    problem: str = ""
    place: int = 0


def row(logged: Logged, likes: Likes = USUAL) -> Json:
    """What a list shows of an entry, days and amounts as they are liked."""
    taken = accepted(logged)
    return {
        "id": logged.id,
        "version": version(logged),
        "wall": logged.wall,
        "millis": logged.happened_millis,
        "kind": logged.entry.kind,
        "kind_told": _kind_told(logged.entry.kind),
        "line": shown(logged.entry, likes),
        "said": logged.entry.said,
        "author": logged.author,
        "device": logged.device,
        "stands": stands(logged),
        "doubts": [
            each.doubt.as_json()
            | {
                "label": label(each.doubt.field),
                "question": asked(likes.doubt(each.doubt)),
                "choices": [
                    {"choice": choice.name, "told": likes.told_text(each.doubt.field, choice.told)}
                    for choice in each.choices
                ],
                "in_words": each.in_words,
            }
            for each in doubts_asked(logged)
        ],
        "conflicts": list(logged.conflicts),
        "withdrawn": logged.withdrawn,
        "accepted": None if taken is None else {"author": taken.author, "wall": taken.wall},
        "attachments": [_attached(each) for each in logged.attachments],
        "ahead_ms": logged.ahead_ms,
    }


def whole(logged: Logged, heard: Sequence[Heard], likes: Likes = USUAL) -> Json:
    """All of an entry: its row, fields, standing values, history, and what was heard by whom."""
    return row(logged, likes) | {
        "fields": [_field(logged, name, likes) for name in KINDS[logged.entry.kind].fields],
        "standing": [
            {"field": name, "label": label(name), "values": [_standing(change, likes) for change in heads]}
            for name, heads in sorted(logged.standing.items())
            if name in logged.conflicts
        ],
        "history": list(_history(logged, likes)),
        "made_from": _made_from(logged),
        "heard": [_heard(each, likes) for each in heard],
        "differing": list(_differing(heard, likes)),
    }


def label(field: str) -> str:
    """A field as a person calls it."""
    return LABELS.get(field) or ((FIELDS[field].label or field) if field in FIELDS else field)


def _kind_told(kind: str) -> str:
    return KINDS[kind].label or kind


def _attached(each: Attachment) -> Json:
    return {
        "operation": each.operation,
        "media": each.media,
        "mime": each.mime,
        "role": each.role,
        "name": each.name,
        "size": each.size,
    }


def _field(logged: Logged, name: str, likes: Likes) -> Json:
    value = logged.entry.fields.get(name)
    holds = FIELDS[name].holds
    return {
        "field": name,
        "label": label(name),
        "holds": holds.value if isinstance(holds, Dimension) else holds,
        "place": name in PLACE,
        "value": None if value is None else value_to_json(value),
        "told": "" if value is None else likes.figure(value),
        "beside": likes.beside(value),
        "in_doubt": any(doubt.field == name for doubt in logged.entry.doubts),
    }


def _standing(change: Change, likes: Likes) -> Json:
    return {"operation": change.operation, "told": likes.told(change.value)} | _by(change)


def _by(change: Change) -> Json:
    return {"author": change.author, "device": change.device, "wall": change.wall, "why": change.why}


def _history(logged: Logged, likes: Likes) -> Iterator[Json]:
    """Who said what when, the first first; a change with the value that it took the place of."""
    yield {
        "operation": logged.id,
        "act": "note",
        "field": "",
        "label": "",
        "before": "",
        "after": shown(logged.noted, likes),
        "asked": [asked(likes.doubt(doubt)) for doubt in logged.noted.doubts],
        "author": logged.author,
        "device": logged.device,
        "wall": logged.wall,
        "why": "",
    }
    for change in logged.changes:
        yield {
            "operation": change.operation,
            "act": change.act,
            "field": change.field,
            "label": label(change.field),
            "before": _before(logged, change, likes),
            "after": likes.told(change.value),
            "asked": [asked(likes.doubt(doubt)) for doubt in change.doubts],
        } | _by(change)


def _before(logged: Logged, change: Change, likes: Likes) -> str:
    replaced = [
        likes.told(each.value) for each in logged.history(change.field) if each.operation in change.over
    ]
    return " and ".join(dict.fromkeys(replaced))


def _made_from(logged: Logged) -> list[str]:
    heads = logged.standing.get(CAME_FROM, ())
    return str(heads[-1].value or "").split() if heads else []


def _heard(each: Heard, likes: Likes) -> Json:
    hearing = each.hearing
    return {
        "attachment": each.attachment,
        "where": each.where,
        "engine": hearing.engine if hearing else "",
        "covered": hearing.covered if hearing else False,
        "line": shown(each.entry, likes) if each.entry else "",
        "problem": each.problem,
        "place": each.place,
        "words": [
            {
                "text": word.text,
                "start": word.start,
                "end": word.end,
                "confidence": word.confidence,
                "runner_up": word.runner_up,
                "doubtful": bool(word.runner_up) or word.confidence < SURE,
            }
            for word in (hearing.words if hearing else ())
        ],
    }


def _differing(heard: Sequence[Heard], likes: Likes) -> Iterator[Json]:
    """The fields that the first and the last hearing have otherwise, side by side."""
    both = [each.entry for each in heard if each.entry is not None]
    if len(both) < 2:
        return
    first, last = both[0], both[-1]
    if first.kind != last.kind:
        yield {"field": KIND, "label": "kind", "phone": _kind_told(first.kind), "shop": _kind_told(last.kind)}
    for name in dict.fromkeys((*first.fields, *last.fields)):
        ours, theirs = first.fields.get(name), last.fields.get(name)
        if _json(ours) != _json(theirs):
            yield {"field": name, "label": label(name), "phone": likes.told(ours), "shop": likes.told(theirs)}


def _json(value: FieldValue | None) -> Any:
    return None if value is None else value_to_json(value)
