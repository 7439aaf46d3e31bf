"""An entry as plain JSON for the desk: a row for lists, and all of it with its history and hearings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from plytally.core.body import KIND, WITHDRAWN
from plytally.core.desk.acts import ACCEPTED, CAME_FROM, accepted, version
from plytally.core.desk.answers import doubts_asked
from plytally.core.desk.days import stands
from plytally.core.desk.typed_value import told
from plytally.core.desk.units import SAID, beside
from plytally.core.doubting import SURE
from plytally.core.entry import FIELDS, KINDS, PLACE, Entry, FieldValue, value_to_json
from plytally.core.hearing import Hearing
from plytally.core.history import Attachment, Change, Logged
from plytally.core.quantities import Dimension
from plytally.core.readback import asked, shown

Json = dict[str, Any]
LABELS = {
    KIND: "kind",
    WITHDRAWN: "withdrawn",
    ACCEPTED: "accepted",
    CAME_FROM: "made from",
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


def row(logged: Logged) -> Json:
    """What a list shows of an entry."""
    taken = accepted(logged)
    return {
        "id": logged.id,
        "version": version(logged),
        "wall": logged.wall,
        "millis": logged.happened_millis,
        "kind": logged.entry.kind,
        "kind_told": _kind_told(logged.entry.kind),
        "line": shown(logged.entry),
        "said": logged.entry.said,
        "author": logged.author,
        "device": logged.device,
        "stands": stands(logged),
        "doubts": [
            each.doubt.as_json()
            | {
                "label": label(each.doubt.field),
                "question": asked(each.doubt),
                "choices": [{"choice": choice.name, "told": choice.told} for choice in each.choices],
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


def whole(logged: Logged, heard: Sequence[Heard], units: str = SAID) -> Json:
    """All of an entry: its row, fields, standing values, history, and what was heard by whom.

    `units` are those that amounts are told in beside the said ones.
    """
    return row(logged) | {
        "fields": [_field(logged, name, units) for name in KINDS[logged.entry.kind].fields],
        "standing": [
            {"field": name, "label": label(name), "values": [_standing(change) for change in heads]}
            for name, heads in sorted(logged.standing.items())
            if name in logged.conflicts
        ],
        "history": list(_history(logged)),
        "made_from": _made_from(logged),
        "heard": [_heard(each) for each in heard],
        "differing": list(_differing(heard)),
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


def _field(logged: Logged, name: str, units: str) -> Json:
    value = logged.entry.fields.get(name)
    holds = FIELDS[name].holds
    return {
        "field": name,
        "label": label(name),
        "holds": holds.value if isinstance(holds, Dimension) else holds,
        "place": name in PLACE,
        "value": None if value is None else value_to_json(value),
        "told": "" if value is None else told(value),
        "beside": beside(value, units),
        "in_doubt": any(doubt.field == name for doubt in logged.entry.doubts),
    }


def _standing(change: Change) -> Json:
    return {"operation": change.operation, "told": told(change.value)} | _by(change)


def _by(change: Change) -> Json:
    return {"author": change.author, "device": change.device, "wall": change.wall, "why": change.why}


def _history(logged: Logged) -> Iterator[Json]:
    """Who said what when, the first first; a change with the value that it took the place of."""
    yield {
        "operation": logged.id,
        "act": "note",
        "field": "",
        "label": "",
        "before": "",
        "after": shown(logged.noted),
        "asked": [asked(doubt) for doubt in logged.noted.doubts],
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
            "before": _before(logged, change),
            "after": told(change.value),
            "asked": [asked(doubt) for doubt in change.doubts],
        } | _by(change)


def _before(logged: Logged, change: Change) -> str:
    replaced = [told(each.value) for each in logged.history(change.field) if each.operation in change.over]
    return " and ".join(dict.fromkeys(replaced))


def _made_from(logged: Logged) -> list[str]:
    heads = logged.standing.get(CAME_FROM, ())
    return str(heads[-1].value or "").split() if heads else []


def _heard(each: Heard) -> Json:
    hearing = each.hearing
    return {
        "attachment": each.attachment,
        "where": each.where,
        "engine": hearing.engine if hearing else "",
        "covered": hearing.covered if hearing else False,
        "line": shown(each.entry) if each.entry else "",
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


def _differing(heard: Sequence[Heard]) -> Iterator[Json]:
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
            yield {"field": name, "label": label(name), "phone": told(ours), "shop": told(theirs)}


def _json(value: FieldValue | None) -> Any:
    return None if value is None else value_to_json(value)
