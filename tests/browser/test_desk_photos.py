"""Photos at the desk: picked or dropped, to an entry or as one of their own, their bytes untouched."""

import base64

import pytest
from support.browser_desk import SMALL, WIDE
from support.desk_days import DAY
from support.photos import four_corners, jpeg, text, tiff

SIZES = pytest.mark.parametrize("size", [WIDE, SMALL], ids=["desk", "phone"])
HOSTILE = "<img src=x onerror=window.hit=1>.jpg"
TAKEN = "2026:03:21 13:15:40"


@pytest.fixture
def shop(day_shop):
    return day_shop


def picked(content, name="rib.jpg"):
    return {"name": name, "mimeType": "image/jpeg", "buffer": content}


def dropped(page, content, name, kind="image/jpeg"):
    """A file let go over the page, as a person does it with the mouse."""
    page.evaluate(
        """([text, name, kind]) => {
          const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
          const held = new DataTransfer();
          held.items.add(new File([bytes], name, { type: kind }));
          for (const step of ["dragenter", "dragover", "drop"])
            document.body.dispatchEvent(
              new DragEvent(step, { bubbles: true, cancelable: true, dataTransfer: held }));
        }""",
        [base64.b64encode(content).decode(), name, kind],
    )


def chooser(desk):
    """The picker that the key opens; the browser needs a moment until it hands one to a test."""
    came = []
    desk.page.on("filechooser", lambda picker: came.append(picker))
    while not came:
        desk.press("p")
        desk.page.wait_for_timeout(200)
    return came[0]


def told(desk, text):
    desk.page.locator(".told", has_text=text).wait_for()


@SIZES
def test_a_photo_is_picked_with_the_keyboard_and_shown(shop, desks, size):
    content = jpeg()
    desk = desks(shop, size=size).sign_in()
    desk.page.locator(".entry", has_text="flox").click()
    desk.page.locator(".detail", has_text="flox").wait_for()
    chooser(desk).set_files([picked(content), picked(jpeg(four_corners(80, 60)), "other.jpg")])
    told(desk, "2 photos are added.")
    thumbs = desk.page.locator(".detail .photos img")
    thumbs.first.wait_for()
    assert thumbs.count() == 2
    shop.until(
        lambda: desk.page.evaluate(
            "[...document.querySelectorAll('.photos img')].every((i) => i.naturalWidth)"
        )
    )
    assert shop.address(content) in shop.media()
    assert shop.log.media.read(shop.address(content)) == content
    assert (desk.findings(), desk.overflows(), desk.wrong) == ([], False, [])


def test_a_photo_that_is_dropped_goes_to_the_entry_that_is_open(shop, desks):
    desk = desks(shop).sign_in()
    desk.page.locator(".entry", has_text="flox").click()
    desk.page.locator(".detail", has_text="flox").wait_for()
    dropped(desk.page, jpeg(), HOSTILE)
    told(desk, "The photo is added.")
    assert "onerror" in desk.page.locator(".detail .photos").inner_text()
    dropped(desk.page, b"%PDF-1.7", "print.pdf", "application/pdf")
    told(desk, "“print.pdf” is no photo")
    assert desk.page.evaluate("window.hit") is None
    assert desk.wrong == []


@SIZES
def test_a_photo_makes_an_entry_of_its_own_at_the_time_that_the_camera_wrote(shop, desks, size):
    desk = desks(shop, size=size).sign_in()
    desk.page.locator(".strips").wait_for()
    desk.press("+")
    desk.page.get_by_role("form", name="An entry that was not noted").wait_for()
    desk.page.get_by_label("Photos of it").set_input_files(
        [picked(jpeg(segments=[(0xE1, tiff("II", {}, {0x9003: text(TAKEN)}))]), "post.jpg")]
    )
    desk.page.locator(".asksheet .photos img").wait_for()
    when = desk.page.get_by_label("When, by that day's clocks")
    shop.until(lambda: when.input_value() == f"{DAY}T13:15")
    assert (desk.findings(), desk.overflows()) == ([], False)
    desk.page.get_by_role("button", name="Note it").click()
    told(desk, "Noted, at that time.")
    (made,) = [each for each in shop.log.state.order if each.wall[:16] == f"{DAY}T13:15"]
    assert (made.entry.kind, [each.name for each in made.attachments]) == ("photo", ["post.jpg"])


def test_an_upload_that_is_cut_is_told_and_nothing_is_noted(shop, desks):
    desk = desks(shop).sign_in()
    desk.page.locator(".entry", has_text="flox").click()
    desk.page.locator(".detail", has_text="flox").wait_for()
    head = shop.log.journal.head
    desk.page.route("**/api/uploads**", lambda route: route.abort())
    dropped(desk.page, jpeg(), "gap.jpg")
    told(desk, "“gap.jpg” did not arrive")
    assert shop.log.journal.head == head
