"""The desk's clocks by keyboard: what runs, what is late, who was called, done and put off, and before."""

import pytest
from support import patience
from support.browser_desk import SMALL, WIDE

from plytally.core.entry import Entry
from plytally.core.quantities import parse_quantity
from plytally.remind.subscriptions import Subscription, Subscriptions

CALLED = "called by Web Push, 4 minutes late"


@pytest.fixture
def shop_with_clocks(shop):
    """A timer that is late, of which a phone was called; a cure that runs; one that was done."""
    late = shop.log.record(Entry("clock", {"duration": parse_quantity("1 s"), "text": "turn the heater"})).id
    shop.log.amend(
        late, "called", f"phone-1 {late}", author="shop computer", why="called by Web Push, 4 minutes late"
    )
    shop.log.record(Entry("clock", {"clock": "cure", "duration": parse_quantity("12 h")}))
    done = shop.log.record(Entry("clock", {"clock": "vacuum", "duration": parse_quantity("30 min")})).id
    shop.log.amend(done, "done", "done", author="builder", why="on the notification")
    kinds, quiet = ("pot life", "cure"), (1320, 390)
    row = Subscription("phone-1", "https://push.example.net/1", "p", "a", "k", 0, kinds, quiet)
    Subscriptions(shop.log.documents).keep(row)
    return shop


def row(desk, words):
    return desk.page.locator("li.clock", has_text=words)


def test_by_keyboard_one_is_put_off_one_is_done_and_another_is_started(shop_with_clocks, desks):
    desk = desks(shop_with_clocks).sign_in()
    desk.press("C")
    row(desk, "timer: turn the heater").get_by_text("late by").wait_for()
    row(desk, "turn the heater").get_by_text("called by Web Push, 4 minutes late").wait_for()
    assert "chosen" in row(desk, "turn the heater").get_attribute("class"), "the first due is meant"
    desk.press("d")
    desk.page.get_by_text("timer: turn the heater: done.").wait_for()
    row(desk, "turn the heater").get_by_text("at the desk").wait_for()
    desk.press("l")
    desk.page.get_by_text("cure: calls ten minutes later.").wait_for()
    row(desk, "cure").get_by_text("12 h ").wait_for()
    desk.press("s")
    patience.until(lambda: desk.page.evaluate("document.activeElement.id") == "start-clock", "the field")
    desk.page.keyboard.type("bag off at nine")
    desk.press("Tab")
    desk.page.get_by_text("morning or evening was not said").wait_for()
    desk.press("Enter")
    patience.until(lambda: len(shop_with_clocks.log.state.order) == 4, "the clock in the log")
    row(desk, "bag off").wait_for()
    assert desk.wrong == []


@pytest.mark.parametrize(
    ("size", "scheme"), [(WIDE, "light"), (SMALL, "dark")], ids=["desk light", "phone dark"]
)
def test_the_page_can_be_read_by_everyone(shop_with_clocks, desks, size, scheme):
    desk = desks(shop_with_clocks, size=size, color_scheme=scheme).sign_in()
    desk.press("C")
    row(desk, "turn the heater").first.wait_for()
    desk.page.get_by_text("Quiet from 22:00 until 06:30").wait_for()
    assert desk.findings() == []
    assert not desk.overflows()


def test_the_address_for_push_services_is_asked_for_and_kept(shop_with_clocks, desks):
    desk = desks(shop_with_clocks).sign_in()
    desk.press("C")
    desk.page.get_by_text("which nobody reads").wait_for()
    field = desk.page.get_by_label("mailto: or https:")
    field.fill("nobody")
    desk.press("Enter")
    desk.page.get_by_text("no address to be reached at").wait_for()
    field.fill("builder@shop.example")
    desk.press("Enter")
    desk.page.get_by_text("Push services are told mailto:builder@shop.example.").wait_for()
