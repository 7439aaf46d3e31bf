"""A phone whose storage is full, broken, cut, older or newer: what was kept stays, and nothing is said to be
kept that is not.

Rows 1 to 5 and 12 of the list of field failures; see the table in docs/phone.md.
"""

import hashlib
import os
import random
import re

from support import phone_tables
from support.faults_in_page import ABORT_AT_COMMIT, DEAD_HANDLE, SLOW_TABLES

from plytally.web.app_shell import BUILT

WORDS = "mixed eighty grams at four to one"
BIG = 8_000_000
HOW_MANY_BIG = 50 if os.environ.get("PLYTALLY_KILLS") else 4


def noise(seed, size=BIG):
    return random.Random(seed).randbytes(size)


def test_words_whose_write_is_aborted_stay_in_the_field_and_are_not_called_kept(shop, phones):
    phone = phones(shop.url, faults=[ABORT_AT_COMMIT])
    phone.until("document.querySelector('.sheet.ready')")
    phone.until("window.fault = 'abort'")
    phone.write(WORDS, kept=False)
    phone.said.get_by_text("not kept").wait_for()
    assert phone.ask("window.struck") > 0
    assert phone.page.get_by_label("Write a note").input_value() == WORDS
    assert phone.kept("operations") == []
    phone.until("(window.fault = '', true)")
    phone.page.get_by_role("button", name="Keep").click()
    phone.until_operations(1)


def test_a_second_of_sound_whose_write_is_aborted_is_told_and_the_others_stay(shop, phones):
    phone = phones(shop.url, faults=[ABORT_AT_COMMIT])
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_written(1)
    phone.until("window.fault = 'abort'")
    phone.until("window.struck > 0")
    phone.said.get_by_text("could not be written").wait_for()
    phone.until("(window.fault = '', true)")
    written = phone.kept("media")[0]["pieces"]
    phone.until_written(written + 1)
    phone.sheet.click()
    phone.until_gone_through()
    (sound,) = phone.kept("media")
    assert "could not be written" in sound["remark"]
    assert phone.stored_bytes(sound["id"]) == sound["bytes"]


def test_a_full_phone_says_so_keeps_what_it_has_and_goes_on_when_there_is_room(shop, phones):
    phone = phones(shop.url)
    phone.write(WORDS)
    phone.until_operations(1)
    phone.until_offline_ready()
    before, used = phone.kept("operations"), phone.used()
    phone.close()

    full = phones(shop.url, quota=used)
    full.until("document.querySelector('.sheet.ready')")
    full.sheet.click()
    full.said.get_by_text("storage is full").wait_for()
    full.take_photos(noise(1, 3_000_000))
    full.said.get_by_text("the photo could not be kept: the phone's storage is full").wait_for()
    full.write(WORDS, kept=False)
    full.said.get_by_text("not kept: the phone's storage is full").wait_for()
    assert full.kept("operations") == before
    full.close()

    again = phones(shop.url)
    again.page.get_by_label("Write a note").wait_for()
    assert again.page.get_by_label("Write a note").input_value() == WORDS
    again.page.get_by_role("button", name="Keep").click()
    again.until_operations(2)
    again.speak(1)
    again.until_gone_through()


def test_a_phone_that_runs_full_while_it_records_keeps_the_seconds_before(shop, phones):
    phone = phones(shop.url)
    phone.until_offline_ready()
    used = phone.used()
    phone.close()

    full = phones(shop.url, quota=used + 400_000)
    full.sheet.click()
    full.page.locator(".sheet.recording").wait_for()
    full.said.get_by_text("storage is full").wait_for()
    full.sheet.click()
    full.page.locator(".sheet.ready").wait_for()
    (sound,) = full.kept("media")
    kept = full.stored_bytes(sound["id"])
    full.close()

    again = phones(shop.url)
    again.until_gone_through()
    assert kept >= 32_000
    assert again.stored_bytes(sound["id"]) == kept == again.kept("media")[0]["bytes"]


