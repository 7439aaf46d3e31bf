"""What kind of sound or photo some bytes are, by how they begin."""

from __future__ import annotations

OTHER = "application/octet-stream"

_BEGINNINGS: tuple[tuple[int, bytes, str], ...] = (
    (0, b"\xff\xd8\xff", "image/jpeg"),
    (0, b"\x89PNG\r\n\x1a\n", "image/png"),
    (0, b"GIF8", "image/gif"),
    (0, b"II*\0", "image/tiff"),
    (0, b"MM\0*", "image/tiff"),
    (8, b"WEBP", "image/webp"),
    (8, b"WAVE", "audio/wav"),
    (0, b"OggS", "audio/ogg"),
    (0, b"fLaC", "audio/flac"),
    (0, b"\x1aE\xdf\xa3", "audio/webm"),
    (0, b"ID3", "audio/mpeg"),
    (0, b"\xff\xfb", "audio/mpeg"),
    (4, b"ftyphei", "image/heic"),
    (4, b"ftyphev", "image/heic"),
    (4, b"ftypmif1", "image/heif"),
    (4, b"ftypmsf1", "image/heif"),
    (4, b"ftypavif", "image/avif"),
    (4, b"ftyp", "audio/mp4"),
)


def type_of(content: bytes) -> str:
    """The media type; `application/octet-stream` for what is none of ours."""
    for at, beginning, kind in _BEGINNINGS:
        if content[at : at + len(beginning)] == beginning:
            return kind
    return OTHER
