"""Clocks on a real Chromium: counted, rung with no network, called with the app closed, answered."""

import time

import pytest
from support.browser_calls import CallablePhone
from support.push_service import PushService
from support.shop_computer import ShopComputer

from plytally.remind.calling import calling
from plytally.remind.subscriptions import Subscriptions

SHEET = 0.6
SHEET_BESIDE_A_CLOCK = 0.5  # what it says to watch for has to be read on a small phone, too


@pytest.fixture
def service():
    with PushService() as running:
        yield running


@pytest.fixture
def shop(tmp_path):
    opened = ShopComputer(tmp_path / "shop", endpoint_problem=lambda _endpoint: "")
    yield opened
    opened.close()


def until(found, seconds=30):
    end = time.monotonic() + seconds
    while not (answer := found()):
        assert time.monotonic() < end, "never came"
        time.sleep(0.1)
    return answer


def changes(phone, field):
    """The values that this phone's operations gave to a field."""
    bodies = [row["operation"]["body"] for row in phone.kept("operations")]
    return [body["value"] for body in bodies if body.get("field") == field]


def called(shop, entry):
    return [str(change.value).split(" ")[0] for change in shop.log.entry(entry).history("called")]


def a_clock(shop, phone, words):
    """Write a clock and wait until the shop computer has it; its entry's id."""
    phone.write(words)
    return until(lambda: [e.id for e in shop.log.state.order if e.entry.kind == "clock"])[0]


def minutes_left(phone):
    told = phone.page.locator(".ticking .left").inner_text()
    whole, _, seconds = told.partition(":")
    return int(whole) + int(seconds) / 60


def shown(minutes):
    return f"{int(minutes)}:{round(minutes % 1 * 60):02}"


def test_a_cup_mixed_at_90_counts_down_half_of_one_at_72(shop, phones):
    left = {}
    phone = phones(shop.url)
    phone.until_it_understands()
    for made, heat in enumerate(("ninety", "seventy two")):
        phone.write(f"shop air {heat} degrees")
        phone.write("mixed eighty grams at four to one")
        phone.until_operations(3 * made + 2)
        phone.page.locator(".ticking").wait_for()
        left[heat] = minutes_left(phone)
        phone.until(f"document.querySelector('.ticking .left').textContent !== '{shown(left[heat])}'")
        assert phone.sheet.bounding_box()["height"] >= SHEET * 780
        phone.write("scratch that")
        phone.page.locator(".ticking").wait_for(state="detached")
    assert left["ninety"] / left["seventy two"] == pytest.approx(0.5, abs=0.02)


def test_with_no_network_a_clock_rings_once_shows_large_answers_and_is_done_by_touch(shop, phones):
    phone = phones(shop.url, size={"width": 360, "height": 640})
    phone.until_it_understands()
    phone.until_offline_ready()
    shop.stop()
    phone.context.set_offline(True)
    phone.page.reload()
    phone.until_it_understands()
    phone.write("start a timer for three seconds")
    phone.page.get_by_role("button", name="Done", exact=True).wait_for()
    until(lambda: changes(phone, "called"))
    assert phone.sheet.bounding_box()["height"] >= SHEET_BESIDE_A_CLOCK * 640
    for answer in phone.page.locator(".clock-answers .tool").all():
        box = answer.bounding_box()
        assert min(box["width"], box["height"]) >= 75.6
        assert box["y"] + box["height"] <= 640
    phone.page.reload()
    phone.page.locator(".ticking.due").wait_for()
    phone.page.locator(".ticking").click()
    phone.page.get_by_role("button", name="Done", exact=True).click()
    until(lambda: changes(phone, "done") == ["done"])
    phone.page.locator(".ticking").wait_for(state="detached")
    assert len(changes(phone, "called")) == 1


def test_snoozed_by_words_it_counts_anew(shop, phones):
    phone = phones(shop.url)
    phone.until_it_understands()
    phone.write("start a timer for one hour")
    phone.page.locator(".ticking").wait_for()
    phone.write("snooze ten minutes")
    phone.until("document.querySelector('.ticking .left').textContent.startsWith('1 h 09')")
    assert len(changes(phone, "due")) == 1


def test_the_closed_app_is_called_once_and_its_answer_reaches_the_log(shop, phones, service):
    phone = phones(shop.url)
    phone.pair(shop.code())
    mine = CallablePhone(phone, service)
    phone.until_it_understands()
    mine.ask_to_be_called()
    entry = a_clock(shop, phone, "start a timer for eight seconds")
    device = shop.log.entry(entry).device
    mine.close_the_app()
    with calling(shop.log):
        pushed = until(lambda: service.got)[0]
    assert service.wrong == []
    assert (pushed.told["entry"], pushed.told["title"]) == (entry, "A plytally clock is due")

    mine.deliver(pushed.told)
    (shown,) = mine.shown()
    assert (shown["title"], shown["actions"]) == ("A plytally clock is due", ["Done", "10 more minutes"])
    until(lambda: len(called(shop, entry)) == 2)
    assert set(called(shop, entry)) == {device}, "the shop sent it, and the phone says that it arrived"

    mine.deliver(pushed.told | {"again": True})
    until(lambda: mine.shown()[0]["silent"])
    assert len(mine.shown()) == 1
    assert len(called(shop, entry)) == 2

    mine.click(entry, "later")
    until(lambda: "due" in shop.log.entry(entry).entry.fields)
    mine.deliver(pushed.told | {"call": shop.log.entry(entry).heads("due")[0]})
    mine.shown()
    mine.click(entry, "done")
    until(lambda: shop.log.entry(entry).entry.fields.get("done"))


