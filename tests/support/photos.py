"""Photos as phones make them, their Exif written byte by byte from the published tag numbers.

Nothing here uses the library under test to write what the test then asks it to read.
"""

import io
import struct

import numpy as np
from PIL import Image

LATITUDE_MARK = (47, 1, 23, 1, 3917, 100)  # 47° 23' 39.17": the place that must not come out
ASCII, SHORT, LONG, RATIONAL, UNDEFINED = 2, 3, 4, 5, 7
RED, GREEN, BLUE, WHITE = (200, 30, 30), (30, 200, 30), (30, 30, 200), (230, 230, 230)


def four_corners(width=64, height=48):
    """Red top left, green top right, blue bottom left, white bottom right: no two turns look alike."""
    pixels = np.zeros((height, width, 3), np.uint8)
    pixels[: height // 2, : width // 2], pixels[: height // 2, width // 2 :] = RED, GREEN
    pixels[height // 2 :, : width // 2], pixels[height // 2 :, width // 2 :] = BLUE, WHITE
    return pixels


def text(value):
    return ASCII, value.encode("ascii") + b"\0"


def short(value):
    return SHORT, value


def tiff(order, first, inner=None, place=None):
    """An Exif payload: the first directory, and those for the shot (0x8769) and the place (0x8825)."""
    sign = {"II": "<", "MM": ">"}[order]
    head = order.encode() + struct.pack(f"{sign}HI", 42, 8)
    tags = dict(first)
    pointers = [(0x8769, inner), (0x8825, place)]
    for tag, content in pointers:
        if content:
            tags[tag] = (LONG, 0)
    body = directory(sign, tags, 8)
    offsets = {}
    for tag, content in pointers:
        if content:
            offsets[tag] = 8 + len(body)
            body += directory(sign, content, offsets[tag])
    for tag, at in offsets.items():
        tags[tag] = (LONG, at)
    return b"Exif\0\0" + head + directory(sign, tags, 8) + body[len(directory(sign, tags, 8)) :]


def directory(sign, tags, at):
    """One TIFF directory that stands at offset `at`, its long values behind it."""
    rows, behind = b"", b""
    end = at + 2 + 12 * len(tags) + 4
    for tag, (kind, value) in sorted(tags.items()):
        if kind == SHORT:
            count, raw = 1, struct.pack(f"{sign}H", value)
        elif kind == LONG:
            count, raw = 1, struct.pack(f"{sign}I", value)
        elif kind == RATIONAL:
            count, raw = len(value) // 2, struct.pack(f"{sign}{len(value)}I", *value)
        else:
            count, raw = len(value), value
        if len(raw) > 4:
            raw, behind = struct.pack(f"{sign}I", end + len(behind)), behind + raw
        rows += struct.pack(f"{sign}HHI", tag, kind, count) + raw.ljust(4, b"\0")
    return struct.pack(f"{sign}H", len(tags)) + rows + struct.pack(f"{sign}I", 0) + behind


def place_tags():
    return {1: text("N"), 2: (RATIONAL, LATITUDE_MARK), 3: text("E"), 4: (RATIONAL, (8, 1, 32, 1, 3011, 100))}


def jpeg(pixels=None, segments=(), behind=b"", **how):
    """A JPEG with further segments put in behind its start, and bytes behind its end."""
    out = io.BytesIO()
    Image.fromarray(four_corners() if pixels is None else pixels).save(
        out, "JPEG", quality=95, subsampling=0, **how
    )
    plain = out.getvalue()
    extra = b"".join(
        bytes((0xFF, marker)) + struct.pack(">H", len(payload) + 2) + payload for marker, payload in segments
    )
    return plain[:2] + extra + plain[2:] + behind


def pixels_of(content):
    """The picture's pixels as they are stored, no turn applied."""
    with Image.open(io.BytesIO(content)) as image:
        return np.asarray(image.convert("RGB")).astype(int)


def alike(one, other, within=25):
    """Whether two pictures of the same size differ nowhere by more than lossy coding does."""
    inner = (slice(4, -4), slice(4, -4))
    one, other = np.asarray(one).astype(int), np.asarray(other).astype(int)
    return (
        one.shape == other.shape
        and np.median(np.abs(one - other)[inner]) <= within
        and corners_agree(one, other)
    )


def corners_agree(one, other, within=60):
    height, width, _ = one.shape
    spots = [
        (height // 4, width // 4),
        (height // 4, -width // 4),
        (-height // 4, width // 4),
        (-height // 4, -width // 4),
    ]
    return all(np.abs(one[spot] - other[spot]).max() <= within for spot in spots)
