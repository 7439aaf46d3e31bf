"""What the open app keeps to itself: clocks that this phone does not want, quiet hours, private words."""

import pytest
from support import patience
from support.browser_calls import CallablePhone
from support.push_service import PushService

HIDDEN = "Object.defineProperty(document, 'visibilityState', { get: () => 'hidden' });"
ALL_DAY = [0, 1439]
KINDS = ["pot life", "cure", "bag off", "vacuum", "peel ply", "re-coat", "pump", "timer"]


@pytest.fixture
def service():
    with PushService() as running:
        yield running


def called_for(phone):
    """The entries that this phone has noted a ring for."""
    operations = [row["operation"] for row in phone.kept("operations")]
    return [each["target"] for each in operations if each["body"].get("field") == "called"]


def starts(phone, words):
    """Write a clock; its entry's id."""
    phone.leave_doubts()
    before = {row["id"] for row in phone.kept("operations")}
    phone.write(words)
    patience.until(lambda: len(phone.kept("operations")) > len(before), words)
    made = [row["operation"] for row in phone.kept("operations") if row["id"] not in before]
    return next(each["id"] for each in made if each["act"] == "note")


def chooses(phone, **choice):
    usual = {"on": False, "kinds": KINDS, "quiet": None, "detail": False}
    phone.set_fact("calls", usual | choice)
    phone.page.reload()
    phone.until_it_understands()
    phone.until("navigator.serviceWorker.getRegistration().then((found) => found?.active)")


def test_only_what_this_phone_wants_rings_and_in_quiet_hours_only_a_pot_life(shop, phones, service):
    phone = phones(shop.url)
    CallablePhone(phone, service)
    phone.until_it_understands()
    chooses(phone, kinds=[each for each in KINDS if each != "timer"], quiet=None)
    unwanted = starts(phone, "start a timer for two seconds")
    wanted = starts(phone, "vacuum reading in two seconds")
    patience.until(lambda: wanted in called_for(phone), "the vacuum's ring")
    assert unwanted not in called_for(phone)

    chooses(phone, quiet=ALL_DAY)
    quiet = starts(phone, "cure timer for two seconds")
    pressing = starts(phone, "pot life timer for three seconds")
    patience.until(lambda: pressing in called_for(phone), "the pot life's ring")
    assert {unwanted, quiet}.isdisjoint(called_for(phone))

    chooses(phone)
    patience.until(lambda: {unwanted, quiet} <= set(called_for(phone)), "those that were held back")


@pytest.mark.parametrize(("detail", "title"), [(False, "A plytally clock is due"), (True, "turn the heater")])
def test_a_page_that_is_not_looked_at_says_on_the_lock_screen_what_is_allowed(
    shop, phones, service, detail, title
):
    phone = phones(shop.url, faults=[HIDDEN])
    mine = CallablePhone(phone, service)
    phone.until_it_understands()
    chooses(phone, detail=detail)
    entry = starts(phone, "remind me in three seconds to turn the heater")
    patience.until(lambda: entry in called_for(phone), "its ring", 120)
    (shown,) = mine.shown(seconds=120)
    assert title in shown["title"]
    assert ("heater" in shown["title"] + shown["body"]) == detail