def test_an_answer_with_the_shop_computer_away_is_kept_and_sent_when_the_app_is_opened(shop, phones, service):
    phone = phones(shop.url)
    phone.pair(shop.code())
    mine = CallablePhone(phone, service)
    phone.until_it_understands()
    entry = a_clock(shop, phone, "start a timer for one hour")
    mine.close_the_app()
    shop.stop()
    told = {"call": entry, "entry": entry, "due": 0, "title": "due", "over": {"due": [], "done": []}}
    mine.deliver(told)
    mine.shown()
    mine.click(entry, "done")
    shop.start()
    phone.new_page()
    until(lambda: shop.log.entry(entry).entry.fields.get("done"), 60)


def test_a_click_opens_the_entry(shop, phones, service):
    phone = phones(shop.url)
    mine = CallablePhone(phone, service)
    phone.until_it_understands()
    phone.write("start a timer for one hour")
    phone.until_operations(1)
    entry = phone.kept("operations")[0]["id"]
    mine.aside.bring_to_front()
    told = {"call": entry, "entry": entry, "due": 0, "title": "due", "over": {}}
    mine.worker(
        "(told) => self.registration.showNotification(told.title, { data: told, tag: told.entry })", told
    )
    mine.click(entry)
    phone.page.locator("li.shown", has_text="clock: 1 h").wait_for()
    phone.page.goto(f"{shop.url}/#entry={entry}")
    phone.page.reload()
    phone.page.locator("li.shown", has_text="clock: 1 h").wait_for()


def test_a_call_for_the_page_that_is_looked_at_rings_there(shop, phones, service):
    phone = phones(shop.url)
    mine = CallablePhone(phone, service)
    phone.until_it_understands()
    phone.write("start a timer for one hour")
    phone.until_operations(1)
    entry = phone.kept("operations")[0]["id"]
    phone.page.bring_to_front()
    mine.deliver({"call": entry, "entry": entry, "due": 1, "title": "due", "over": {}, "late": 0})
    phone.page.get_by_role("button", name="Done", exact=True).wait_for()
    until(lambda: len(changes(phone, "called")) == 1)
    assert mine.worker("async () => (await self.registration.getNotifications()).length") == 0


def test_a_subscription_that_the_browser_changes_is_made_known(shop, phones, service):
    phone = phones(shop.url)
    phone.pair(shop.code())
    mine = CallablePhone(phone, service)
    mine.ask_to_be_called()
    rows = Subscriptions(shop.log.documents)
    until(lambda: [row.endpoint for row in rows] == [f"{service.origin}/push/one"])
    mine.subscription_changes_to(service.subscription("two"))
    until(lambda: [row.endpoint for row in rows] == [f"{service.origin}/push/two"])


def test_a_subscription_that_the_service_ended_is_made_anew_at_the_next_start(shop, phones, service):
    phone = phones(shop.url)
    phone.pair(shop.code())
    CallablePhone(phone, service).ask_to_be_called()
    rows = Subscriptions(shop.log.documents)
    (row,) = rows
    rows.ended(row.device, row.endpoint, "ended")
    phone.page.reload()
    until(lambda: [each.endpoint for each in rows] == [row.endpoint])


def test_the_choice_of_clocks_and_quiet_hours_reaches_the_shop_and_calls_can_be_left(shop, phones, service):
    phone = phones(shop.url)
    phone.pair(shop.code())
    mine = CallablePhone(phone, service)
    mine.ask_to_be_called()
    rows = Subscriptions(shop.log.documents)
    phone.open("Shop")
    phone.page.get_by_label("Pump left running").uncheck()
    until(lambda: "pump" not in next(iter(rows)).kinds)
    phone.page.get_by_label("Quiet hours").check()
    until(lambda: next(iter(rows)).quiet == (1320, 390))
    phone.page.get_by_label("until").fill("07:15")
    until(lambda: next(iter(rows)).quiet == (1320, 435))
    phone.page.get_by_label("The lock screen may show").check()
    until(lambda: next(iter(rows)).detail)
    phone.page.get_by_role("checkbox", name="Call this phone").uncheck()
    until(lambda: list(rows) == [])


IPHONE = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko)"


def test_an_iphone_in_the_browser_is_told_how_to_be_called(shop, phones):
    phone = phones(shop.url, user_agent=IPHONE)
    phone.open("Shop")
    phone.page.get_by_text("Add to Home Screen").wait_for()
    assert phone.page.get_by_role("checkbox", name="Call this phone").count() == 0
