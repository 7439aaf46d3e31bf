"""What the body of each act must hold, and every sentence about one that does not.

A body that fails here is not refused: the operation stays in the log and `merge` puts it aside with
these sentences, so that a phone with newer words than the shop computer loses nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from plytally.core.canonical import MAX_INTEGER
from plytally.core.clock import is_uuid7
from plytally.core.entry import (
    FIELDS,
    KINDS,
    Doubt,
    Entry,
    EntryError,
    FieldValue,
    value_from_json,
    value_to_json,
)

KIND = "kind"
"""The field whose amendment turns a plain note into another kind of entry."""

WITHDRAWN = "withdrawn"
"""The field that a withdrawal fills with its reason; amend it to null to bring the entry back."""

TAUGHT = "taught"
"""A resolve of this marks a plain note that tells of a word that was taught, and of no work."""

Check = Callable[[Any], Iterator[str]]

_NAME = re.compile(r"[a-z][a-z0-9_]{0,31}")
_SHA256 = re.compile(r"[0-9a-f]{64}")
_MIME = re.compile(r"[a-z0-9.+-]+/[a-z0-9.+-]+(; ?[a-z0-9-]+=[A-Za-z0-9.,+_-]+)*")
_DOUBT = frozenset({"field", "heard", "runner_up", "why"})
_ENTRY = frozenset({"kind", "fields", "said", "unused"})


@dataclass(frozen=True, slots=True)
class Examined:
    """A body's meaning: a note's Entry with its doubts, an amendment's value, None for the other acts.

    `problems` has one sentence for every reason why it has none; empty if the body is sound.
    """

    meaning: Entry | FieldValue | None = None
    problems: tuple[str, ...] = ()


def examine(act: str, body: Mapping[str, Any]) -> Examined:
    """Read the body of an act, once."""
    needed, optional = _BODIES[act]
    parts = {**needed, **optional}
    unknown = [f"'{name}' is not a part of '{act}'" for name in sorted(body.keys() - parts.keys())]
    missing = [f"'{act}' needs '{name}'" for name in needed if name not in body]
    wrong = [problem for name, check in parts.items() if name in body for problem in check(body[name])]
    if unknown or missing or wrong:
        return Examined(problems=(*unknown, *missing, *wrong))
    try:
        return Examined(_MEANINGS[act](act, body))
    except EntryError as problem:
        return Examined(problems=(str(problem),))


def body_problems(act: str, body: Mapping[str, Any]) -> tuple[str, ...]:
    """Every reason why `body` does not fit `act`, one sentence each; empty if it does."""
    return examine(act, body).problems


def change_body(
    field: str,
    value: FieldValue | None,
    over: Iterable[str],
    *,
    author: str,
    why: str = "",
    doubts: Iterable[Doubt] = (),
) -> dict[str, Any]:
    """The body of an amendment or a resolve: `value` (None: taken out) over the operations it replaces."""
    doubted = [doubt.as_json() for doubt in doubts]
    return {
        "field": field,
        "value": None if value is None else value_to_json(value),
        "over": list(over),
        "author": author,
        "why": why,
        **({"doubts": doubted} if doubted else {}),
    }


def _noted(act: str, body: Mapping[str, Any]) -> Entry:
    plain = Entry.from_json(body["entry"])
    doubts = tuple(Doubt(**doubt) for doubt in body["doubts"])
    return replace(plain, doubts=doubts) if doubts else plain


def _amended(act: str, body: Mapping[str, Any]) -> FieldValue | None:
    """The value given to a field, None where it is taken out.

    A resolve may also answer a doubt about something that is no field; its value is then text.
    """
    field, value = body["field"], body["value"]
    if field == KIND and not (isinstance(value, str) and value in KINDS):
        raise EntryError(f"{value!r} is not a kind of entry; known kinds: {', '.join(KINDS)}")
    if field in FIELDS:
        return None if value is None else value_from_json(field, value)
    if act == "amend" and field not in (KIND, WITHDRAWN):
        raise EntryError(f"'{field}' is not a field of any entry; fields: {', '.join(FIELDS)}")
    if value is not None and not isinstance(value, str):
        raise EntryError(f"'{field}' holds text or null, found {type(value).__name__}")
    return value


def _entry(raw: Any) -> Iterator[str]:
    if not isinstance(raw, Mapping):
        yield f"'entry' must be an object, found {type(raw).__name__}"
        return
    for name in sorted(raw.keys() - _ENTRY):
        yield f"'{name}' is not a part of an entry"
    unused = raw.get("unused", [])
    if not isinstance(raw.get("said", ""), str):
        yield "an entry's 'said' must be text"
    if not isinstance(unused, list) or not all(isinstance(word, str) for word in unused):
        yield "an entry's 'unused' must be a list of words"


def _doubts(raw: Any) -> Iterator[str]:
    if not isinstance(raw, list):
        yield f"'doubts' must be a list, found {type(raw).__name__}"
        return
    for place, doubt in enumerate(raw):
        sound = isinstance(doubt, Mapping) and doubt.keys() == _DOUBT
        if not sound or not all(isinstance(part, str) for part in doubt.values()):
            yield f"doubts[{place}] must be an object of the texts {', '.join(sorted(_DOUBT))}"


def _over(raw: Any) -> Iterator[str]:
    if not isinstance(raw, list) or not all(map(is_uuid7, raw)):
        yield "'over' must be a list of operation ids (UUIDv7)"


def _matching(name: str, pattern: re.Pattern[str], wanted: str) -> Check:
    def check(raw: Any) -> Iterator[str]:
        if not isinstance(raw, str) or not pattern.fullmatch(raw):
            yield f"'{name}' must be {wanted}, found {raw!r}"

    return check


def _text(name: str) -> Check:
    return _matching(name, re.compile(r"(?s).*"), "text")


def _hearing(raw: Any) -> Iterator[str]:
    if raw is not None and not isinstance(raw, Mapping):
        yield f"'hearing' must be an object or null, found {type(raw).__name__}"


def _size(raw: Any) -> Iterator[str]:
    if not isinstance(raw, int) or isinstance(raw, bool) or not 0 <= raw <= MAX_INTEGER:
        yield f"'size' must be a whole number of bytes, found {raw!r}"


def _anything(raw: Any) -> Iterator[str]:
    return iter(())


Parts = Mapping[str, Check]

_ALWAYS: Parts = {"author": _text("author"), "why": _text("why"), "hearing": _hearing}
_AMEND: tuple[Parts, Parts] = (
    {"field": _matching("field", _NAME, "a field's name"), "value": _anything, "over": _over},
    {"doubts": _doubts, **_ALWAYS},
)
_BODIES: Mapping[str, tuple[Parts, Parts]] = {
    "note": ({"entry": _entry, "doubts": _doubts, "hearing": _hearing, "author": _text("author")}, {}),
    "amend": _AMEND,
    "resolve": _AMEND,
    "withdraw": ({"why": _text("why")}, {**_ALWAYS, "over": _over}),
    "attach": (
        {
            "media": _matching("media", _SHA256, "a SHA-256 in lower-case hex"),
            "mime": _matching("mime", _MIME, "a media type such as audio/webm"),
            "size": _size,
            "role": _matching("role", _NAME, "a role such as sound or photo"),
        },
        {**_ALWAYS, "name": _text("name")},
    ),
}
_MEANINGS: Mapping[str, Callable[[str, Mapping[str, Any]], Entry | FieldValue | None]] = {
    "note": _noted,
    "amend": _amended,
    "resolve": _amended,
    "withdraw": lambda act, body: body["why"],
    "attach": lambda act, body: None,
}
