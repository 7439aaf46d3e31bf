"""Photos on the record's pages: two in a row, each in a frame of its own, read only when it is drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reportlab.platypus import Flowable

from plytally.record.paper import PLAIN, printable

SmallPhoto = Callable[[str], bytes]
"""An upright JPEG of the photo at an address, without the place it was taken at; or PhotoMissing."""

HIGH, GAP, CAPTION = 165.0, 12.0, 11.0


class PhotoMissing(Exception):
    """A photo that is not here, or of which no picture can be made; the message says why in a few words."""


@dataclass(frozen=True)
class Shot:
    """A photo to print: its address, and what to say under it."""

    address: str
    caption: str


@dataclass(frozen=True)
class PhotoFiles:
    """Small photos as files of a folder for the time of one record.

    ReportLab puts a JPEG file into the PDF as it is; one in memory it opens to pixels, and keeps those.
    """

    small: SmallPhoto
    folder: Path

    def file(self, address: str) -> Path:
        """The photo's file, made when it is first asked for; PhotoMissing if there is none."""
        path = self.folder / f"{address}.jpg"
        if not path.exists():
            path.write_bytes(self.small(address))
        return path


class Photos(Flowable):  # type: ignore[misc]  # ReportLab has no types
    """One or two photos beside each other; without `files` only their room is taken, for counting pages."""

    def __init__(self, shots: Sequence[Shot], files: PhotoFiles | None) -> None:
        super().__init__()
        self.shots, self.files, self.width = shots, files, 0.0

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
            self.canv.drawString(x, 3, printable(shot.caption))
            if self.files is not None:
                _frame(self.canv, shot, self.files, x, CAPTION + 2, each)


def _frame(canvas: Any, shot: Shot, files: PhotoFiles, x: float, y: float, wide: float) -> None:
    try:
        file = files.file(shot.address)
    except PhotoMissing as problem:
        canvas.setDash([4, 3])
        canvas.rect(x, y, wide, HIGH)
        canvas.setFont(PLAIN, 8)
        canvas.drawCentredString(x + wide / 2, y + HIGH / 2, printable(str(problem)))
        return
    canvas.drawImage(str(file), x, y, wide, HIGH, preserveAspectRatio=True, anchor="nw")
