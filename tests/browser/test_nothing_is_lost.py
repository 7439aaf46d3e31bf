"""What breaks in the field, shown on a real Chromium: see the table in docs/phone.md."""

import io
import json
import zipfile

import pytest
from PIL import Image

from plytally.clock import MachineClock


def photo(seed, side=1200):
    """A JPEG that no other seed gives."""
    picture = Image.effect_noise((side, side), 60 + seed).convert("RGB")
    picture.putpixel((0, 0), (seed, 0, 0))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=90)
    return out.getvalue()


def paired(shop, phones, **how):
    phone = phones(shop.url, **how)
    phone.pair(shop.code())
    return phone


def answers(status, body=b"{}", kind="application/json"):
    """What a bent server gives to every sync."""

    def bend(environ, start_response, app):
        if environ["PATH_INFO"] != "/api/sync":
            return None
        start_response(f"{status} Bent", [("Content-Type", kind), ("Content-Length", str(len(body)))])
        return [body]

    return bend


def test_written_words_are_kept_before_anything_can_understand_them(shop, phones):
    phone = phones(shop.url)
    phone.write("mixed eighty grams at four to one")
    phone.until("document.querySelector('.unsent b')")
    phone.kill_renderer()
    phone.new_page()
    phone.until_operations(1)
    assert [row["operation"]["body"]["entry"]["kind"] for row in phone.kept("operations")] == ["mixed"]


def test_a_renderer_that_is_killed_while_recording_loses_at_most_a_second(shop, phones):
    phone = phones(shop.url)
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_recorded(3)
    phone.kill_renderer()

    again = phone.new_page()
    again.get_by_text("taken up again").wait_for()
    phone.until_gone_through()
    (sound,) = phone.kept("media")

    assert sound["bytes"] >= 2 * 32_000
    assert "cut short" in sound["remark"]
    assert phone.stored_bytes(sound["id"]) == sound["bytes"]


def test_what_was_said_to_be_kept_is_there_after_the_browser_is_killed(shop, phones, tmp_path):
    phone = phones(shop.url)
    phone.speak(1.5)
    phone.until_gone_through()
    before = phone.kept("operations")
    phone.kill_browser()

    again = phones(shop.url)
    again.until("document.querySelector('.sheet.ready')")

    assert again.kept("operations") == before


def test_a_tab_closed_while_recording_leaves_its_sound_to_the_next(shop, phones):
    phone = phones(shop.url)
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_written(1)
    phone.page.reload()
    phone.page.get_by_text("taken up again").wait_for()
    phone.until_gone_through()
    assert phone.kept("media")[0]["bytes"] >= 32_000


def test_it_starts_and_records_with_no_network_at_all(shop, phones):
    phone = phones(shop.url)
    phone.until_offline_ready()
    shop.stop()
    phone.context.set_offline(True)
    phone.page.reload()
    phone.speak(1.2)
    phone.until_gone_through()
    assert phone.kept("media")[0]["stage"] == "noted"


@pytest.mark.parametrize(
    "bend",
    [
        pytest.param(answers(500), id="500"),
        pytest.param(answers(503), id="503"),
        pytest.param(answers(200, b"<html>sign in to this network</html>", "text/html"), id="a foreign page"),
    ],
)
def test_an_answer_that_is_none_empties_nothing(shop, phones, bend):
    phone = paired(shop, phones)
    shop.bend = bend
    phone.write("mixed eighty grams at four to one")
    phone.until_operations(1)
    phone.page.get_by_text("only on this phone").wait_for()
    phone.open("Shop")
    phone.page.get_by_role("button", name="Send now").click()
    phone.page.get_by_text("tried again by itself").wait_for()
    assert phone.kept("operations")[0]["there"] == 0
    shop.bend = None
    phone.page.get_by_role("button", name="Send now").click()
    phone.until_all_there()
    assert len(shop.lines()) == 1


def test_an_answer_lost_after_the_shop_took_it_makes_nothing_twice(shop, phones):
    phone = paired(shop, phones)
    lost = []

    def take_and_lose(environ, start_response, app):
        if environ["PATH_INFO"] != "/api/sync" or lost:
            return None
        size = int(environ["CONTENT_LENGTH"])
        content = environ["wsgi.input"].read(size)
        if not json.loads(content)["operations"]:
            environ["wsgi.input"] = io.BytesIO(content)
            return app(environ, start_response)
        environ["wsgi.input"] = io.BytesIO(content)
        list(app(environ, lambda *_: None))
        lost.append(1)
        start_response("502 Lost", [("Content-Length", "0")])
        return []

    shop.bend = take_and_lose
    phone.write("mixed eighty grams at four to one")
    phone.open("Shop")
    phone.until_all_there()
    assert lost == [1]
    assert len(shop.ids()) == 1


