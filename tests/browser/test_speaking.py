"""The road that a builder walks: touch, speak, touch; kept, heard and understood on the phone, offline."""

import pytest
from support.browser_voice import seconds

LAID = "laid two plies bid on the right elevator spar aft face"
OWED = "what is owed on the rudder post"


def speak(phone, text, tmp_path):
    phone.speak(1.6 + seconds(text, tmp_path))


def leave_all_doubts(phone):
    phone.page.locator(".asking, .tools").first.wait_for()
    while phone.page.locator(".asking").count():
        phone.page.get_by_role("button", name="Leave it for the desk").click()


def with_print(shop, phones, **how):
    """A phone that is paired, has the print and all it needs, and then loses its network."""
    phone = phones(shop.url, **how)
    phone.pair(shop.code())
    phone.until_it_understands()
    phone.until_offline_ready()
    phone.until("fetch('/api/openapi.yaml').then(() => true)")
    return phone


def test_a_layup_is_heard_and_understood_offline_and_the_ledger_answers_right(shop, phones, tmp_path):
    phone = with_print(shop, phones, says=LAID)
    shop.stop()
    phone.page.reload()
    phone.until_it_understands()

    speak(phone, LAID, tmp_path)
    phone.until_gone_through()
    row = phone.kept("operations")[0]["operation"]

    assert row["act"] == "note"
    fields = row["body"]["entry"]["fields"]
    assert (fields["plies"], fields["material"], fields["side"]) == (2, "BID", "right")
    assert (fields["part"], fields["face"]) == ("elevator spar", "aft")
    assert phone.unsent() == 3, "a note, its attachment and the sound wait for the shop computer"
    leave_all_doubts(phone)
    phone.write("what is owed on the right elevator spar")
    phone.page.get_by_text("right elevator spar, aft face: ").first.wait_for()
    assert "of 4 BID laid" in phone.said.inner_text()
    assert not [problem for problem in phone.wrong if "ERR_CONNECTION_REFUSED" not in problem]


def test_a_spoken_question_is_answered_offline(shop, phones, tmp_path):
    phone = with_print(shop, phones, says=OWED)
    shop.stop()
    phone.page.reload()
    phone.until_it_understands()

    speak(phone, OWED, tmp_path)
    phone.until_gone_through()
    phone.said.get_by_text("rudder post").first.wait_for()

    assert "owed" in phone.said.inner_text()
    assert phone.kept("operations") == []
    assert [medium["stage"] for medium in phone.kept("media")] == ["noted"], "the sound is kept all the same"


def test_speech_outside_the_phrasebook_is_kept_and_not_bent_into_an_entry(shop, phones, tmp_path):
    said = "yesterday my neighbour came over and we talked about the weather"
    phone = with_print(shop, phones, says=said)

    speak(phone, said, tmp_path)
    phone.page.get_by_text("kept, not understood").wait_for(timeout=30_000)

    (note,) = [kept["operation"] for kept in phone.kept("operations") if kept["operation"]["act"] == "note"]
    assert note["body"]["entry"]["kind"] == "note"
    assert phone.kept("media")[0]["bytes"] > 3 * 32_000


def test_what_was_spoken_reaches_the_shop_computer_with_its_sound(shop, phones, tmp_path):
    phone = with_print(shop, phones, says=LAID)

    speak(phone, LAID, tmp_path)
    phone.until_gone_through()
    phone.page.get_by_text("all on the shop computer").wait_for(timeout=60_000)

    (logged,) = shop.log.state.order
    (sound,) = logged.attachments
    assert (logged.entry.kind, logged.entry.fields["plies"]) == ("laid", 2)
    assert shop.log.media.read(sound.media)[:4] == b"RIFF"
    assert len(shop.log.media.read(sound.media)) == sound.size


@pytest.mark.parametrize("key", ["a", "Enter", "MediaPlayPause"])
def test_any_key_of_a_remote_starts_and_stops(shop, phones, key):
    phone = phones(shop.url)
    phone.page.keyboard.press(key)
    phone.page.locator(".sheet.recording").wait_for()
    phone.until("document.querySelector('.time').textContent !== '0:00'")
    phone.page.keyboard.press(key)
    phone.page.locator(".sheet.ready").wait_for()
    assert phone.kept("media")[0]["role"] == "sound"


def test_holding_the_sheet_records_while_it_is_held(shop, phones):
    phone = phones(shop.url)
    phone.sheet.hover()
    phone.page.mouse.down()
    phone.page.locator(".sheet.recording").wait_for()
    phone.page.wait_for_timeout(1200)
    phone.page.mouse.up()
    phone.page.locator(".sheet.ready").wait_for()
    assert phone.kept("media")[0]["bytes"] > 16_000
