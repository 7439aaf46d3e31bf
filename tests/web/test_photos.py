"""Photos on their way out: small ones, and ones that do not tell the place."""

import hashlib
import io
import struct
import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin
from support.photos import (
    LATITUDE_MARK,
    UNDEFINED,
    four_corners,
    jpeg,
    pixels_of,
    place_tags,
    short,
    text,
    tiff,
)

from plytally.web.jpeg import JpegError, rewritten, segments
from plytally.web.photos import PhotoError, facts, small, without_place

pytestmark = pytest.mark.filterwarnings("ignore::UserWarning:PIL")  # what Pillow says of damaged photos
APP1, APP2, COM = 0xE1, 0xE2, 0xFE
MAKER = b"maker's secret serial 4711"
XMP = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta><exif:GPSLatitude>47,23.65N</exif:GPSLatitude></x:xmpmeta>"
MOTION = b"\0\0\0\x18ftypmp42 a film with its own location"
EXIF = tiff(
    "II",
    {0x0112: short(6), 0x010F: text("A Maker"), 0x0110: text("Model 7")},
    {
        0x9003: text("2026:11:03 19:05:12"),
        0x9011: text("+01:00"),
        0x927C: (UNDEFINED, MAKER),
        0xA431: text("4711"),
    },
    place_tags(),
)
TELLTALE = jpeg(
    segments=[(APP1, EXIF), (APP1, XMP), (APP2, b"MPF\0" + b"x" * 20), (COM, b"at the field, hangar 3")],
    behind=MOTION,
)
LATITUDE = struct.pack("<6I", *LATITUDE_MARK)


def saved(kind, **how):
    out = io.BytesIO()
    Image.fromarray(four_corners()).save(out, kind, **how)
    return out.getvalue()


def test_the_telltale_photo_does_tell_its_place():
    assert facts(TELLTALE).has_place
    assert all(mark in TELLTALE for mark in (LATITUDE, b"GPSLatitude", MAKER, b"hangar 3", MOTION))


@pytest.mark.parametrize(
    "mark", [LATITUDE, b"GPSLatitude", b"xmpmeta", MAKER, b"A Maker", b"4711", b"hangar", MOTION]
)
def test_a_served_jpeg_tells_nothing_of_place_or_camera(mark):
    served, _ = without_place(TELLTALE)
    assert mark not in served
    assert not facts(served).has_place


def test_a_served_jpeg_keeps_time_offset_and_orientation():
    served, _ = without_place(TELLTALE)
    found = facts(served)
    assert (found.taken, found.orientation) == ("2026-11-03T19:05:12+01:00", 6)


def test_a_served_jpeg_is_the_same_picture_bit_by_bit():
    served, _ = without_place(TELLTALE)
    assert np.array_equal(pixels_of(served), pixels_of(TELLTALE))
    coded = [piece for marker, piece in segments(TELLTALE) if not 0xE0 <= marker <= 0xEF and marker != COM]
    assert coded == [piece for marker, piece in segments(served) if not 0xE0 <= marker <= 0xEF]


def test_a_colour_profile_stays():
    profile = b"ICC_PROFILE\0\x01\x01" + b"p" * 200
    served, _ = without_place(jpeg(segments=[(APP2, profile)]))
    assert profile in served


@pytest.mark.parametrize("how", [{"progressive": True}, {"restart_marker_rows": 1}, {"optimize": True}])
def test_jpegs_of_every_build_come_through(how):
    photo = jpeg(segments=[(APP1, EXIF)], **how)
    served, _ = without_place(photo)
    assert np.array_equal(pixels_of(served), pixels_of(photo))
    assert LATITUDE not in served


def test_a_photo_that_tells_nothing_stays_as_it_is_in_its_picture():
    photo = jpeg()
    served, _ = without_place(photo)
    assert np.array_equal(pixels_of(served), pixels_of(photo))
    assert b"Exif" not in served


def test_a_served_heic_is_an_upright_jpeg_without_place_and_with_its_time():
    served, kind = without_place(saved("HEIF", exif=EXIF, quality=95))
    assert kind == "image/jpeg"
    assert LATITUDE not in served
    found = facts(served)
    assert (found.orientation, found.width, found.height) == (1, 48, 64)
    assert (found.taken, found.has_place) == ("2026-11-03T19:05:12+01:00", False)


