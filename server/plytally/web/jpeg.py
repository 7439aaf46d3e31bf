"""A JPEG without what its camera wrote about itself and the place; the picture's own bytes stay as they are.

A JPEG (ITU-T T.81, annex B) is a row of segments. Kept are those that make the picture, the colour
profile, and a fresh Exif segment with orientation and time. Left out: GPS, maker's notes, serial numbers,
XMP, comments, the embedded thumbnail, and whatever stands behind the picture's end.
"""

from __future__ import annotations

from collections.abc import Iterator

EOI, SOS = 0xD9, 0xDA
APP0, APP1, APP2, APP14 = 0xE0, 0xE1, 0xE2, 0xEE
_PICTURE = frozenset({*range(0xC0, 0xD0), SOS, 0xDB, 0xDD})
"""Frames, Huffman and arithmetic tables, scans, quantization tables, restart interval."""
_STANDALONE = frozenset({0x01, *range(0xD0, 0xD8)})
_KEPT_APPS = ((APP0, b"JFIF\0"), (APP2, b"ICC_PROFILE\0"), (APP14, b"Adobe"))
MAX_SEGMENT = 0xFFFF - 2


class JpegError(ValueError):
    """Bytes that are not a whole JPEG; the message says where they end to be one."""


def rewritten(content: bytes, exif: bytes) -> bytes:
    """The JPEG with `exif`, a whole Exif payload or nothing, as all that it says beside the picture.

    JpegError if `content` is cut short or no JPEG.
    """
    head = b"\xff\xd8" + (_segment(APP1, exif) if exif else b"")
    return head + b"".join(piece for marker, piece in segments(content) if _kept(marker, piece)) + b"\xff\xd9"


def segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Each segment within the image: its marker, and its bytes with the coded data behind it.

    JpegError where it is no JPEG, or is cut or damaged.
    """
    if content[:2] != b"\xff\xd8":
        raise JpegError("it does not begin as a JPEG does")
    at = 2
    while True:
        at, marker = _marker(content, at)
        if marker == EOI:
            return
        end = at if marker in _STANDALONE else at + _length(content, at)
        if marker == SOS:
            end = _end_of_scan(content, end)
        yield marker, content[at - 2 : end]
        at = end


def _marker(content: bytes, at: int) -> tuple[int, int]:
    """The next marker's code, and where its segment goes on behind it; fill bytes (0xFF) are skipped."""
    if content[at : at + 1] != b"\xff":
        raise JpegError(f"at byte {at} no segment begins: it is cut short or damaged")
    while content[at : at + 1] == b"\xff":
        at += 1
    if at >= len(content):
        raise JpegError("it ends before the end of the image")
    return at + 1, content[at]


def _length(content: bytes, at: int) -> int:
    length = int.from_bytes(content[at : at + 2], "big")
    if length < 2 or at + length > len(content):
        raise JpegError(f"the segment at byte {at} is cut short")
    return length


def _end_of_scan(content: bytes, at: int) -> int:
    """Where coded data ends: at a marker that is neither a stuffed byte nor a restart."""
    while True:
        at = content.find(b"\xff", at)
        if at < 0 or at + 1 >= len(content):
            raise JpegError("the picture's data is cut short")
        if content[at + 1] != 0 and not 0xD0 <= content[at + 1] <= 0xD7:
            return at
        at += 2


def _kept(marker: int, piece: bytes) -> bool:
    kept_app = any(marker == app and piece[4 : 4 + len(name)] == name for app, name in _KEPT_APPS)
    return kept_app or marker in _PICTURE


def _segment(marker: int, payload: bytes) -> bytes:
    if len(payload) > MAX_SEGMENT:
        raise JpegError(f"a segment holds at most {MAX_SEGMENT} bytes")
    return bytes((0xFF, marker)) + (len(payload) + 2).to_bytes(2, "big") + payload
