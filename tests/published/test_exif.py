"""Photos against the published Exif tags: Orientation 0x0112, DateTimeOriginal 0x9003, OffsetTime 0x9010.

Values and names of the eight orientations: the Exif tag table of exiftool.org (seen), which follows
Exif 2.32 (CIPA DC-008), 4.6.4 and 4.6.5.
"""

import io

import numpy as np
import pytest
from PIL import Image
from support.photos import alike, four_corners, jpeg, pixels_of, place_tags, short, text, tiff

from plytally.web.photos import facts, small, without_place

APP1 = 0xE1


def turned_clockwise(pixels, quarters):
    return np.rot90(pixels, -quarters)


ORIENTATIONS = [
    pytest.param(1, lambda p: p, id="1 horizontal (normal)"),
    pytest.param(2, np.fliplr, id="2 mirror horizontal"),
    pytest.param(3, lambda p: turned_clockwise(p, 2), id="3 rotate 180"),
    pytest.param(4, np.flipud, id="4 mirror vertical"),
    pytest.param(5, lambda p: turned_clockwise(np.fliplr(p), 3), id="5 mirror horizontal and rotate 270 CW"),
    pytest.param(6, lambda p: turned_clockwise(p, 1), id="6 rotate 90 CW"),
    pytest.param(7, lambda p: turned_clockwise(np.fliplr(p), 1), id="7 mirror horizontal and rotate 90 CW"),
    pytest.param(8, lambda p: turned_clockwise(p, 3), id="8 rotate 270 CW"),
]


@pytest.mark.parametrize("order", ["II", "MM"])
@pytest.mark.parametrize(("orientation", "shown"), ORIENTATIONS)
def test_a_small_jpeg_is_upright(order, orientation, shown):
    photo = jpeg(segments=[(APP1, tiff(order, {0x0112: short(orientation)}))])
    expected = shown(four_corners())
    assert alike(pixels_of(small(photo, 64)), expected)
    found = facts(photo)
    assert (found.orientation, found.height, found.width) == (orientation, *expected.shape[:2])


@pytest.mark.parametrize(("orientation", "shown"), ORIENTATIONS)
def test_a_small_heic_is_upright(orientation, shown):
    out = io.BytesIO()
    Image.fromarray(four_corners()).save(
        out, "HEIF", quality=95, exif=tiff("II", {0x0112: short(orientation)})
    )
    expected = shown(four_corners())
    assert alike(pixels_of(small(out.getvalue(), 64)), expected)
    assert (facts(out.getvalue()).height, facts(out.getvalue()).width) == expected.shape[:2]


@pytest.mark.parametrize(("orientation", "shown"), ORIENTATIONS)
def test_a_jpeg_without_its_place_is_shown_the_same_way(orientation, shown):
    photo = jpeg(segments=[(APP1, tiff("MM", {0x0112: short(orientation)}, place=place_tags()))])
    served, kind = without_place(photo)
    assert kind == "image/jpeg"
    assert facts(served).orientation == orientation
    assert alike(pixels_of(small(served, 64)), shown(four_corners()))


@pytest.mark.parametrize(
    ("shot", "taken", "has_offset"),
    [
        pytest.param(
            {0x9003: text("2026:11:03 19:05:12"), 0x9011: text("+01:00")},
            "2026-11-03T19:05:12+01:00",
            True,
            id="OffsetTimeOriginal",
        ),
        pytest.param(
            {0x9003: text("2026:11:03 19:05:12"), 0x9010: text("-08:00")},
            "2026-11-03T19:05:12-08:00",
            True,
            id="OffsetTime alone",
        ),
        pytest.param(
            {0x9003: text("2026:11:03 19:05:12"), 0x9010: text("+02:00"), 0x9011: text("+01:00")},
            "2026-11-03T19:05:12+01:00",
            True,
            id="both, that of the shot counts",
        ),
        pytest.param({0x9003: text("2026:11:03 19:05:12")}, "2026-11-03T19:05:12", False, id="no offset"),
        pytest.param(
            {0x9003: text("2026:11:03 19:05:12"), 0x9011: text("   :  ")},
            "2026-11-03T19:05:12",
            False,
            id="offset unknown, in blanks",
        ),
        pytest.param({0x9003: text("    :  :     :  :  ")}, None, False, id="time unknown, in blanks"),
        pytest.param({0x9003: text("0000:00:00 00:00:00")}, None, False, id="time of zeros"),
        pytest.param(
            {0x9004: text("2026:11:03 19:05:12")}, None, False, id="time of digitizing is not the shot's"
        ),
    ],
)
def test_the_time_of_the_shot(shot, taken, has_offset):
    found = facts(jpeg(segments=[(APP1, tiff("II", {}, shot))]))
    assert (found.taken, found.taken_has_offset) == (taken, has_offset)


@pytest.mark.parametrize("orientation", [0, 9, 65535])
def test_an_orientation_outside_the_table_counts_as_normal(orientation):
    photo = jpeg(segments=[(APP1, tiff("II", {0x0112: short(orientation)}))])
    assert facts(photo).orientation == 1
    assert alike(pixels_of(small(photo, 64)), four_corners())
