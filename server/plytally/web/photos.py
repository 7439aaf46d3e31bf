"""Photos: what they say about their time and orientation, small ones for lists, and ones without a place.

The original bytes are never changed: their SHA-256 is their address. What is handed out is another matter:
without the builder's word for it, no photo leaves with the place it was taken at (Exif GPS, XMP, maker's
notes). A JPEG's picture is passed on bit by bit; other kinds are drawn anew.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from typing import Any

import pillow_heif
from PIL import Image, ImageOps

from plytally.core.wall import WallError, read_wall
from plytally.web.jpeg import JpegError, rewritten

pillow_heif.register_heif_opener()
Image.MAX_IMAGE_PIXELS = None  # our own limit below, told as an error that says what to do

MAX_PIXELS = 200_000_000
SMALLEST, LARGEST = 32, 2048
ORIENTATION, EXIF_IFD, GPS_IFD = 0x0112, 0x8769, 0x8825
ORIGINAL, CHANGED = 0x9003, 0x0132
OFFSET, OFFSET_ORIGINAL, FRACTION_ORIGINAL = 0x9010, 0x9011, 0x9291
_JPEGS = ("JPEG", "MPO")  # an MPO is a JPEG with further pictures behind its end
_EXIF_TIME = re.compile(r"(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)")
_EXIF_OFFSET = re.compile(r"[+-]\d\d:\d\d")
_KEPT_IN_EXIF = {
    ORIGINAL: _EXIF_TIME,
    OFFSET: _EXIF_OFFSET,
    OFFSET_ORIGINAL: _EXIF_OFFSET,
    FRACTION_ORIGINAL: re.compile(r"\d{1,9}"),
}
"""What of the shot is handed on, and what it must look like: a damaged length may reach into the place."""


class PhotoError(ValueError):
    """Bytes of which no picture can be made; the message says why."""


@dataclass(frozen=True)
class PhotoFacts:
    """What a photo says of itself, as its camera wrote it.

    Width and height as shown, `orientation` 1 to 8 (Exif 0x0112). `taken` is RFC 3339 if the camera gave
    its offset from UTC, else the same without an offset: then only the attaching operation's own time
    says when it was. `has_place` tells that the original holds GPS data.
    """

    kind: str
    width: int
    height: int
    orientation: int
    taken: str | None
    taken_has_offset: bool
    has_place: bool

    def as_json(self) -> dict[str, Any]:
        """The facts as plain JSON values."""
        return asdict(self)


def facts(content: bytes) -> PhotoFacts:
    """What the photo says of itself; PhotoError if it is none."""
    with _opened(content) as image:
        exif = image.getexif()
        orientation = _orientation(exif)
        turned = orientation >= 5
        taken = _taken(exif)
        return PhotoFacts(
            kind=image.format or "",
            width=image.height if turned else image.width,
            height=image.width if turned else image.height,
            orientation=orientation,
            taken=taken,
            taken_has_offset=taken is not None and _has_offset(taken),
            has_place=bool(exif.get_ifd(GPS_IFD)),
        )


def small(content: bytes, side: int) -> bytes:
    """A JPEG of at most `side` pixels each way (32 to 2048), upright, that says nothing but the picture.

    PhotoError for another size, and for what is no photo that can be shown.
    """
    if not SMALLEST <= side <= LARGEST:
        raise PhotoError(f"a small photo is {SMALLEST} to {LARGEST} pixels wide, not {side}")
    with _opened(content) as image:
        image.draft("RGB", (side * 2, side * 2))
        upright = ImageOps.exif_transpose(image)
        upright.thumbnail((side, side))
        return _saved(_flat(upright), "JPEG", quality=80)


def without_place(content: bytes) -> tuple[bytes, str]:
    """The photo with orientation and time but without anything else beside the picture; and its media type.

    A JPEG stays the same picture bit by bit; others are drawn anew, as PNG where they were PNG, else as JPEG.
    """
    with _opened(content) as image:
        if image.format in _JPEGS:
            return _same_picture(rewritten(content, _plain_exif(image)), image), "image/jpeg"
        upright = ImageOps.exif_transpose(image)
        if image.format == "PNG":
            return _saved(_bare(upright), "PNG"), "image/png"
        return _saved(_flat(upright), "JPEG", quality=92, exif=_plain_exif(image, upright=True)), "image/jpeg"


@contextmanager
def _opened(content: bytes) -> Iterator[Image.Image]:
    """The image, if it can be opened and is of a sane size; what fails inside is a PhotoError too."""
    try:
        with Image.open(io.BytesIO(content)) as image:
            if image.width * image.height > MAX_PIXELS:
                raise PhotoError(
                    f"{image.width} × {image.height} pixels are too many, the limit is {MAX_PIXELS}"
                )
            yield image
    except JpegError as problem:
        raise PhotoError(f"the JPEG is damaged: {problem}") from problem
    except (OSError, ValueError, SyntaxError, EOFError, IndexError, KeyError, TypeError) as problem:
        if isinstance(problem, PhotoError):
            raise
        raise PhotoError(f"no picture can be made of it: {problem}") from problem


def _orientation(exif: Image.Exif) -> int:
    found = exif.get(ORIENTATION, 1)
    return found if isinstance(found, int) and 1 <= found <= 8 else 1


def _taken(exif: Image.Exif) -> str | None:
    """The time of the shot, with its offset if the camera wrote one and it is sound."""
    inner = exif.get_ifd(EXIF_IFD)
    time = _EXIF_TIME.fullmatch(_text(inner.get(ORIGINAL, "")))
    if time is None:
        return None
    local = f"{time[1]}-{time[2]}-{time[3]}T{time[4]}"
    offset = _text(inner.get(OFFSET_ORIGINAL) or inner.get(OFFSET) or "")
    full = local + (offset if _EXIF_OFFSET.fullmatch(offset) else "")
    return full if _has_offset(full) else local if _has_offset(f"{local}Z") else None


def _text(value: object) -> str:
    """A text of Exif without the blanks and zeros that fill it."""
    return str(value).strip("\0 ")


def _has_offset(text: str) -> bool:
    try:
        return read_wall(text) is not None
    except WallError:
        return False


def _plain_exif(image: Image.Image, *, upright: bool = False) -> bytes:
    """A fresh Exif payload with orientation and time, nothing of the camera's own; empty for neither."""
    found, fresh = image.getexif(), Image.Exif()
    inner_ifd = found.get_ifd(EXIF_IFD)
    shot = {tag: _text(value) for tag, value in inner_ifd.items() if tag in _KEPT_IN_EXIF}
    inner = {tag: shot[tag] for tag, form in _KEPT_IN_EXIF.items() if form.fullmatch(shot.get(tag, ""))}
    if _orientation(found) != 1 and not upright:
        fresh[ORIENTATION] = _orientation(found)
    if inner:
        fresh.get_ifd(EXIF_IFD).update(inner)
    if not inner and ORIENTATION not in fresh:
        return b""
    plain = fresh.tobytes()
    return plain if plain.startswith(b"Exif\0\0") else b"Exif\0\0" + plain


def _same_picture(served: bytes, original: Image.Image) -> bytes:
    """What will be served, looked at once more as a reader will see it: no damage may carry the place out."""
    with Image.open(io.BytesIO(served)) as image:
        image.load()
        if image.size != original.size or image.getexif().get_ifd(GPS_IFD):
            raise JpegError("its segments are not what they say")
    return served


def _bare(image: Image.Image) -> Image.Image:
    """The same pixels in a new image, so that nothing said beside them can come along."""
    bare = Image.new(image.mode, image.size)
    if image.palette is not None:
        bare.putpalette(image.palette)
    bare.paste(image)
    return bare


def _flat(image: Image.Image) -> Image.Image:
    """As RGB, what is clear shown on white."""
    if image.mode in {"RGBA", "LA", "PA"} or "transparency" in image.info:
        clear = image.convert("RGBA")
        white = Image.new("RGB", image.size, "white")
        white.paste(clear, mask=clear.getchannel("A"))
        return white
    return _bare(image.convert("RGB"))


def _saved(image: Image.Image, kind: str, **how: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **how)
    return out.getvalue()