def test_what_the_shop_computer_has_makes_room_for_what_it_has_not(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    phone.take_photos(noise(2, 6_000_000))
    phone.until_gone_through()
    phone.until_all_there()
    phone.until_offline_ready()
    used = phone.used()
    phone.close()
    shop.stop()

    full = phones(shop.url, quota=used)
    full.until("document.querySelector('.sheet.ready')")
    full.write(WORDS, kept=False)
    full.until("document.querySelector('.unsent').textContent.includes('only on this phone')", 40)
    (old,) = [medium for medium in full.kept("media") if medium["there"]]
    assert old["thinned"] or full.stored_bytes(old["id"]) == 0


def test_a_dead_handle_in_the_middle_of_the_line_loses_and_doubles_nothing(shop, phones):
    phone = phones(shop.url, faults=[DEAD_HANDLE])
    phone.until_it_understands()
    for number in ("forty", "fifty", "sixty"):
        phone.until("window.fault = 'dead handle'")
        phone.write(f"mixed {number} grams at four to one")
    phone.until_operations(3)
    said = [row["operation"]["body"]["entry"]["said"] for row in phone.kept("operations")]
    assert sorted(said) == sorted(
        f"mixed {number} grams at four to one" for number in ("forty", "fifty", "sixty")
    )
    assert phone.ask("window.struck") >= 1


def test_big_photos_come_back_from_the_storage_byte_for_byte(shop, phones):
    phone = phones(shop.url)
    contents = [noise(seed) for seed in range(HOW_MANY_BIG)]
    for at, content in enumerate(contents, 1):
        phone.take_photos(content)
        phone.until_media(at)
    phone.page.reload()
    assert sorted(phone.ask(phone_tables.HASHES)) == sorted(
        hashlib.sha256(each).hexdigest() for each in contents
    )


def test_a_phone_that_dies_while_its_tables_are_made_makes_them_at_the_next_start(shop, phones):
    phone = phones(shop.url, faults=[SLOW_TABLES])
    phone.until_told("tables made: 2")
    phone.kill_browser()

    again = phones(shop.url)
    again.write(WORDS)
    again.until_operations(1)
    again.speak(1)
    again.until_gone_through()


HOLDS_IT_OPEN = """new Promise((done) => {
  const opening = indexedDB.open("plytally");
  opening.onsuccess = () => { window.held = opening.result; done(true); };
})"""
NEXT_SCHEMA = re.compile(rb'([`"]plytally[`"],\s*[\w$]+\.length)')


def with_the_next_schema(environ, start_response, app):
    """The app of a later year: the same, under another name, with one more step of the schema."""
    name = environ["PATH_INFO"].lstrip("/")
    if name == "":
        kind, body = "text/html", (BUILT / "index.html").read_bytes()
        body = re.sub(rb"/index-([^.]+)\.js", rb"/index-\1.next.js", body)
    elif name.endswith(".next.js"):
        kind, body = "text/javascript", (BUILT / name.replace(".next", "")).read_bytes()
        body, found = NEXT_SCHEMA.subn(rb"\1+1", body)
        assert found == 1, "the built app opens its database in another way than this test knows"
    else:
        return None
    start_response("200 OK", [("Content-Type", kind), ("Content-Length", str(len(body)))])
    return [body]


def test_a_newer_app_waits_for_an_older_tab_and_says_which(shop, phones):
    phone = phones(shop.url, service_workers="block")
    phone.write(WORDS)
    phone.until_operations(1)
    older = phone.page
    older.goto(f"{shop.url}/install")
    phone.ask(HOLDS_IT_OPEN)

    shop.bend = with_the_next_schema
    newer = phone.new_page()
    newer.get_by_text("close plytally's other tabs").wait_for()
    older.close()
    phone.write(WORDS)
    phone.until_operations(2)


def test_an_older_tab_makes_way_for_a_newer_app_and_says_that_it_must_be_reloaded(shop, phones):
    phone = phones(shop.url, service_workers="block")
    phone.until("document.querySelector('.sheet.ready')")
    older = phone.page
    shop.bend = with_the_next_schema
    newer = phone.new_page()
    phone.write(WORDS)
    phone.until_operations(1)
    phone.page = older
    phone.write("mixed ninety grams at four to one", kept=False)
    phone.said.get_by_text("reload this one").wait_for()
    phone.page = newer
    assert len(phone.kept("operations")) == 1


def test_a_phone_that_the_browser_cleared_is_told_how_far_its_notes_came(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    phone.write(WORDS)
    phone.take_photos(noise(3, 90_000))
    phone.until_all_there()
    phone.until_gone_through()
    phone.until_all_there()
    (gone,) = shop.media()
    next((shop.folder / "media").rglob(gone)).unlink()
    shop.stop()
    phone.write("mixed ninety grams at four to one")
    phone.until_operations(3)
    shop.start()
    phone.clear_storage()

    phone.page.goto(shop.url)
    assert phone.kept("operations") == []
    phone.open("Shop")
    phone.page.get_by_label("Code from the desk").fill(shop.code())
    phone.page.get_by_role("button", name="Pair", exact=True).click()
    phone.page.get_by_text("number 2 was the last to come here").wait_for()
    phone.page.get_by_text("1 of its sounds and photos never came").wait_for()
    phone.page.get_by_text("What it kept after that is gone").wait_for()
