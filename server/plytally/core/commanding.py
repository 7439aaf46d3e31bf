"""What a builder says of the entry before: the acts that it asks for, and the lines to show.

"scratch that" withdraws it, "make it three" changes a field, "confirm" settles what was in doubt.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from plytally.core.body import WITHDRAWN
from plytally.core.correcting import CorrectionError, correction
from plytally.core.doubting import doubts_of_fields
from plytally.core.entry import Doubt, Entry, FieldValue
from plytally.core.history import Logged
from plytally.core.likes import Likes
from plytally.core.readback import shown
from plytally.core.replies import BUILDER, Act, change, told
from plytally.core.understand import Understanding
from plytally.core.vocabulary import Vocabulary

Done = tuple[list[Act], Sequence[str]]


def commanded(last: Logged, meant: Understanding, vocabulary: Vocabulary, likes: Likes) -> Done:
    """The acts on the entry before, none where it cannot be done, and what is shown."""
    return _COMMANDS[meant.name](last, meant, vocabulary, likes)


def scratched(logged: Logged, why: str, likes: Likes) -> Done:
    """The act by which an entry is withdrawn; it stays readable."""
    body = {"why": why, "over": list(logged.heads(WITHDRAWN)), "author": BUILDER}
    act = {"act": "withdraw", "target": logged.id, "body": body}
    return [act], (f"scratched: {shown(logged.entry, likes)}",)


def _scratch(last: Logged, meant: Understanding, _: Vocabulary, likes: Likes) -> Done:
    return scratched(last, meant.said, likes)


def _make_it(last: Logged, meant: Understanding, vocabulary: Vocabulary, likes: Likes) -> Done:
    doubted = [doubt.field for doubt in last.entry.doubts]
    try:
        changes = correction(last.entry, doubted, meant.fields)
    except CorrectionError as problem:
        return [], (f"nothing is changed: {problem}",)
    acts = []
    for name, value in changes.items():
        doubts = _doubts_of_change(last.entry, name, value, meant.doubts, vocabulary)
        acts.append(change(last, "amend", name, value, meant.said, doubts))
    fields = {**last.entry.fields, **changes}
    return acts, (shown(replace(last.entry, fields=fields), likes),)


def _doubts_of_change(
    entry: Entry, name: str, value: FieldValue, heard: Sequence[Doubt], vocabulary: Vocabulary
) -> list[Doubt]:
    own = [replace(doubt, field=name) for doubt in heard if doubt.field in {name, "number"}]
    fields = {**entry.fields, name: value}
    raised = doubts_of_fields(entry.kind, fields, vocabulary)
    return own or [doubt for doubt in raised if doubt.field == name]


def _confirm(last: Logged, _meant: Understanding, _: Vocabulary, likes: Likes) -> Done:
    sure = [d.field for d in last.entry.doubts if d.heard or d.field in last.entry.fields]
    acts = [change(last, "resolve", name, last.shown(name)) for name in dict.fromkeys(sure)]
    return acts, (shown(last.entry, likes),)


def _read_back(last: Logged, _meant: Understanding, _: Vocabulary, likes: Likes) -> Done:
    return [], told(last.entry, likes)


_COMMANDS: Mapping[str, Callable[[Logged, Understanding, Vocabulary, Likes], Done]] = {
    "scratch": _scratch,
    "make_it": _make_it,
    "confirm": _confirm,
    "read_back": _read_back,
}
