"""Ids, times and canonical bytes against the standards that define them."""

import uuid
from datetime import UTC, datetime

import pytest

from plytally.core.clock import uuid7, uuid7_millis
from plytally.core.wall import read_wall

EXAMPLE = "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"
RAND_A, RAND_B = 0xCC3, 0x18C4DC0C0C07398F


@pytest.mark.parametrize("published", [pytest.param(EXAMPLE, id="RFC 9562 A.6")])
def test_the_published_uuid7_is_made_from_its_parts(published):
    assert uuid7(0x017F22E279B0, RAND_A << 62 | RAND_B) == published.lower()


@pytest.mark.parametrize("published", [pytest.param(EXAMPLE, id="RFC 9562 A.6: 2022-02-22T19:22:22Z")])
def test_the_published_uuid7_gives_back_its_time(published):
    at = datetime.fromtimestamp(uuid7_millis(published.lower()) / 1000, UTC)
    assert at == datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC)


def test_the_standard_library_reads_our_ids_as_version_7():
    ours = uuid.UUID(uuid7(1_762_196_712_040, 2**74 - 1))
    assert (ours.version, ours.variant) == (7, uuid.RFC_4122)


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        pytest.param("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.520+00:00", id="RFC 3339 5.8, 1st"),
        pytest.param("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57+00:00", id="RFC 3339 5.8, 2nd"),
        pytest.param("1990-12-31T23:59:60Z", "1991-01-01T00:00:00+00:00", id="RFC 3339 5.8, leap second"),
        pytest.param("1990-12-31T15:59:60-08:00", "1991-01-01T00:00:00+00:00", id="RFC 3339 5.8, leap, -08"),
        pytest.param(
            "1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.870+00:00", id="RFC 3339 5.8, +00:20"
        ),
    ],
)
def test_the_published_times_are_read(text, utc):
    assert read_wall(text).millis == round(datetime.fromisoformat(utc).timestamp() * 1000)
