"""Photos that somebody at the desk puts to an entry, or notes an entry with: plans as in `acts`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plytally.core.desk.acts import Act, Asker, note
from plytally.core.entry import Entry
from plytally.core.history import Logged

PHOTO = "photo"


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo that is kept already: its address, media type, size in bytes, and the name of its file."""

    media: str
    mime: str
    size: int
    name: str


def attach(asker: Asker, logged: Logged, photos: Sequence[Photo]) -> list[Act]:
    """Put photos to an entry; those that it has already are passed over."""
    have = {each.media for each in logged.attachments if each.role == PHOTO}
    return list(_attached(asker, logged.id, [photo for photo in photos if photo.media not in have]))


def note_photos(asker: Asker, meant: Entry, photos: Sequence[Photo], wall: str = "") -> list[Act]:
    """A new entry with its photos; `wall` is when the work was, now if empty."""
    acts = note(asker, meant, wall)
    return [*acts, *_attached(asker, acts[0].id, photos)]


def _attached(asker: Asker, entry_id: str, photos: Sequence[Photo]) -> Iterator[Act]:
    for photo in {each.media: each for each in photos}.values():
        body = {
            "media": photo.media,
            "mime": photo.mime,
            "size": photo.size,
            "role": PHOTO,
            "name": photo.name,
            "author": asker.author,
        }
        yield Act(asker.id(entry_id, photo.media), "attach", entry_id, body)
