"""The hybrid clock and its ids."""

import pytest

from plytally.core.clock import (
    MAX_COUNTER,
    MAX_MILLIS,
    ClockError,
    Stamp,
    ahead_ms,
    first,
    is_uuid7,
    observe,
    tick,
    uuid7,
    uuid7_millis,
)


def test_a_clock_that_runs_gives_wall_time():
    assert tick(Stamp(1000, 7, "shop"), 2000) == Stamp(2000, 0, "shop")


def test_a_clock_set_back_ten_years_still_gives_a_later_stamp():
    before = Stamp(1_800_000_000_000, 0, "shop")
    assert tick(before, 1_500_000_000_000) == Stamp(1_800_000_000_000, 1, "shop")


def test_a_full_counter_moves_the_clock_on_by_a_millisecond():
    assert tick(Stamp(1000, MAX_COUNTER, "shop"), 0) == Stamp(1001, 0, "shop")


def test_a_time_outside_what_an_id_can_hold_is_taken_at_its_limit():
    assert tick(first("shop"), 2**60) == Stamp(MAX_MILLIS, 0, "shop")
    assert tick(first("shop"), -5) == Stamp(0, 1, "shop")


def test_what_another_device_did_is_followed():
    assert observe(Stamp(1000, 0, "shop"), Stamp(1500, 4, "phone"), 1200) == Stamp(1500, 5, "shop")


def test_a_device_ten_years_ahead_is_not_followed():
    remote = Stamp(2_100_000_000_000, 0, "phone")
    assert observe(Stamp(1000, 0, "shop"), remote, 2000) == Stamp(2000, 0, "shop")


def test_a_stamp_is_ahead_only_beyond_the_allowed_drift():
    assert ahead_ms(Stamp(1600, 0, "phone"), 1000, max_drift_ms=600) == 0
    assert ahead_ms(Stamp(1601, 0, "phone"), 1000, max_drift_ms=600) == 601


def test_stamps_are_ordered_by_time_then_counter_then_device():
    stamps = [Stamp(2, 0, "a"), Stamp(1, 1, "a"), Stamp(1, 0, "b"), Stamp(1, 0, "a")]
    assert sorted(stamps) == list(reversed(stamps))


@pytest.mark.parametrize(
    ("stamp", "words"),
    [
        pytest.param((-1, 0, "shop"), "millis lie from 0", id="negative time"),
        pytest.param((MAX_MILLIS + 1, 0, "shop"), "millis lie from 0", id="time beyond the id"),
        pytest.param((1, MAX_COUNTER + 1, "shop"), "counter lies from 0", id="counter"),
        pytest.param((1, 0, "Shop"), "cannot name a device", id="capital"),
        pytest.param((1, 0, "café"), "cannot name a device", id="not ASCII"),
        pytest.param((1, 0, ""), "cannot name a device", id="empty"),
        pytest.param((1, 0, "a" * 65), "cannot name a device", id="too long"),
    ],
)
def test_a_stamp_that_cannot_be_is_refused(stamp, words):
    with pytest.raises(ClockError, match=words):
        Stamp(*stamp)


def test_an_id_gives_back_its_time():
    assert uuid7_millis(uuid7(1_762_196_712_040, 5)) == 1_762_196_712_040


def test_an_id_from_too_many_random_bits_is_refused():
    with pytest.raises(ClockError, match="74 random bits"):
        uuid7(0, 1 << 74)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("017F22E2-79B0-7CC3-98C4-DC0C0C07398F", id="upper case"),
        pytest.param("017f22e2-79b0-4cc3-98c4-dc0c0c07398f", id="version 4"),
        pytest.param("017f22e2-79b0-7cc3-18c4-dc0c0c07398f", id="other variant"),
        pytest.param("017f22e279b07cc398c4dc0c0c07398f", id="no hyphens"),
        pytest.param("017f22e2-79b0-7cc3-98c4-dc0c0c07398f\n", id="newline behind"),
        pytest.param(7, id="number"),
    ],
)
def test_what_is_not_our_spelling_of_a_uuid7_is_none(text):
    assert not is_uuid7(text)


def test_the_time_of_what_is_no_id_is_refused():
    with pytest.raises(ClockError, match="not a UUIDv7"):
        uuid7_millis("nonsense")
