"""An entry by large buttons, in gloves: all without scrolling, and a note that was not heard told anew."""

import contextlib

import pytest
from playwright.sync_api import Error
from support import patience
from support.saying import said_until

ELSE = "yesterday my neighbour came over and we talked about the weather"
GLOVE = 75.6  # CSS pixels in 20 mm: 96 to the inch


def choose(phone, label):
    """Touch a choice; on another page of choices, if need be."""
    here = phone.page.locator(".choices")
    button, others = (
        here.get_by_role("button", name=label, exact=True),
        here.get_by_role("button", name="Others"),
    )

    def there():
        if not button.count() and others.count():
            with contextlib.suppress(Error):  # it goes when the next question comes
                others.click(timeout=3000)
        return button.count()

    patience.until(there, lambda: f"{label} among {here.all_inner_texts()}")
    button.click()


def on_the_pad(phone, number, unit):
    for key in number:
        phone.page.locator(".pad").get_by_role("button", name=key, exact=True).click()
    phone.page.locator(".pad").get_by_role("button", name=unit, exact=True).click()


def fits(phone, height):
    """Nothing is smaller than a glove, and nothing lies outside the screen."""
    for button in phone.page.locator(".building button").all():
        box = button.bounding_box()
        assert min(box["width"], box["height"]) >= GLOVE, button.inner_text()
        assert box["y"] + box["height"] <= height, button.inner_text()


def begin(phone):
    phone.until_it_understands()
    phone.page.get_by_role("button", name="Write", exact=True).click()
    phone.page.get_by_role("button", name="By touch").click()
    phone.page.get_by_text("What was done?").wait_for()


@pytest.mark.parametrize(("width", "height"), [(360, 640), (390, 844)])
def test_a_layup_is_built_by_touch_and_every_button_fits_a_glove(shop, phones, width, height):
    phone = phones(shop.url, size={"width": width, "height": height})
    phone.pair(shop.code())
    phone.until("document.querySelector('.beside').textContent.includes('print revision')")
    begin(phone)
    fits(phone, height)
    choose(phone, "laid")
    phone.page.get_by_text("Which part?").wait_for()
    fits(phone, height)
    choose(phone, "elevator spar")
    choose(phone, "right")
    choose(phone, "aft")
    for question in ("Where on it?", "At which station?"):
        phone.page.get_by_text(question).wait_for()
        phone.page.get_by_role("button", name="Leave out").click()
    phone.page.get_by_text("How many plies?").wait_for()
    fits(phone, height)
    on_the_pad(phone, "2", "That many")
    choose(phone, "BID")
    phone.page.get_by_text("laid 2 ply bid on the right elevator spar aft face").wait_for()
    phone.page.get_by_role("button", name="Keep", exact=True).click()
    phone.until_operations(1)
    (row,) = phone.kept("operations")
    fields = row["operation"]["body"]["entry"]["fields"]
    assert fields == {"part": "elevator spar", "side": "right", "face": "aft", "plies": 2, "material": "BID"}


def test_a_note_that_was_not_understood_is_told_by_touch_and_keeps_its_sound(shop, phones, tmp_path):
    phone = phones(shop.url, says=ELSE)
    phone.pair(shop.code())
    (note, _) = said_until(phone, ELSE, tmp_path, lambda _: "not understood" in phone.said.inner_text())
    phone.page.get_by_role("button", name="Tell it by touch").click()
    choose(phone, "resin mixed")
    on_the_pad(phone, "80", "grams")
    phone.page.get_by_text("Which resin?").wait_for()
    phone.page.get_by_role("button", name="Back").click()
    phone.page.get_by_text("How much?").wait_for()
    on_the_pad(phone, "85", "grams")
    phone.page.get_by_role("button", name="Keep", exact=True).click()
    phone.said.get_by_text("resin mixed: 85 g").wait_for()
    phone.until_all_there()
    (entry,) = [each for each in shop.log.state.order if each.id == note["id"]]
    assert (entry.entry.kind, str(entry.entry.fields["mass"].amount), entry.entry.doubts) == (
        "mixed",
        "85",
        (),
    )
    assert [each.role for each in entry.attachments] == ["sound"]
