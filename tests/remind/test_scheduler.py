"""Each phone is called once for each clock, as it chose to be."""

import json

import pytest
from support.devices import MORNING
from support.reminders import DAY, MIN, H, Shop, Wheel

from plytally.core.entry import Entry
from plytally.core.quantities import parse_quantity
from plytally.core.wall import Wall


def test_a_clock_calls_each_phone_once_and_the_entry_says_so(shop):
    shop.subscribe("phone-1")
    shop.subscribe("phone-2")
    entry = shop.timer(20)
    shop.wheel.passes(19 * MIN)
    assert shop.reminders.round() == 0
    shop.wheel.passes(1 * MIN)
    shop.reminders.round()
    shop.wheel.passes(5 * MIN)
    shop.reminders.round()
    assert shop.box.calls("phone-1") == shop.box.calls("phone-2") == [entry]
    assert shop.called(entry) == [("phone-1", "called by Web Push"), ("phone-2", "called by Web Push")]


def test_a_late_call_says_how_late_it_is_on_the_phone_and_in_the_log(shop):
    shop.subscribe()
    entry = shop.timer(20)
    shop.wheel.passes(65 * MIN)
    shop.reminders.round()
    assert shop.box.sent[0][1]["body"] == "45 minutes late"
    assert shop.called(entry) == [("phone-1", "called by Web Push, 45 minutes late")]


def test_a_phone_that_rang_by_itself_is_not_called_again(shop):
    shop.subscribe()
    entry = shop.timer(20)
    shop.wheel.passes(20 * MIN)
    shop.log.amend(entry, "called", f"phone-1 {entry}", why="rang here")
    assert shop.reminders.round() == 0


@pytest.mark.parametrize("ends", ["done", "withdrawn"])
def test_what_is_done_or_scratched_is_not_called(shop, ends):
    shop.subscribe()
    entry = shop.timer(20)
    shop.log.amend(entry, "done", "done") if ends == "done" else shop.log.withdraw(entry, "no")
    shop.wheel.passes(H)
    assert shop.reminders.round() == 0


def test_put_off_it_calls_again_at_the_new_time(shop):
    shop.subscribe()
    entry = shop.timer(20)
    shop.wheel.passes(20 * MIN)
    shop.reminders.round()
    later = shop.log.amend(entry, "due", str(Wall(shop.wheel.millis + 10 * MIN, -300)))
    shop.wheel.passes(9 * MIN)
    shop.reminders.round()
    shop.wheel.passes(MIN)
    shop.reminders.round()
    assert shop.box.calls() == [entry, later.id]


def test_the_lock_screen_shows_no_private_word_unless_allowed(shop):
    shop.subscribe("phone-1")
    shop.subscribe("phone-2", detail=True)
    fields = {"duration": parse_quantity("1 min"), "text": "ring the adviser", "part": "rudder post"}
    shop.log.record(Entry("clock", fields))
    shop.wheel.passes(MIN)
    shop.reminders.round()
    plain, open_ = (told for _, told, _ in shop.box.sent)
    assert (plain["title"], "adviser" in json.dumps(plain), "rudder" in json.dumps(plain)) == (
        "A plytally clock is due",
        False,
        False,
    )
    assert open_["title"] == "A timer is due: ring the adviser (rudder post)"


def test_a_phone_is_called_for_the_kinds_it_chose(shop):
    shop.subscribe(kinds=("cure",))
    shop.timer(1, "bag off")
    cure = shop.timer(1, "cure")
    shop.wheel.passes(MIN)
    shop.reminders.round()
    assert shop.box.calls() == [cure]


def test_quiet_hours_hold_a_call_until_morning_but_for_a_pressing_one(tmp_path):
    evening = MORNING // DAY * DAY + 27 * H  # 22:00 at UTC-5
    shop = Shop(tmp_path / "data", Wheel(evening))
    shop.subscribe(quiet=(21 * 60, 6 * 60 + 30))
    bag, cup = shop.timer(30, "bag off"), shop.timer(30, "pot life")
    shop.wheel.passes(H)
    shop.reminders.round()
    assert shop.box.calls() == [cup]
    shop.wheel.passes(7 * H + 29 * MIN)
    shop.reminders.round()
    assert shop.box.calls() == [cup]
    shop.wheel.passes(MIN)
    shop.reminders.round()
    assert shop.box.calls() == [cup, bag]
    assert shop.box.sent[-1][1]["body"] == "8 h 00 late"
    shop.log.close()


def test_a_phone_that_asks_later_is_not_called_for_what_was_due_before(shop):
    shop.timer(1)
    shop.wheel.passes(H)
    shop.subscribe()
    assert shop.reminders.round() == 0


def test_many_due_at_once_are_called_in_bounded_rounds_and_none_is_lost(shop):
    shop.subscribe()
    entries = {shop.timer(1) for _ in range(70)}
    shop.wheel.passes(MIN)
    assert shop.reminders.waiting() == 70
    assert shop.reminders.round() == 50
    shop.reminders.round()
    assert set(shop.box.calls()) == entries
