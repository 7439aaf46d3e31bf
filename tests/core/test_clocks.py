"""Clocks worked out from the log: what runs, until when, who was called, what ends it, in any order."""

import random

import pytest
from support.devices import Device, called_act

from plytally.core.clock_acts import snooze, stop
from plytally.core.clock_lines import clock_told
from plytally.core.clocks import ClockBook
from plytally.core.merge import State
from plytally.core.wall import Wall

MIN, H = 60_000, 3_600_000
F90, F72 = ({"amount": str(f), "unit": "degF"} for f in (90, 72))


def entry(kind, **fields):
    return {"kind": kind, "fields": fields, "said": "", "unused": []}


def time(amount, unit="min"):
    return {"amount": str(amount), "unit": unit}


TIMER = entry("clock", clock="pot life", duration=time(20))
CUP = entry("mixed", mass={"amount": "80", "unit": "g"})
SPAR = {"side": "right", "part": "elevator spar"}


def book(*operations):
    made = ClockBook()
    made.take(State().with_operations(operations).entries.values())
    return made


def lone(now, *operations):
    (clock,) = book(*operations).running(now)
    return clock


def does(device, act):
    return device.does(act["act"], act["target"], act["body"])


def test_a_timer_is_due_when_its_time_has_passed():
    note = Device().notes(TIMER)
    clock = lone(note.stamp.millis, note)
    assert clock.due - note.stamp.millis == 20 * MIN
    assert not clock.is_due(clock.due - 1)
    assert clock.is_due(clock.due)


def test_a_clock_without_a_time_runs_and_says_so():
    note = Device().notes(entry("clock", clock="bag off"))
    assert "until when was not said" in clock_told(lone(note.stamp.millis, note), note.stamp.millis)


def test_a_cup_runs_its_pot_life_by_itself_from_the_shop_air_noted_last():
    device = Device()
    warm = device.notes(entry("shop_air", temperature=F90))
    cup = device.notes(CUP)
    clock = lone(cup.stamp.millis, warm, cup)
    assert (clock.kind.name, clock.due - cup.stamp.millis) == ("pot life", 10 * MIN)
    assert "90 °F" in clock.why


def test_without_shop_air_the_usual_room_is_taken_and_said():
    cup = Device().notes(CUP)
    clock = lone(cup.stamp.millis, cup)
    assert clock.due - cup.stamp.millis == 20 * MIN
    assert "no shop air was noted" in clock.why


def test_shop_air_noted_meanwhile_shortens_what_is_left():
    device = Device()
    cool, cup = device.notes(entry("shop_air", temperature=F72)), device.notes(CUP)
    warm = device.does(
        "note",
        None,
        {"entry": entry("shop_air", temperature=F90), "doubts": [], "hearing": None, "author": "builder"},
        after=5 * MIN,
    )
    before, after = lone(cup.stamp.millis, cool, cup), lone(warm.stamp.millis, cool, cup, warm)
    assert warm.stamp.millis < after.due < before.due
    assert after.call == before.call


def test_a_temperature_in_doubt_counts_only_where_it_makes_the_time_shorter():
    device = Device()
    doubt = {"field": "temperature", "heard": "ninety", "runner_up": "nineteen", "why": "alike"}
    hot = device.notes(entry("shop_air", temperature=F90), doubts=[doubt])
    cup = device.notes(CUP)
    cold_device = Device("other")
    cold = cold_device.notes(entry("shop_air", temperature={"amount": "50", "unit": "degF"}), doubts=[doubt])
    cup_there = cold_device.notes(CUP)
    assert lone(cup.stamp.millis, hot, cup).due - cup.stamp.millis == 10 * MIN
    assert lone(cup_there.stamp.millis, cold, cup_there).due - cup_there.stamp.millis == 20 * MIN


def test_a_scratched_cup_runs_nothing():
    device = Device()
    cup = device.notes(CUP)
    assert book(cup, device.withdraws(cup.id)).running(cup.stamp.millis) == ()


def test_a_cup_that_nobody_looked_at_for_a_day_is_left_alone_and_a_timer_is_not():
    cup, timer = Device().notes(CUP), Device("other").notes(entry("clock", duration=time(20)))
    later = cup.stamp.millis + 30 * H
    assert [clock.id for clock in book(cup, timer).running(later)] == [timer.id]


def test_done_from_two_phones_at_once_is_no_conflict():
    one, other = Device("one"), Device("other")
    note = one.notes(TIMER)
    act = stop(book(note), {}, "done", Wall(note.stamp.millis, 0)).acts[0]
    state = State().with_operations([note, does(one, act), does(other, act)])
    assert state.entries[note.id].conflicts == ()
    assert book(note, does(one, act)).running(note.stamp.millis) == ()


def test_put_off_at_once_by_two_phones_both_times_are_kept_and_the_earlier_calls():
    one, other = Device("one"), Device("other")
    note = one.notes(TIMER)
    now = Wall(note.stamp.millis + 21 * MIN, 0)
    soon = snooze(book(note), {}, "snooze", now).acts[0]
    later = snooze(book(note), {}, "snooze", Wall(now.millis + 5 * MIN, 0)).acts[0]
    state = State().with_operations([note, does(one, later), does(other, soon)])
    made = ClockBook()
    made.take(state.entries.values())
    assert state.entries[note.id].conflicts == ("due",)
    assert made.running(now.millis)[0].due == now.millis + 10 * MIN


