"""Calls are made once for each device, whatever the process, the wall clock and the push service do."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from support.reminders import DAY, MIN, H, Shop, Wheel

from plytally.core.entry import Entry
from plytally.core.wall import Wall
from plytally.remind.record import CallRecord
from plytally.remind.sender import Answer
from plytally.store.backup import backup


def test_a_gone_subscription_is_removed_its_choice_stays_and_a_renewed_one_is_called(shop):
    shop.subscribe(kinds=("timer", "cure"))
    shop.box.answers = [Answer(410)]
    entry = shop.timer(1)
    shop.wheel.passes(MIN)
    shop.reminders.round()
    row = shop.subscriptions.of("phone-1")
    assert (row.endpoint, row.kinds) == ("", ("timer", "cure"))
    shop.wheel.passes(MIN)
    assert shop.reminders.round() == 0
    shop.subscribe(kinds=("timer", "cure"))
    shop.reminders.round()
    assert shop.box.calls() == [entry]


@pytest.mark.parametrize("failing", [Answer(503), Answer(429, 120.0), Answer(0), OSError("no network")])
def test_a_failing_service_is_left_alone_for_a_while_and_then_tried_until_it_takes_the_call(shop, failing):
    shop.subscribe()
    shop.box.answers = [failing, failing]
    entry = shop.timer(1)
    shop.wheel.passes(MIN)
    tried = [shop.reminders.round()]
    for _ in range(600):
        shop.wheel.passes(1000)
        tried.append(shop.reminders.round())
    assert shop.box.calls() == [entry]
    assert sum(tried) == 3
    assert tried[1:10] == [0] * 9


def test_a_refused_key_is_an_alarm_until_a_call_goes_through(shop):
    shop.subscribe()
    shop.box.answers = [Answer(403)]
    shop.timer(1)
    shop.wheel.passes(MIN)
    shop.reminders.round()
    assert "key" in shop.subscriptions.alarms()["phone-1"]
    shop.wheel.passes(2 * H)
    shop.reminders.round()
    assert shop.subscriptions.alarms() == {}


def test_one_phones_trouble_does_not_hold_up_another(shop):
    shop.subscribe("phone-1")
    shop.subscribe("phone-2")
    shop.box.answers = [Answer(0)]
    entry = shop.timer(1)
    shop.wheel.passes(MIN)
    shop.reminders.round()
    assert (shop.box.calls("phone-1"), shop.box.calls("phone-2")) == ([], [entry])


def test_killed_before_it_knew_the_outcome_it_sends_again_under_the_same_name_and_says_so(shop):
    shop.subscribe()
    entry = shop.timer(1)
    shop.wheel.passes(MIN)
    CallRecord(shop.folder).begin("phone-1", entry, entry, shop.wheel.millis, shop.wheel.millis)
    shop.restart()
    shop.reminders.round()
    assert [(told["call"], told["again"]) for _, told, _ in shop.box.sent] == [(entry, True)]


def test_killed_between_the_outcome_and_the_log_it_notes_it_and_does_not_send_again(shop):
    shop.subscribe()
    entry = shop.timer(1)
    shop.wheel.passes(MIN)
    record = CallRecord(shop.folder)
    record.begin("phone-1", entry, entry, shop.wheel.millis, shop.wheel.millis)
    record.end("sent", "phone-1", entry, shop.wheel.millis, 201)
    shop.restart()
    assert shop.reminders.round() == 0
    assert shop.called(entry) == [("phone-1", "called by Web Push")]


def test_a_wall_clock_that_jumps_back_over_a_call_does_not_double_it(shop):
    shop.subscribe()
    entry = shop.timer(20)
    shop.wheel.passes(20 * MIN)
    shop.reminders.round()
    shop.wheel.millis -= 2 * H
    for _ in range(50):
        shop.wheel.passes(5 * MIN)
        shop.reminders.round()
    assert shop.box.calls() == [entry]


def test_a_wall_clock_that_jumps_forward_over_a_call_does_not_lose_it(shop):
    shop.subscribe()
    entry = shop.timer(20)
    shop.wheel.millis += 2 * H
    shop.reminders.round()
    assert shop.box.calls() == [entry]


def test_the_record_survives_a_torn_last_line(shop):
    shop.subscribe()
    entry = shop.timer(1)
    shop.wheel.passes(MIN)
    shop.reminders.round()
    with (shop.folder / "calls.jsonl").open("ab") as lines:
        lines.write(b'\n{"what":"begun","dev')
    shop.restart()
    assert shop.reminders.round() == 0
    assert CallRecord(shop.folder).of("phone-1", entry).is_over


def test_neither_record_nor_key_go_into_a_backup(shop, tmp_path):
    shop.subscribe()
    shop.timer(1)
    shop.wheel.passes(MIN)
    shop.reminders.round()
    backup(shop.folder, tmp_path / "copy")
    assert not Path(tmp_path / "copy/calls.jsonl").exists()


NEW_YORK = (  # 2026-11-01, 2027-03-14 and 2027-11-07, as the zone's rules had it: from memory
    (1_793_512_800_000, -300),
    (1_805_007_600_000, -240),
    (1_825_567_200_000, -300),
)
STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("timer"), st.integers(1, 3 * 24 * 60)),
        st.tuples(st.just("wait"), st.integers(1, 12 * 60)),
        st.tuples(st.just("jump"), st.integers(-180, 180)),
        st.tuples(st.just("restart"), st.just(0)),
        st.tuples(st.just("fails"), st.integers(1, 3)),
    ),
    min_size=5,
    max_size=30,
)


def does(shop, what, much, entries):
    if what == "timer":
        entries.append(shop.timer(much))
    elif what == "jump":
        shop.wheel.millis += much * MIN
    elif what == "restart":
        shop.restart()
    elif what == "fails":
        shop.box.answers += [Answer(503)] * much
    else:
        for _ in range(4):
            shop.wheel.passes(much * MIN // 4)
            shop.reminders.round()


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(steps=STEPS)
def test_whatever_happens_each_clock_calls_each_phone_just_once(tmp_path_factory, steps):
    shop = Shop(tmp_path_factory.mktemp("calls") / "data")
    shop.subscribe("phone-1", since=0)
    shop.subscribe("phone-2", since=0)
    entries = []
    for what, much in steps:
        does(shop, what, much, entries)
    for _ in range(45):
        shop.wheel.passes(2 * H)
        shop.reminders.round()
    for device in ("phone-1", "phone-2"):
        assert sorted(shop.box.calls(device)) == sorted(entries)
    shop.log.close()


def test_through_400_days_with_both_changes_of_the_clocks_every_call_comes_once_and_in_time(tmp_path):
    """A bag comes off at seven each morning by the shop's wall, and a timer runs over each midnight."""
    begin = 1_793_512_800_000 - 10 * DAY
    shop = Shop(tmp_path / "data", Wheel(begin // DAY * DAY + 12 * H, ((0, -240), *NEW_YORK)))
    shop.subscribe()
    expected, local_hours = {}, set()
    for day in range(400):
        zone_now = Wall(shop.wheel.millis, shop.wheel.offset_min())
        seven = next_seven(zone_now, shop.wheel)
        entry = shop.log.record(Entry("clock", {"clock": "bag off", "at": "07:00", "due": str(seven)})).id
        expected[entry] = seven.millis
        if day % 7 == 0:
            expected[shop.timer(17 * 60)] = shop.wheel.millis + 17 * H
        start = shop.wheel.millis
        for hour in range(0, 24, 2):
            shop.wheel.millis, shop.wheel.ticks = start + (hour + 2) * H, shop.wheel.ticks + 7200
            shop.reminders.round()
    for told in (told for _, told, _ in shop.box.sent):
        assert 0 <= told["sent"] - expected[told["call"]] <= 2 * H
    assert sorted(shop.box.calls()) == sorted(expected)
    for entry, due in expected.items():
        if "at" in shop.log.entry(entry).entry.fields:
            local_hours.add(str(Wall(due, offset_at(shop.wheel, due)))[11:16])
    assert local_hours == {"07:00"}
    shop.log.close()


def offset_at(wheel, millis):
    return [offset for begins, offset in wheel.changes if begins <= millis][-1]


def next_seven(now, wheel):
    from plytally.core.next_time import Zone, next_time

    coming = tuple((begins, offset) for begins, offset in wheel.changes if begins > now.millis)
    return next_time("07:00", now, Zone(now.offset_min, coming)).wall