def test_a_reload_in_the_middle_of_sync_loses_and_doubles_nothing(shop, phones):
    phone = paired(shop, phones)
    shop.stop()
    for number in ("forty", "fifty", "sixty"):
        phone.write(f"mixed {number} grams at four to one")
    phone.take_photos(photo(1), photo(2))
    phone.until_gone_through()
    shop.slow = 0.4
    shop.start()
    phone.page.reload()
    phone.until("performance.now() > 700")
    phone.page.reload()
    shop.slow = 0
    phone.until_all_there()
    assert len(shop.ids()) == len(set(shop.ids())) == 5
    assert len(shop.media()) == 2


def test_a_phone_that_loses_its_token_pairs_again_and_loses_nothing(shop, phones):
    phone = paired(shop, phones)
    phone.write("mixed eighty grams at four to one")
    phone.until_all_there()
    device = phone.kept("operations")[0]["operation"]["device"]
    shop.inside.phones.revoke(device)
    phone.write("mixed ninety grams at four to one")
    phone.open("Shop")
    phone.page.get_by_text("Nothing on it is lost").wait_for()
    assert phone.unsent() == 1
    phone.open("Bench")
    phone.pair(shop.code())
    phone.until_all_there()
    assert len(shop.ids()) == 2


@pytest.mark.parametrize("years", [-1, 1])
def test_a_clock_that_is_a_year_wrong_is_measured_and_order_holds(shop, phones, years):
    phone = phones(shop.url)
    phone.context.add_init_script(
        f"{{ const real = Date.now; Date.now = () => real() + {years} * 31536000000; }}"
    )
    phone.page.reload()
    phone.pair(shop.code())
    phone.write("mixed eighty grams at four to one")
    phone.until_all_there()
    phone.write("mixed ninety grams at four to one")
    phone.until_all_there()
    first, second = shop.log.state.order
    assert [str(each.entry.fields["mass"].amount) for each in (first, second)] == ["80", "90"]
    assert abs(shop.phone_skew() - years * 31536000000) < 60_000
    assert abs(second.happened_millis - MachineClock().now_millis()) < 120_000


def test_a_photo_keeps_its_own_bytes_and_belongs_to_the_entry_before(shop, phones):
    phone = paired(shop, phones)
    phone.until_it_understands()
    phone.write("clamped the bracket on the right tailplane rear spar at hinge two")
    phone.until("document.querySelector('.beside li p')")
    content = photo(7, 2000)
    phone.take_photos(content)
    phone.until_gone_through()
    phone.page.locator(".tool img, .asking").first.wait_for()
    phone.until_all_there()
    (entry,) = shop.log.state.order
    assert [each.media for each in entry.attachments] == [shop.address(content)]
    assert shop.log.media.read(shop.address(content)) == content


def test_two_tabs_of_one_phone_send_each_thing_once(shop, phones):
    phone = paired(shop, phones)
    first, other = phone.page, phone.new_page()
    phone.page = first
    phone.write("mixed eighty grams at four to one")
    other.get_by_role("button", name="Shop", exact=True).click()
    other.get_by_role("button", name="Send now").click()
    phone.until_all_there()
    assert len(shop.ids()) == 1


def test_a_refused_microphone_is_explained(shop, phones):
    phone = phones(shop.url, deny=True)
    phone.sheet.click()
    phone.said.get_by_text("not allowed for this page").wait_for()
    assert phone.page.locator(".sheet.ready").count() == 1


def test_everything_can_be_saved_to_a_file(shop, phones, tmp_path):
    phone = phones(shop.url)
    phone.speak(1.2)
    phone.until_gone_through()
    phone.open("Shop")
    with phone.page.expect_download() as waiting:
        phone.page.get_by_role("button", name="Save everything to a file").click()
    waiting.value.save_as(tmp_path / "out.zip")
    with zipfile.ZipFile(tmp_path / "out.zip") as saved:
        assert saved.testzip() is None
        lines = saved.read("operations.jsonl").decode().splitlines()
        (sound,) = [name for name in saved.namelist() if name.startswith("media/")]
        content = saved.read(sound)
    assert shop.address(content) == phone.kept("media")[0]["sha256"]
    assert [json.loads(line) for line in lines] == [row["operation"] for row in phone.kept("operations")]


def test_two_hundred_notes_and_fifty_photos_wait_and_then_arrive(shop, phones):
    phone = paired(shop, phones)
    shop.stop()
    phone.many_notes(200)
    contents = [photo(seed, 400) for seed in range(50)]
    phone.take_photos(*contents)
    phone.until_gone_through()
    phone.until_operations(250)
    phone.until("document.querySelector('.unsent').textContent.startsWith('300')")
    shop.start()
    phone.open("Shop")
    phone.page.get_by_role("button", name="Send now").click()
    phone.until_all_there()
    assert len(shop.ids()) == 250
    assert sorted(shop.media()) == sorted(map(shop.address, contents))
