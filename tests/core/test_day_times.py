"""Times of day: what a builder says, when that is next, and what is doubted rather than guessed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.day_times import DayTime, day_time, read_day_time
from plytally.core.next_time import Zone, meant, next_time
from plytally.core.wall import Wall, read_wall

EST, EDT = -300, -240


def read(text):
    return read_day_time(tuple(text.split()), 0)


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("nine tonight", "21:00 today"),
        ("nine thirty tonight", "21:30 today"),
        ("half past seven in the morning", "07:30"),
        ("quarter to ten this evening", "21:45 today"),
        ("quarter past twelve in the afternoon", "12:15"),
        ("noon", "12:00"),
        ("midnight", "00:00"),
        ("nine", "9:00 am or pm"),
        ("nine o'clock", "9:00 am or pm"),
        ("nine oh five p m", "21:05"),
        ("twenty one hundred", "21:00"),
        ("oh seven hundred", "07:00"),
        ("21:30", "21:30"),
        ("09:30", "09:30"),
        ("9:30", "9:30 am or pm"),
        ("9pm", "21:00"),
        ("9:15am", "09:15"),
        ("seven tomorrow", "7:00 am or pm tomorrow"),
        ("seven tomorrow morning", "07:00 tomorrow"),
        ("twelve tonight", "00:00"),
        ("one tonight", "01:00"),
        ("twelve in the morning", "00:00"),
    ],
)
def test_a_time_of_day_is_read(said, means):
    assert read(said) == (means, len(said.split()))


@pytest.mark.parametrize("said", ["", "twenty five hundred", "noonish", "24:00", "12:61", "half to nine"])
def test_what_is_no_time_of_day_is_not_read(said):
    assert read(said) is None


def test_a_part_of_the_day_that_contradicts_the_hour_is_not_read():
    assert read("noon in the morning") is None


@given(st.integers(0, 23), st.integers(0, 59), st.booleans(), st.sampled_from([None, 0, 1]))
def test_the_text_of_a_time_of_day_gives_it_back(hour, minute, either, day):
    either = either and 1 <= hour <= 12
    assert day_time(str(DayTime(hour, minute, either, day))) == DayTime(hour, minute, either, day)


def at(text, now, changes=()):
    wall = read_wall(now)
    return next_time(text, wall, Zone(wall.offset_min, changes))


@pytest.mark.parametrize(
    ("text", "now", "due"),
    [
        ("21:00 today", "2026-11-25T18:00:00-05:00", "2026-11-25T21:00:00.000-05:00"),
        ("07:00", "2026-11-25T22:00:00-05:00", "2026-11-26T07:00:00.000-05:00"),
        ("07:00 tomorrow", "2026-11-25T22:00:00-05:00", "2026-11-26T07:00:00.000-05:00"),
        ("00:00", "2026-12-31T18:00:00-05:00", "2027-01-01T00:00:00.000-05:00"),
        ("12:00", "2026-11-25T11:59:59-05:00", "2026-11-25T12:00:00.000-05:00"),
    ],
)
def test_a_plain_time_comes_next_without_a_doubt(text, now, due):
    found = at(text, now)
    assert (str(found.wall), found.doubt) == (due, None)


def test_a_time_without_morning_or_evening_is_asked_about():
    found = at("9:00 am or pm", "2026-11-25T18:00:00-05:00")
    assert str(found.wall) == "2026-11-25T21:00:00.000-05:00"
    assert found.doubt.heard == "21:00 on 25 November 2026"
    assert found.doubt.runner_up == "09:00 on 26 November 2026"
    assert "morning or evening" in found.doubt.why


@pytest.mark.parametrize("text", ["21:00", "21:00 today"])
def test_a_time_that_has_just_gone_by_is_asked_about(text):
    found = at(text, "2026-11-25T22:30:00-05:00")
    assert str(found.wall) == "2026-11-26T21:00:00.000-05:00"
    assert found.doubt.runner_up == "21:00 on 25 November 2026"
    assert "gone by" in found.doubt.why


FALL_BACK = ((read_wall("2026-11-01T02:00:00-04:00").millis, EST),)
FORWARD = ((read_wall("2026-03-08T02:00:00-05:00").millis, EDT),)


def test_across_a_change_of_the_clocks_the_wall_shows_what_was_said():
    back = at("07:00 tomorrow", "2026-10-31T20:00:00-04:00", FALL_BACK)
    forth = at("07:00 tomorrow", "2026-03-07T20:00:00-05:00", FORWARD)
    assert (str(back.wall), back.doubt) == ("2026-11-01T07:00:00.000-05:00", None)
    assert (str(forth.wall), forth.doubt) == ("2026-03-08T07:00:00.000-04:00", None)


def test_a_time_that_comes_twice_that_night_is_asked_about_and_each_can_be_chosen():
    found = at("01:30", "2026-10-31T22:00:00-04:00", FALL_BACK)
    assert str(found.wall) == "2026-11-01T01:30:00.000-04:00"
    assert str(found.others[0]) == "2026-11-01T01:30:00.000-05:00"
    assert meant(found, found.doubt.heard) == found.wall
    assert meant(found, found.doubt.runner_up) == found.others[0]


def test_a_time_that_is_left_out_that_night_is_asked_about():
    found = at("02:30", "2026-03-07T22:00:00-05:00", FORWARD)
    assert str(found.wall) == "2026-03-08T03:30:00.000-04:00"
    assert "left out" in found.doubt.why


@given(
    st.integers(0, 10**12 // 60_000).map(lambda minutes: Wall(1_700_000_000_000 + minutes * 60_000, EST)),
    st.integers(0, 23),
    st.integers(0, 59),
    st.booleans(),
)
def test_the_next_time_is_ahead_within_a_day_and_shows_on_the_wall(now, hour, minute, either):
    either = either and 1 <= hour <= 12
    found = next_time(str(DayTime(hour, minute, either)), now, Zone(now.offset_min))
    assert 0 < found.wall.millis - now.millis <= 86_400_000
    assert str(found.wall)[11:16] in {f"{h % 24:02}:{minute:02}" for h in (hour, hour + 12)}
