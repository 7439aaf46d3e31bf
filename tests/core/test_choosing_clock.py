"""A clock by large buttons: the sentence means the clock, the time and the part that were touched."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.choosing import KIND, choice, next_ask, sentence
from plytally.core.choosing_clock import CHOICES, STEPS
from plytally.core.clock_acts import with_due
from plytally.core.clock_kinds import kind_of
from plytally.core.hearing import typed
from plytally.core.next_time import Zone
from plytally.core.pocket import Pocket
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary, from_schedule
from plytally.core.wall import read_wall
from plytally.schedule_file import read_schedule_file

PRINT = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
WORDS = from_schedule(PRINT)
EARLY = read_wall("2026-11-03T00:00:30.000+01:00")
PLACES = [
    {"part": ""},
    {"part": "rudder post"},
    {"part": "elevator spar", "side": "right", "face": "aft", "feature": "", "station": "hinge 2"},
]


def meant(picked, words=WORDS):
    said = sentence({KIND: "clock", **picked}, words)
    return said, understand(typed(said), words)


def where(place):
    return {name: value for name, value in place.items() if value}


@settings(deadline=None)
@given(st.sampled_from(CHOICES), st.integers(1, 30 * 24 * 60), st.sampled_from(PLACES))
def test_how_long_means_just_that_long(clock, minutes, place):
    said, found = meant({"clock": clock, "when": f"{minutes} min", **place})
    fields = dict(found.fields)
    assert fields.pop("clock", "timer") == clock, said
    assert fields.pop("duration").si() == Decimal(60 * minutes), said
    assert fields == where(place), said
    assert {doubt.why for doubt in found.doubts} <= {"an unusual time for this clock"}, said


@settings(deadline=None)
@given(
    st.sampled_from(CHOICES),
    st.integers(0, 1),
    st.integers(0, 23),
    st.integers(0, 59),
    st.sampled_from(PLACES),
)
def test_until_when_means_that_minute_of_that_day_without_a_question(clock, day, hour, minute, place):
    if (day, hour, minute) == (0, 0, 0):
        return  # it has gone by
    until = f"{hour:02}:{minute:02} {('today', 'tomorrow')[day]}"
    said, found = meant({"clock": clock, "when": until, **place})
    entry = with_due(found.entry, EARLY, Zone(60))
    assert entry.fields["due"][8:16] == f"{3 + day:02}T{hour:02}:{minute:02}", said
    assert entry.doubts == (), said
    assert {name: entry.fields[name] for name in where(place)} == where(place), said


@pytest.mark.parametrize("clock", CHOICES)
def test_only_a_clock_that_knows_how_long_it_runs_can_be_left_without_a_time(clock):
    ask = next_ask({KIND: "clock", "clock": clock}, WORDS)
    assert (ask.field, ask.steps, ask.optional) == ("when", STEPS, kind_of(clock).knows_how_long)
    said, found = meant({"clock": clock, "when": "", "part": "rudder post"})
    if ask.optional:
        assert found.fields == {"clock": clock, "part": "rudder post"}
    else:
        assert said == ""


@pytest.mark.parametrize("when", ["0 min", "-5 min", "5", "soon", "25:00 today", "99999999 min", "5 h"])
def test_what_is_no_time_makes_no_sentence(when):
    assert sentence({KIND: "clock", "clock": "cure", "when": when}, WORDS) == ""


def test_the_buttons_say_what_the_clock_is_for():
    labels = [each["label"] for each in choice({KIND: "clock"}, WORDS)["ask"]["choices"]]
    assert labels == [
        "pot life",
        "cure",
        "bag off",
        "vacuum reading",
        "peel ply window",
        "next coat",
        "pump running",
        "plain timer",
    ]


def test_a_part_is_asked_last_the_one_at_work_first_and_may_be_left_out():
    picked = {KIND: "clock", "clock": "bag off", "when": "30 min"}
    ask = next_ask(picked, WORDS, ["rudder post"])
    assert (ask.field, ask.choices[0], ask.optional) == ("part", "rudder post", True)
    assert next_ask(picked, Vocabulary()) is None


def test_a_phone_without_a_print_starts_one_too():
    pocket = Pocket(None)
    told = pocket.choose({"kind": "clock", "clock": "timer", "when": "20 min"})
    assert told == {"ask": None, "sentence": "start a timer for 20 minutes"}
