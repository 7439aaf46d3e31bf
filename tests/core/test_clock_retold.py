"""A clock whose time is told anew, answered or corrected: it is due when that says, or it is asked."""

from pathlib import Path

import pytest
from support.devices import Device, doubt

from plytally.core.clocks import ClockBook
from plytally.core.desk import acts
from plytally.core.desk.asker import Asker
from plytally.core.desk.typed_value import TypedValueError
from plytally.core.merge import State
from plytally.core.pocket import Pocket
from plytally.core.vocabulary import from_schedule
from plytally.core.wall import read_wall
from plytally.schedule_file import read_schedule_file

PRINT = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
WORDS = from_schedule(PRINT)
NOTED = "2026-11-03T08:20"  # by the wall of support.devices, MORNING at UTC+1
SOON, LATE = "2026-11-03T08:25:00.000+01:00", "2026-11-03T22:00:00.000+01:00"
MORNING_OR_EVENING = "morning or evening was not said"
GONE_BY = "that time had gone by when this was told anew"


class Phone:
    """A pocket with one note in it that was not understood."""

    def __init__(self):
        self.device, self.pocket = Device("phone"), Pocket(PRINT.as_json())
        self.note = self.device.notes({"kind": "note", "fields": {}, "said": ""}, doubts=[doubt("text")])
        self.operations = [self.note]
        self.pocket.saw([(self.note.as_json(), None)])

    def keeps(self, reply):
        for act in reply["acts"]:
            made = self.device.does(act["act"], act["target"], act["body"])
            self.operations.append(made)
            self.pocket.saw([(made.as_json(), None)])
        return reply

    def tells(self, words, now=SOON):
        return self.keeps(self.pocket.retell(self.note.id, words, now))

    @property
    def logged(self):
        return State().with_operations(self.operations).entries[self.note.id]

    @property
    def due(self):
        (clock,) = self.pocket.clocks(SOON)
        return clock["due"]


def at(text):
    return read_wall(f"2026-11-{text}:00.000+01:00").millis


def test_told_anew_nine_without_morning_or_evening_is_asked_about():
    phone = Phone()
    reply = phone.tells("bag off at nine on the right elevator spar")
    (asked,) = phone.logged.entry.doubts
    assert (asked.field, asked.why) == ("due", MORNING_OR_EVENING)
    assert phone.due == at("03T09:00")
    assert "morning or evening" in reply["lines"][0]
    phone.keeps(phone.pocket.settle(phone.note.id, "due", "runner_up"))
    assert phone.logged.entry.doubts == ()
    assert phone.due == at("03T21:00")


def test_told_anew_in_the_evening_it_is_seen_from_when_it_was_said():
    phone = Phone()
    phone.tells("bag off at nine tonight", LATE)
    (asked,) = phone.logged.entry.doubts
    assert (asked.field, asked.why) == ("due", GONE_BY)
    assert read_wall(phone.logged.entry.fields["due"]).millis == at("03T21:00")


def test_told_anew_before_its_time_with_its_half_of_the_day_nothing_is_asked():
    phone = Phone()
    phone.tells("bag off at nine tonight")
    assert phone.logged.entry.doubts == ()
    assert phone.due == at("03T21:00")


def test_a_doubt_about_when_it_is_due_can_be_answered_with_another_time():
    phone = Phone()
    phone.tells("bag off at nine")
    phone.keeps(phone.pocket.settle(phone.note.id, "due", "10:30 pm"))
    assert phone.due == at("03T22:30")


@pytest.fixture
def five_or_nine():
    """A clock noted for five, with a doubt whether it was nine."""
    device = Device("phone")
    fields = {"clock": "bag off", "at": "17:00 today", "due": "2026-11-03T17:00:00.000+01:00"}
    entry = {"kind": "clock", "fields": fields, "said": "bag off at five tonight", "unused": []}
    return device, device.notes(entry, doubts=[doubt("at", "five", "nine")])


def due_with(*operations):
    book = ClockBook()
    book.take(State().with_operations(operations).entries.values())
    (clock,) = book.running(read_wall(SOON).millis)
    return clock.due


def test_another_time_of_day_given_by_an_earlier_version_counts_for_the_clock(five_or_nine):
    device, note = five_or_nine
    changed = device.resolves(note.id, "at", "21:00 today", [note.id])
    assert due_with(note) == at("03T17:00")
    assert due_with(note, changed) == at("03T21:00")
    assert due_with(note, device.resolves(note.id, "at", "17:00 today", [note.id])) == at("03T17:00")


def test_on_the_phone_the_runner_up_moves_the_clock_too(five_or_nine):
    device, note = five_or_nine
    pocket = Pocket(PRINT.as_json())
    pocket.saw([(note.as_json(), None)])
    for act in pocket.settle(note.id, "at", "runner_up")["acts"]:
        pocket.saw([(device.does(act["act"], act["target"], act["body"]).as_json(), None)])
    assert [clock["due"] for clock in pocket.clocks(SOON)] == [at("03T21:00")]


def done_at_the_desk(note, plan):
    logged = State().with_operations([note]).entries[note.id]
    asker = Asker("builder", note.id)
    desk = Device("desk", now=note.stamp.millis)
    return [desk.does(act.act, act.target, act.body) for act in plan(asker, logged)]


@pytest.mark.parametrize(
    ("field", "words"),
    [("at", "nine tonight"), ("at", "21:00 today"), ("due", "nine tonight"), ("due", "21:00 today")],
)
def test_at_the_desk_a_corrected_time_moves_the_clock(five_or_nine, field, words):
    _, note = five_or_nine
    made = done_at_the_desk(note, lambda asker, logged: acts.correct(asker, logged, field, words, WORDS))
    assert due_with(note, *made) == at("03T21:00")


@pytest.mark.parametrize("field", ["at", "due"])
def test_at_the_desk_what_is_no_time_is_refused(five_or_nine, field):
    logged = State().with_operations([five_or_nine[1]]).entries[five_or_nine[1].id]
    with pytest.raises(TypedValueError, match="time of day"):
        acts.correct(Asker("builder", logged.id), logged, field, "soon", WORDS)


def test_at_the_desk_the_other_half_of_the_day_is_one_answer():
    phone = Phone()
    phone.tells("bag off at nine")
    logged = phone.logged
    (act,) = acts.answer(Asker("builder", logged.id), logged, "due", "runner_up", "", WORDS, None)
    assert read_wall(act.body["value"]).millis == at("03T21:00")


def test_an_entry_older_than_all_that_is_shown_can_be_asked_for():
    phone = Phone()
    for _ in range(70):
        phone.pocket.saw([(phone.device.notes().as_json(), None)])
    assert phone.note.id not in {row["id"] for row in phone.pocket.board(SOON)["entries"]}
    assert phone.pocket.entry(phone.note.id)["id"] == phone.note.id
    assert phone.pocket.entry("0192d3a0-0000-7000-8000-000000000000") is None
