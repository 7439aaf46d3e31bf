"""The road that a builder walks: touch, speak, touch; kept, heard and understood on the phone, offline."""

import pytest
from support.saying import said_until

LAID = "laid two plies bid on the right elevator spar aft face"
OWED = "what is owed on the rudder post"


def entries(made):
    return [each["body"]["entry"] for each in made if each["act"] == "note"]


def is_the_layup(made):
    wanted = {"plies": 2, "material": "BID", "side": "right", "part": "elevator spar", "face": "aft"}
    found = [entry for entry in entries(made) if entry["kind"] == "laid"]
    return bool(found) and wanted.items() <= found[0]["fields"].items()


def leave_all_doubts(phone):
    phone.page.locator(".asking, .tools").first.wait_for()
    while phone.page.locator(".asking").count():
        phone.page.get_by_role("button", name="Leave it for the desk").click()


def with_print(shop, phones, **how):
    """A phone that is paired, has the print and all it needs."""
    phone = phones(shop.url, **how)
    phone.pair(shop.code())
    phone.until("document.querySelector('.beside, .pages')?.textContent.includes('print revision')", 150)
    phone.until_it_understands()
    phone.until_offline_ready()
    return phone


def test_a_layup_is_heard_and_understood_offline_and_the_ledger_answers_right(shop, phones, tmp_path):
    phone = with_print(shop, phones, says=LAID)
    shop.stop()

    made = said_until(phone, LAID, tmp_path, is_the_layup)

    assert [each["act"] for each in made] == ["note", "attach"]
    assert phone.unsent() % 3 == 0, "a note, its attachment and the sound wait for the shop computer"
    leave_all_doubts(phone)
    phone.write("what is owed on the right elevator spar")
    phone.page.get_by_text("right elevator spar, aft face: ").first.wait_for()
    assert "of 4 BID laid" in phone.said.inner_text()
    assert [problem for problem in phone.wrong if "Failed to load resource" not in problem] == []


def test_a_spoken_question_is_answered_offline(shop, phones, tmp_path):
    phone = with_print(shop, phones, says=OWED)
    shop.stop()

    answered = lambda made: not made and "rudder post" in phone.said.inner_text()  # noqa: E731
    made = said_until(phone, OWED, tmp_path, answered)

    assert made == []
    assert "owed" in phone.said.inner_text()
    assert {medium["stage"] for medium in phone.kept("media")} == {"noted"}, "the sound is kept all the same"


def test_speech_outside_the_phrasebook_is_kept_and_not_bent_into_an_entry(shop, phones, tmp_path):
    said = "yesterday my neighbour came over and we talked about the weather"
    phone = with_print(shop, phones, says=said)

    made = said_until(phone, said, tmp_path, lambda _: "kept, not understood" in phone.said.inner_text())

    assert [entry["kind"] for entry in entries(made)] == ["note"]
    assert phone.kept("media")[-1]["bytes"] > 3 * 32_000


def test_what_was_spoken_reaches_the_shop_computer_with_its_sound(shop, phones, tmp_path):
    phone = with_print(shop, phones, says=LAID)

    (note, _attached) = said_until(phone, LAID, tmp_path, is_the_layup)
    phone.until_all_there()

    (logged,) = [each for each in shop.log.state.order if each.id == note["id"]]
    (sound,) = logged.attachments
    assert (logged.entry.kind, logged.entry.fields["plies"]) == ("laid", 2)
    assert shop.log.media.read(sound.media)[:4] == b"RIFF"
    assert len(shop.log.media.read(sound.media)) == sound.size


@pytest.mark.parametrize("key", ["a", "Enter", "MediaPlayPause"])
def test_any_key_of_a_remote_starts_and_stops(shop, phones, key):
    phone = phones(shop.url)
    phone.page.keyboard.press(key)
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_recorded(1)
    phone.page.keyboard.press(key)
    phone.page.locator(".sheet.ready").wait_for()
    assert phone.kept("media")[0]["role"] == "sound"


def test_holding_the_sheet_records_while_it_is_held(shop, phones):
    phone = phones(shop.url)
    phone.sheet.hover()
    phone.page.mouse.down()
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_recorded(1)
    phone.page.mouse.up()
    phone.page.locator(".sheet.ready").wait_for()
    assert phone.kept("media")[0]["bytes"] > 16_000
