"""Photos: several in a row, each whole, upright on the screen, with the camera's own time and turn."""

import io

from PIL import Image
from support import phone_tables

TAKEN, DATE_TIME, ORIENTATION = "2026:11:03 19:05:12", 306, 274
TURNED = 6  # EXIF 2.32, 4.6.5: row 0 is at the right, column 0 at the top


def as_from_a_camera(seed, turned=TURNED):
    """A JPEG that lies on its side, as phones write them, with the turn and the time beside it."""
    picture = Image.new("RGB", (640, 360), (200, seed, 40))
    told = picture.getexif()
    told[ORIENTATION], told[DATE_TIME] = turned, TAKEN
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=told, quality=95)
    return out.getvalue()


def test_three_photos_in_a_row_belong_to_the_entry_before_and_arrive_as_the_camera_wrote_them(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    phone.until_it_understands()
    phone.write("clamped the bracket on the right tailplane rear spar at hinge two")
    phone.until_operations(1)
    contents = [as_from_a_camera(seed) for seed in (1, 2, 3)]
    phone.take_photos(*contents)
    phone.until_operations(4)
    phone.until_all_there()

    (entry,) = shop.log.state.order
    assert [each.media for each in entry.attachments] == [shop.address(each) for each in contents]
    for each in entry.attachments:
        told = Image.open(io.BytesIO(shop.log.media.read(each.media))).getexif()
        assert (told[ORIENTATION], told[DATE_TIME]) == (TURNED, TAKEN)


def test_a_photo_that_lies_on_its_side_stands_upright_on_the_screen(shop, phones):
    phone = phones(shop.url)
    phone.take_photos(as_from_a_camera(4))
    phone.until("document.querySelector('.tool img')?.naturalHeight > 0")
    wide, high = phone.ask(
        "(({ naturalWidth: w, naturalHeight: h }) => [w, h])(document.querySelector('.tool img'))"
    )
    assert (wide, high) == (180, 320)
    assert phone.ask(phone_tables.HASHES) == [shop.address(as_from_a_camera(4))]
