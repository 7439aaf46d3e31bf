"""The plain JSON that a pocket answers with: replies, acts, rows for a screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from plytally.core.body import change_body
from plytally.core.entry import Doubt, Entry, FieldValue
from plytally.core.history import Logged
from plytally.core.likes import USUAL, Likes
from plytally.core.readback import asked, shown
from plytally.core.understand import Understanding

Act = dict[str, Any]
Json = dict[str, Any]
BUILDER = "builder"
"""Who acts on a phone."""


def told(entry: Entry, likes: Likes = USUAL) -> list[str]:
    """An entry as it is read back: its doubts first, then its line."""
    return [*(asked(likes.doubt(doubt)) for doubt in entry.doubts), shown(entry, likes)]


def reply(
    meant: Understanding, acts: Sequence[Act] = (), lines: Sequence[str] = (), target: str | None = None
) -> Json:
    """What comes of a question or a command: acts to keep, lines to show and to say."""
    both = {"lines": list(lines), "say": list(lines)}
    return {"makes": meant.makes, "name": meant.name, "acts": list(acts), "target": target} | both


def acts(acts: list[Act]) -> Json:
    """A reply that only says which acts there should be."""
    return {"acts": acts, "lines": []}


def change(
    logged: Logged,
    act: str,
    name: str,
    value: FieldValue | None,
    why: str = "",
    doubts: Sequence[Doubt] = (),
) -> Act:
    """Another value for a field, over those that stand."""
    body = change_body(name, value, logged.heads(name), author="builder", why=why, doubts=doubts)
    return {"act": act, "target": logged.id, "body": body}


def row(logged: Logged, likes: Likes = USUAL) -> Json:
    """One entry as a screen shows it, days and amounts as they are liked."""
    doubts = [likes.doubt(doubt) for doubt in logged.entry.doubts]
    return {
        "id": logged.id,
        "line": shown(logged.entry, likes),
        "said": logged.entry.said,
        "kind": logged.entry.kind,
        "wall": logged.wall,
        "doubts": [doubt.as_json() | {"question": asked(doubt)} for doubt in doubts],
        "conflicts": list(logged.conflicts),
        "withdrawn": logged.withdrawn,
        "attachments": [{"media": each.media, "role": each.role} for each in logged.attachments],
    }
