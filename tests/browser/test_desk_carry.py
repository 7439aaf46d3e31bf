"""At the desk, how far long work is: all of the log out and in, the record, the hearing of a backlog."""

import re
import threading

import pytest
from support.browser_desk import SMALL, WIDE, tab_to
from support.shop_computer import ShopComputer

from plytally.core.entry import Entry
from plytally.core.hearing import typed
from plytally.store.log import Recording
from plytally.workshop.second_hearing import SecondHearing

SIZES = pytest.mark.parametrize("size", [WIDE, SMALL], ids=["desk", "phone"])


@pytest.fixture
def empty(tmp_path):
    opened = ShopComputer(tmp_path / "empty", with_print=False)
    yield opened
    opened.close()


class Held:
    """Lets work go on only when the test says so, so that a bar can be looked at half way."""

    def __init__(self, work):
        self.work, self.go = work, threading.Event()

    def __call__(self, *given):
        assert self.go.wait(120)
        return self.work(*given)


def fine(desk):
    assert (desk.findings(), desk.overflows(), desk.wrong) == ([], False, [])


@SIZES
def test_everything_goes_out_as_one_file_and_into_an_empty_shop_by_the_keyboard(
    day_shop, empty, desks, size, monkeypatch, tmp_path
):
    carrier = day_shop.carrier()
    held = Held(carrier._write)
    monkeypatch.setattr(carrier, "_write", held)
    desk = desks(day_shop, size=size).sign_in()
    desk.press("O")
    desk.page.get_by_role("heading", name="Everything in one file").wait_for()
    tab_to(desk, "Make the file")
    desk.press("Enter")
    desk.page.get_by_role("progressbar", name="Reading the log").wait_for()
    fine(desk)
    held.go.set()
    desk.page.get_by_role("link", name="Save the file").wait_for()
    with desk.page.expect_download() as coming:
        tab_to(desk, "Save the file")
        desk.press("Enter")
    file = tmp_path / coming.value.suggested_filename
    coming.value.save_as(file)

    other = desks(empty, size=size).sign_in()
    other.page.get_by_role("link", name="Take in the file").wait_for()
    fine(other)
    other.page.get_by_role("link", name="Take in the file").press("Enter")
    reader = empty.carrier()
    held = Held(reader._read)
    monkeypatch.setattr(reader, "_read", held)
    other.page.get_by_label("Choose the file").set_input_files(file)
    other.page.get_by_role("progressbar", name="Unpacking").wait_for()
    fine(other)
    held.go.set()
    other.page.get_by_text("Taken in:").wait_for()
    tab_to(other, "Look at its days")
    other.press("Enter")
    other.page.locator(".strips .entry").first.wait_for()
    assert [each.id for each in empty.log.state.order] == [each.id for each in day_shop.log.state.order]
    assert sorted(empty.media()) == sorted(day_shop.media())
    assert other.wrong == []


def test_a_file_that_is_none_is_refused_in_words_and_nothing_is_taken(empty, desks, tmp_path):
    (tmp_path / "holiday.zip").write_bytes(b"not at all what it says")
    desk = desks(empty).sign_in()
    desk.press("O")
    desk.page.get_by_label("Choose the file").set_input_files(tmp_path / "holiday.zip")
    desk.page.get_by_text("no whole ZIP file").wait_for()
    assert "Nothing was taken in." in desk.page.inner_text("main")
    assert empty.log.journal.head.seq == 0
    fine(desk)


def test_a_shop_with_entries_offers_no_import(day_shop, desks):
    desk = desks(day_shop).sign_in()
    desk.press("O")
    desk.page.get_by_role("heading", name="Everything in one file").wait_for()
    assert desk.page.get_by_label("Choose the file").count() == 0


def test_the_record_says_which_page_it_is_at(day_shop, desks, monkeypatch):
    records = day_shop.records()
    held = Held(records._small)
    monkeypatch.setattr(records, "_small", held)
    desk = desks(day_shop).sign_in()
    desk.press("O")
    desk.page.get_by_role("button", name="Make the record").press("Enter")
    bar = desk.page.get_by_role("progressbar", name=re.compile(r"page [1-9]\d* of"))
    bar.wait_for()
    assert float(bar.get_attribute("max")) > float(bar.get_attribute("value"))
    fine(desk)
    held.go.set()
    desk.page.get_by_role("link", name="save the PDF").wait_for()


class Listener:
    """An ear that hears one recording each time the test lets it."""

    def __init__(self):
        self.turns = threading.Semaphore(0)

    def hear(self, recording, name, vocabulary, *_):
        assert self.turns.acquire(timeout=120)
        return typed("bagged the rudder post")


def test_the_second_hearing_of_a_backlog_is_counted_down_while_one_looks(tmp_path, desks):
    ear, kept = Listener(), {}

    def waiting():
        return kept["queue"].waiting() if kept else 0

    shop = ShopComputer(tmp_path / "shop", queues={"second_hearing": waiting})
    desk = desks(shop).sign_in()
    desk.page.get_by_text("Nothing is noted yet").wait_for()
    for number in range(4):
        sound = Recording(bytes([number]) * 100, "audio/wav")
        shop.log.record(Entry("bagged", {"part": "rudder post"}, "bagged"), recording=sound)
    kept["queue"] = SecondHearing(shop.log, shop.inside.bench, ear)
    kept["queue"].start()
    try:
        desk.page.reload()
        bar = desk.page.get_by_role("progressbar", name="second hearing")
        bar.wait_for()
        assert (bar.get_attribute("value"), bar.get_attribute("max")) == ("0", "4")
        assert "4 recordings wait" in desk.page.locator(".backlog").inner_text()
        assert (desk.findings(), desk.overflows()) == ([], False)
        ear.turns.release(3)
        desk.page.get_by_text("One recording waits").wait_for()
        assert bar.get_attribute("value") == "3"
        ear.turns.release()
        bar.wait_for(state="detached")
        sound = Recording(b"another" * 20, "audio/wav")
        shop.log.record(Entry("bagged", {"part": "rudder post"}, "bagged"), recording=sound)
        kept["queue"].nudge()
        bar.wait_for()
        ear.turns.release()
        bar.wait_for(state="detached")
        assert desk.wrong == []
    finally:
        ear.turns.release(9)
        kept["queue"].close()
        shop.close()