def test_a_served_png_is_the_same_pixels_without_its_texts():
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", "at the field, hangar 3")
    served, kind = without_place(saved("PNG", pnginfo=notes, exif=EXIF))
    assert kind == "image/png"
    assert b"hangar" not in served
    assert LATITUDE not in served
    assert np.array_equal(np.rot90(pixels_of(served), 1), four_corners())


@pytest.mark.parametrize("kind", ["WEBP", "TIFF", "GIF"])
def test_other_kinds_are_drawn_anew_as_jpeg(kind):
    served, mime = without_place(saved(kind))
    assert mime == "image/jpeg"
    assert pixels_of(served).shape == (48, 64, 3)


def test_a_clear_picture_is_shown_on_white():
    clear = io.BytesIO()
    Image.new("RGBA", (40, 40), (255, 0, 0, 0)).save(clear, "PNG")
    assert pixels_of(small(clear.getvalue(), 32)).min() >= 250


@pytest.mark.parametrize("side", [32, 100, 2048])
def test_a_small_photo_fits_and_is_never_made_larger(side):
    made = pixels_of(small(jpeg(np.zeros((600, 900, 3), np.uint8)), side))
    assert max(made.shape) == min(side, 900)


def test_a_small_photo_says_nothing_beside_the_picture():
    assert b"Exif" not in small(TELLTALE, 64)
    assert LATITUDE not in small(TELLTALE, 64)


@pytest.mark.parametrize("side", [0, 31, 2049])
def test_a_size_outside_its_bounds_is_refused(side):
    with pytest.raises(PhotoError, match="32 to 2048"):
        small(jpeg(), side)


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b"not a photo", id="text"),
        pytest.param(jpeg()[:200], id="cut in the head"),
        pytest.param(jpeg()[:-200], id="cut in the picture"),
        pytest.param(b"\xff\xd8\xff\xd9", id="nothing but start and end"),
        pytest.param(saved("PNG")[:100], id="png cut short"),
        pytest.param(saved("HEIF")[:300], id="heic cut short"),
    ],
)
def test_what_is_no_whole_photo_is_told(content):
    with pytest.raises(PhotoError):
        small(content, 64)
    with pytest.raises(PhotoError):
        without_place(content)


def test_a_photo_of_too_many_pixels_is_not_opened():
    header = saved("PNG")
    at = header.index(b"IHDR") + 4
    huge = header[:at] + struct.pack(">II", 60_000, 60_000) + header[at + 8 :]
    huge = huge[: at + 13] + struct.pack(">I", zlib.crc32(huge[at - 4 : at + 13])) + huge[at + 17 :]
    with pytest.raises(PhotoError, match="too many"):
        small(huge, 64)


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=300))
def test_no_bytes_make_the_jpeg_reader_fail_otherwise_than_by_its_own_error(content):
    for start in (b"", b"\xff\xd8"):
        try:
            rewritten(start + content, b"")
        except JpegError:
            continue


@pytest.mark.parametrize("marker", range(256))
def test_a_segment_that_lies_about_its_kind_never_lets_the_place_out(marker):
    lying = TELLTALE[:3] + bytes((marker,)) + TELLTALE[4:]
    try:
        served, _ = without_place(lying)
    except PhotoError:
        return
    assert LATITUDE not in served


@settings(max_examples=80, deadline=None)
@given(st.integers(2, len(TELLTALE) - 1), st.integers(0, 255))
def test_a_damaged_photo_never_lets_its_place_out(at, value):
    """One byte changed anywhere: either it is refused, or what is served still tells no place."""
    damaged = TELLTALE[:at] + bytes((value,)) + TELLTALE[at + 1 :]
    try:
        served, _ = without_place(damaged)
    except PhotoError:
        return
    assert LATITUDE not in served
    assert b"GPSLatitude" not in served
    assert MOTION not in served


def test_the_original_keeps_its_hash_and_what_is_served_follows_the_setting(shop):
    phone, desk = shop.phone(), shop.desk()
    address = shop.log.media.keep(TELLTALE)
    path = f"/api/media/{address}"
    assert LATITUDE not in phone.ask("GET", path).data
    desk.ask("PATCH", "/api/desk/settings", json={"photo_places": True})
    assert phone.ask("GET", path).data == TELLTALE
    assert hashlib.sha256(shop.log.media.read(address)).hexdigest() == address
