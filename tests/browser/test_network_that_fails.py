"""A network that hangs, a browser without Background Sync, a shop computer put back from an old copy: what is
on the phone stays there until the shop computer has it.

Rows 2, 6, 9, 21, 22 and 25 of the list of field failures; see the table in docs/phone.md.
"""

import threading
import uuid

import pytest
from support.faults_in_page import COUNTED_KNOCKS, NO_BACKGROUND_SYNC
from support.server_process import ServerProcess
from support.shop_computer import ShopComputer

from plytally.store.backup import backup, restore
from plytally.web import allowance

OUT_OF_SIGHT = """
  Object.defineProperty(document, "visibilityState", { get: () => "hidden" });
  document.dispatchEvent(new Event("visibilitychange"));
"""
WORDS = "mixed eighty grams at four to one"


def paired(shop, phones, **how):
    phone = phones(shop.url, **how)
    phone.pair(shop.code())
    return phone


def test_without_background_sync_what_waits_goes_by_itself(shop, phones):
    phone = paired(shop, phones, faults=[NO_BACKGROUND_SYNC])
    shop.stop()
    phone.write(WORDS)
    phone.until_operations(1)
    phone.page.get_by_text("only on this phone").wait_for()
    shop.start()
    phone.until_all_there()
    assert len(shop.ids()) == 1


def test_with_background_sync_notes_go_with_no_page_open(shop, phones):
    phone = paired(shop, phones, faults=[COUNTED_KNOCKS])
    phone.until_offline_ready()
    shop.stop()
    phone.write(WORDS)
    phone.until_operations(1)
    phone.page.evaluate(OUT_OF_SIGHT)
    phone.until("window.knocks.includes('plytally-outbox')")
    phone.page.goto("about:blank")
    shop.start()
    phone.knock()
    shop.until(lambda: len(shop.ids()) == 1)


def test_a_shop_computer_that_hangs_is_given_up_for_now_and_empties_nothing(phones, tmp_path):
    with ServerProcess(tmp_path / "shop") as server:
        phone = phones(server.desk)
        phone.pair(server.ask("POST", "/api/pairings", token=server.key)[1]["code"])
        phone.until_it_understands()
        phone.until_offline_ready()
        server.freeze()
        phone.write(WORDS)
        phone.until_operations(1)
        phone.open("Shop")
        phone.page.get_by_role("button", name="Send now").click()
        phone.page.get_by_text("not in reach").first.wait_for()
        assert phone.kept("operations")[0]["there"] == 0
        phone.open("Bench")
        phone.speak(1)
        phone.until_gone_through()
        server.thaw()
        phone.until_all_there()


def test_an_upload_in_which_nothing_moves_is_begun_again_where_it_was(shop, phones):
    phone = paired(shop, phones)
    let_go, hung = threading.Event(), []

    def hang_once(environ, start_response, app):
        if environ["REQUEST_METHOD"] != "PATCH" or hung:
            return None
        hung.append(1)
        let_go.wait(120)
        start_response("502 Gone", [("Content-Length", "0")])
        return []

    shop.bend = hang_once
    phone.take_photos(b"a photo" * 100_000)
    phone.until_gone_through()
    phone.until_all_there()
    let_go.set()
    assert hung == [1]
    assert len(shop.media()) == 1


def test_a_shop_computer_put_back_from_an_old_copy_gets_everything_again(shop, phones, tmp_path):
    phone = paired(shop, phones)
    phone.write(WORDS)
    phone.until_all_there()
    backup(shop.folder, tmp_path / "copy")
    phone.write("mixed ninety grams at four to one")
    phone.take_photos(b"a photo" * 1000)
    phone.until_gone_through()
    phone.until_all_there()
    everything, photos, port = shop.ids(), shop.media(), shop.port
    shop.close()
    restore(tmp_path / "copy", tmp_path / "again", lambda: str(uuid.uuid4()))

    again = ShopComputer(tmp_path / "again", port=port)
    try:
        assert len(again.ids()) == 1
        phone.open("Shop")
        phone.page.get_by_role("button", name="Send now").click()
        again.until(lambda: sorted(again.ids()) == sorted(everything) and again.media() == photos)
        phone.until_all_there()
    finally:
        again.close()


def test_a_token_that_is_gone_leaves_a_full_outbox_as_it_is(shop, phones):
    phone = paired(shop, phones)
    shop.stop()
    phone.many_notes(20)
    phone.take_photos(b"a photo" * 1000)
    phone.until_gone_through()
    phone.set_fact("token", None)
    shop.start()
    phone.page.reload()
    phone.until_operations(21)
    phone.open("Shop")
    phone.page.get_by_text("This phone is not paired yet. Nothing on it is lost").wait_for()
    phone.open("Bench")
    phone.pair(shop.code())
    phone.until_all_there()
    assert len(shop.ids()) == len(set(shop.ids())) == 21
    assert len(shop.media()) == 1


def test_what_waits_for_long_says_since_when(shop, phones):
    phone = paired(shop, phones)
    shop.stop()
    phone.page.clock.set_fixed_time("2026-03-01T10:00:00Z")
    phone.write(WORDS)
    phone.until_operations(1)
    phone.page.clock.set_fixed_time("2026-03-05T10:00:00Z")
    phone.page.reload()
    phone.page.get_by_text("only here since 1 March").wait_for()
    phone.open("Shop")
    phone.page.get_by_text("The oldest waits since 1 March 2026, 10:00").wait_for()


@pytest.mark.parametrize("promised", [True, False])
def test_it_says_whether_the_browser_promised_to_keep_it(shop, phones, promised):
    answer = str(promised).lower()
    phone = phones(shop.url, faults=[f"StorageManager.prototype.persisted = async () => {answer};"])
    phone.open("Shop")
    words = "The browser promised to keep it" if promised else "The browser may clear it"
    phone.page.get_by_text(words).wait_for()


def test_when_the_disk_is_full_the_phone_says_what_to_do_and_sends_it_later(shop, phones, monkeypatch):
    phone = paired(shop, phones)
    monkeypatch.setattr(allowance, "FLOOR_BYTES", 10**16)
    phone.take_photos(b"a photo" * 1000)
    phone.until_gone_through()
    phone.open("Shop")
    phone.page.get_by_text("make room on the computer. It is tried again by itself.").wait_for()
    assert shop.media() == []
    monkeypatch.undo()
    phone.page.get_by_role("button", name="Send now").click()
    phone.until_all_there()
    assert len(shop.media()) == 1


def test_a_photo_that_is_too_large_for_the_shop_computer_does_not_hold_up_the_next(shop, phones):
    phone = paired(shop, phones)
    large, small = b"x" * 9000, b"y" * 100

    def too_large(environ, start_response, app):
        if environ["PATH_INFO"] == "/api/uploads" and environ.get("HTTP_UPLOAD_LENGTH") == str(len(large)):
            start_response("413 Content Too Large", [("Content-Type", "application/problem+json")])
            return [b'{"detail": "an upload has at most 128 MB"}']
        return None

    shop.bend = too_large
    phone.take_photos(large, small)
    shop.until(lambda: shop.media() == [shop.address(small)])
    phone.until("document.querySelector('.unsent b')?.dataset.unsent === '1'")
    phone.open("Shop")
    phone.page.get_by_text("An upload has at most 128 MB.").wait_for()