def test_every_call_is_kept_and_none_disagrees_with_another():
    one, other = Device("one"), Device("other")
    note = one.notes(TIMER)
    clock = lone(note.stamp.millis, note)
    acts = [does(device, called_act(clock, device.name, "rang here")) for device in (one, other)]
    state = State().with_operations([note, *acts])
    assert state.entries[note.id].conflicts == ()
    assert state.entries[note.id].entry.doubts == ()
    called = lone(note.stamp.millis, note, *acts)
    assert {each.device for each in called.called} == {"one", "other"}
    assert called.called_on("one")
    assert not called.called_on("third")


def test_a_clock_that_was_put_off_calls_again_and_one_that_was_confirmed_does_not():
    device = Device()
    note = device.notes(TIMER)
    first = lone(note.stamp.millis, note)
    rang = does(device, called_act(first, "phone", ""))
    put_off = does(device, snooze(book(note), {}, "later", Wall(first.due, 0)).acts[0])
    confirmed = device.resolves(note.id, "duration", time(20), [note.id])
    assert not lone(first.due, note, rang, put_off).called_on("phone")
    assert lone(first.due, note, rang, confirmed).called_on("phone")


def test_a_time_that_is_corrected_calls_for_the_new_one():
    device = Device()
    note = device.notes(TIMER)
    rang = does(device, called_act(lone(note.stamp.millis, note), "phone", ""))
    longer = device.amends(note.id, "duration", time(30), [note.id])
    clock = lone(note.stamp.millis, note, rang, longer)
    assert clock.due - note.stamp.millis == 30 * MIN
    assert not clock.called_on("phone")


@pytest.mark.parametrize(
    ("clock", "ends"),
    [
        ("bag off", entry("bag_off", **SPAR)),
        ("peel ply", entry("peeled", **SPAR, face="aft")),
        ("pump", entry("bag_off", **SPAR)),
        ("cure", entry("cured", **SPAR)),
    ],
)
def test_noting_what_the_clock_is_for_ends_it(clock, ends):
    device = Device()
    note = device.notes(entry("clock", clock=clock, duration=time(9, "h"), **SPAR))
    other = device.notes({**ends, "fields": {**ends["fields"], "side": "left"}})
    here = device.notes(ends)
    assert len(book(note, other).running(note.stamp.millis)) == 1
    assert book(note, here).running(note.stamp.millis) == ()


def test_a_vacuum_reading_ends_its_clock_only_when_it_is_nearly_due():
    device = Device()
    note = device.notes(entry("clock", clock="vacuum", duration=time(30)))
    gauge = {"gauge": {"amount": "22", "unit": "inHg"}}
    early = device.notes(entry("vacuum", **gauge))
    taken = device.does(
        "note",
        None,
        {"entry": entry("vacuum", **gauge), "doubts": [], "hearing": None, "author": "builder"},
        after=27 * MIN,
    )
    assert len(book(note, early).running(taken.stamp.millis)) == 1
    assert book(note, early, taken).running(taken.stamp.millis) == ()


def test_a_bag_asks_after_its_pump_until_it_is_off():
    device = Device()
    bag = device.notes(entry("bagged", **SPAR))
    clock = lone(bag.stamp.millis, bag)
    assert (clock.kind.name, clock.due - bag.stamp.millis) == ("pump", 24 * H)
    assert book(bag, device.notes(entry("bag_off", **SPAR))).running(bag.stamp.millis) == ()


def test_stop_the_timer_asks_which_where_several_run():
    device = Device()
    one, two = device.notes(TIMER), device.notes(entry("clock", clock="cure", duration=time(9, "h")))
    now = Wall(two.stamp.millis, 0)
    asked = stop(book(one, two), {}, "stop the timer", now)
    assert asked.acts == ()
    assert "which clock?" in asked.lines[0]
    named = stop(book(one, two), {"clock": "cure"}, "stop the cure timer", now)
    assert named.target == two.id


def test_the_one_that_is_due_is_the_one_that_is_meant():
    device = Device()
    one, two = device.notes(TIMER), device.notes(entry("clock", clock="cure", duration=time(9, "h")))
    assert stop(book(one, two), {}, "timer off", Wall(one.stamp.millis + 21 * MIN, 0)).target == one.id


def test_clocks_are_the_same_in_whatever_order_and_however_often_operations_come():
    one, other = Device("one"), Device("other")
    note = one.notes(TIMER)
    clock = lone(note.stamp.millis, note)
    now = Wall(clock.due, 0)
    operations = [
        note,
        one.notes(entry("shop_air", temperature=F90)),
        other.notes(CUP),
        does(one, called_act(clock, "one", "")),
        does(other, called_act(clock, "other", "")),
        does(other, snooze(book(note), {}, "later", now).acts[0]),
        does(one, snooze(book(note), {}, "later", Wall(now.millis + MIN, 0)).acts[0]),
    ]
    expected = book(*operations).running(now.millis)
    for seed in range(20):
        shuffled = operations * 2
        random.Random(seed).shuffle(shuffled)
        assert book(*shuffled).running(now.millis) == expected


def test_a_clock_lapses_a_week_past_its_time_and_a_wall_clock_set_back_wakes_it():
    note = Device().notes(entry("clock", duration=time(20)))
    made = book(note)
    due = made.running(note.stamp.millis)[0].due
    assert made.running(due + 8 * 24 * H) == ()
    assert len(made.running(due + 24 * H)) == 1
