"""Photos for the record's pages: small, upright, without the place they were taken at."""

from __future__ import annotations

from plytally.record.photos import PhotoMissing, SmallPhoto
from plytally.store.errors import MediaDamaged, MediaMissing
from plytally.store.media import MediaFolder
from plytally.web.photos import PhotoError, small

SIDE = 900


def small_photos(media: MediaFolder) -> SmallPhoto:
    """What gives the record its photos out of this folder."""

    def made(address: str) -> bytes:
        try:
            return small(media.read(address), SIDE)
        except MediaMissing as problem:
            raise PhotoMissing("not here; a phone may still have it") from problem
        except (PhotoError, MediaDamaged) as problem:
            raise PhotoMissing("no picture can be made of this file") from problem

    return made
