"""A microphone that goes silent or is taken, a screen that may not be kept on, a camera that costs the page.

Rows 13, 14, 17 and 18 of the list of field failures; see the table in docs/phone.md.
"""

import pytest
from support.browser_voice import silent_in_between
from support.faults_in_page import COUNTED_MICROPHONE, NO_WAKE_LOCK, REFUSED_WAKE_LOCK

WORDS = "mixed eighty grams at four to one"


def test_the_microphone_is_opened_once_a_session(shop, phones):
    phone = phones(shop.url, faults=[COUNTED_MICROPHONE])
    phone.speak(1)
    for tab in ("Log", "Shop", "Bench"):
        phone.open(tab)
    phone.speak(1)
    phone.until_media(2)
    assert phone.ask("window.opened") == 1


def test_no_page_can_be_changed_to_while_it_records(shop, phones):
    phone = phones(shop.url)
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    for tab in ("Bench", "Log", "Shop"):
        assert phone.page.get_by_role("button", name=tab, exact=True).is_disabled()


def test_a_microphone_that_goes_silent_is_told_and_the_recording_goes_on(shop, phones, tmp_path):
    phone = phones(shop.url, sound=silent_in_between(tmp_path))
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    phone.said.get_by_text("no sound is coming in").wait_for()
    phone.page.locator(".sheet.recording").wait_for()
    phone.sheet.click()
    phone.until_gone_through()
    assert phone.kept("media")[0]["bytes"] > 6 * 32_000


@pytest.mark.parametrize(
    ("event", "words"),
    [("mute", "another app took the microphone"), ("ended", "the microphone was taken away")],
)
def test_a_microphone_that_is_taken_away_keeps_what_was_said_before(shop, phones, event, words):
    phone = phones(shop.url, faults=[COUNTED_MICROPHONE])
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_recorded(1)
    phone.ask(f"window.tracks[0].dispatchEvent(new Event('{event}'))")
    phone.said.get_by_text(words).wait_for()
    phone.page.locator(".sheet.ready").wait_for()
    assert phone.kept("media")[0]["bytes"] >= 32_000


@pytest.mark.parametrize("fault", [NO_WAKE_LOCK, REFUSED_WAKE_LOCK], ids=["missing", "refused"])
def test_a_screen_that_may_not_be_kept_on_stops_no_recording(shop, phones, fault):
    phone = phones(shop.url, faults=[fault])
    phone.speak(1)
    phone.until_gone_through()
    assert phone.wrong == []


def test_what_is_being_written_outlives_a_camera_that_costs_the_page(shop, phones):
    phone = phones(shop.url)
    phone.page.get_by_role("button", name="Write").click()
    phone.page.get_by_label("Write a note").fill(WORDS)
    phone.page.reload()
    assert phone.page.get_by_label("Write a note").input_value() == WORDS
    phone.page.get_by_role("button", name="Keep").click()
    phone.until_operations(1)
    phone.page.reload()
    assert phone.page.get_by_label("Write a note").count() == 0


def test_a_photo_taken_after_the_camera_cost_the_page_belongs_to_the_entry_before(shop, phones):
    phone = phones(shop.url)
    phone.until_it_understands()
    phone.write(WORDS)
    phone.until_operations(1)
    (entry,) = [row["id"] for row in phone.kept("operations")]
    with phone.page.expect_file_chooser():
        phone.page.get_by_label("Take a photo").click()
    phone.page.reload()
    phone.take_photos(b"a photo" * 1000)
    phone.until_operations(2)
    assert {row["operation"]["target"] for row in phone.kept("operations")} == {None, entry}
