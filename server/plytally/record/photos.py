"""Photos on the record's pages: two in a row, each in a frame of its own, read only when it is drawn."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.platypus import Flowable, Spacer

from plytally.core.history import Attachment
from plytally.core.likes import Likes
from plytally.record.paper import PLAIN, printable, words

SmallPhoto = Callable[[str], bytes]
"""An upright JPEG of the photo at an address, without the place it was taken at; or PhotoMissing."""

PHOTO = "photo"
"""The role of a photo among what belongs to an entry."""

HIGH, GAP, CAPTION = 165.0, 12.0, 19.0


class PhotoMissing(Exception):
    """A photo that is not here, or of which no picture can be made; the message says why in a few words."""


@dataclass(frozen=True)
class Shot:
    """A photo to print: its address, and what to say under it."""

    address: str
    caption: str


def attached(attachments: Sequence[Attachment], small: SmallPhoto | None, likes: Likes) -> Iterator[Flowable]:
    """What belongs to an entry: a line for each sound, and its photos two in a row."""
    for each in attachments:
        if each.role != PHOTO:
            size = f"{each.mime}, {each.size} bytes"
            yield words(f"{each.role}: {size}, SHA-256 {each.media}", "small")
    shots = [
        Shot(each.media, f"photo of {likes.moment(each.wall)}, SHA-256")
        for each in attachments
        if each.role == PHOTO
    ]
    if shots:
        yield Spacer(1, 4)
    for first in range(0, len(shots), 2):
        yield Photos(shots[first : first + 2], small)


class _Jpeg:
    """A JPEG as ReportLab takes it without opening it to pixels: its address and its bytes as they are."""

    def __init__(self, address: str, content: bytes) -> None:
        self.address, self.content = address, content

    def __str__(self) -> str:
        return self.address

    def jpeg_fh(self) -> io.BytesIO:
        """The bytes, for the PDF."""
        return io.BytesIO(self.content)


class Photos(Flowable):  # type: ignore[misc]  # ReportLab has no types
    """One or two photos beside each other; without `small` only their room is taken, for counting pages."""

    def __init__(self, shots: Sequence[Shot], small: SmallPhoto | None) -> None:
        super().__init__()
        self.shots, self.small, self.width = shots, small, 0.0

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """How much room they take, whatever the photos' own sizes."""
        self.width = width
        return width, HIGH + CAPTION + GAP

    def draw(self) -> None:
        """Put them on the page."""
        each = (self.width - GAP - 14) / 2
        for number, shot in enumerate(self.shots):
            x = 14 + number * (each + GAP)
            self.canv.setFont(PLAIN, 7)
            self.canv.drawString(x, 11, printable(shot.caption))
            self.canv.setFont(PLAIN, 6)
            self.canv.drawString(x, 3, shot.address)
            if self.small is not None:
                _frame(self.canv, shot, self.small, x, CAPTION + 2, each)


def _frame(canvas: Any, shot: Shot, small: SmallPhoto, x: float, y: float, wide: float) -> None:
    try:
        jpeg = _Jpeg(shot.address, small(shot.address))
    except PhotoMissing as problem:
        canvas.setDash([4, 3])
        canvas.rect(x, y, wide, HIGH)
        canvas.setFont(PLAIN, 8)
        canvas.drawCentredString(x + wide / 2, y + HIGH / 2, printable(str(problem)))
        return
    canvas.drawImage(jpeg, x, y, wide, HIGH, preserveAspectRatio=True, anchor="nw")
