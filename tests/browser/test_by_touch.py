"""An entry by large buttons, in gloves: all without scrolling, and a note that was not heard told anew."""

import pytest
from support.saying import said_until
from support.touching import begin, choose, fits, on_the_pad

ELSE = "yesterday my neighbour came over and we talked about the weather"


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


def test_an_entry_that_is_half_built_outlives_a_reload_with_its_digits(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    begin(phone)
    choose(phone, "resin mixed")
    phone.page.get_by_text("How much?").wait_for()
    for key in "80":
        phone.page.locator(".pad").get_by_role("button", name=key, exact=True).click()
    phone.page.reload()
    phone.page.get_by_text("How much?").wait_for()
    assert phone.page.locator(".pad .number").inner_text() == "80"
    phone.page.locator(".pad").get_by_role("button", name="grams", exact=True).click()
    phone.page.get_by_role("button", name="Keep", exact=True).click()
    phone.until_operations(1)
    assert phone.kept("operations")[0]["operation"]["body"]["entry"]["fields"]["mass"] == {
        "amount": "80",
        "unit": "g",
    }
    phone.page.reload()
    phone.sheet.wait_for()
    assert phone.page.locator(".building").count() == 0


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
