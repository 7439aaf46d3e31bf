"""Wall time as written."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.wall import Wall, WallError, read_wall


def test_a_wall_time_keeps_the_offset_it_was_written_with():
    assert read_wall("2026-11-03T19:05:12.040+01:00").offset_min == 60


def test_digits_below_a_millisecond_are_cut_off():
    assert read_wall("1970-01-01T00:00:00.9999Z") == Wall(999, 0)


# hypothesis wants bounds without a zone, and gives the zone itself
FIRST = datetime(1, 1, 3)  # noqa: DTZ001
LAST = datetime(9999, 12, 29)  # noqa: DTZ001


@given(
    st.datetimes(min_value=FIRST, max_value=LAST),
    st.integers(min_value=-18 * 60, max_value=18 * 60),
)
def test_writing_and_reading_agree_with_the_standard_library(at, offset):
    at = at.replace(microsecond=at.microsecond // 1000 * 1000, tzinfo=timezone(timedelta(minutes=offset)))
    written = Wall((at - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(milliseconds=1), offset)
    assert str(written) == at.isoformat(timespec="milliseconds")
    assert read_wall(str(written)) == written


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param("yesterday", "wanted RFC 3339", id="words"),
        pytest.param("2026-11-03T19:05:12", "wanted RFC 3339", id="no offset"),
        pytest.param("2026-11-03 19:05:12Z", "wanted RFC 3339", id="a blank for the T"),
        pytest.param("2026-02-30T19:05:12Z", "day", id="30 February"),
        pytest.param("0000-01-01T00:00:00Z", "year", id="year 0"),
        pytest.param("2026-11-03T24:05:12Z", "there is no 24:05:12", id="hour 24"),
        pytest.param("2026-11-03T19:05:60Z", "leap second", id="leap second in the evening"),
        pytest.param("2026-11-03T19:05:12+19:00", "offset", id="19 hours ahead"),
        pytest.param("2026-11-03T19:05:12+01:60", "offset", id="60 minutes"),
        pytest.param("２026-11-03T19:05:12Z", "wanted RFC 3339", id="a wide digit"),
    ],
)
def test_text_that_is_no_time_is_refused(text, words):
    with pytest.raises(WallError, match=words):
        read_wall(text)


def test_a_time_beyond_the_calendar_cannot_be_written():
    with pytest.raises(WallError, match="0001 to 9999"):
        str(Wall(10**18, 0))
