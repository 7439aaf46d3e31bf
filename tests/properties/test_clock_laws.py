"""Stamps stay in order and within bounds, however the wall clocks jump."""

from hypothesis import given
from hypothesis import strategies as st
from support.devices import MORNING

from plytally.core.clock import MAX_COUNTER, MAX_MILLIS, Stamp, first, observe, tick, uuid7, uuid7_millis

DECADE_MS = 10 * 365 * 86_400_000
DRIFT_MS = 60_000
WALLS = st.integers(MORNING - DECADE_MS, MORNING + DECADE_MS)
STEPS = st.lists(st.tuples(st.sampled_from(["tick", "send"]), st.integers(0, 2), st.integers(0, 2), WALLS))


@given(st.lists(WALLS, min_size=1))
def test_a_devices_stamps_only_grow(walls):
    stamps = [first("phone")]
    for wall in walls:
        stamps.append(tick(stamps[-1], wall))
    assert stamps == sorted(set(stamps))


@given(STEPS)
def test_no_two_stamps_are_the_same_and_each_follows_its_devices_last(steps):
    last = [first(name) for name in ("phone", "shop", "tablet")]
    given_out = []
    for act, one, other, wall in steps:
        before = last[one]
        last[one] = tick(before, wall) if act == "tick" else observe(before, last[other], wall, DRIFT_MS)
        assert last[one] > before
        given_out.append(last[one])
    assert len(set(given_out)) == len(given_out)


@given(WALLS, WALLS, WALLS, st.integers(0, MAX_COUNTER))
def test_another_devices_stamp_moves_a_clock_no_further_than_the_allowed_drift(own, remote, now, counter):
    after = observe(Stamp(own, 0, "shop"), Stamp(remote, counter, "phone"), now, DRIFT_MS)
    assert after.millis <= max(own, now + DRIFT_MS) + 1


@given(WALLS, st.integers(-DECADE_MS, DRIFT_MS), WALLS)
def test_what_is_done_after_seeing_a_sane_stamp_comes_after_it(own, ahead, now):
    remote = Stamp(now + ahead, 5, "phone")
    assert observe(Stamp(own, 0, "shop"), remote, now, DRIFT_MS) > remote


@given(st.integers(0, MAX_MILLIS), st.integers(0, 2**74 - 1))
def test_ids_keep_their_time_and_sort_by_it(millis, bits):
    made = uuid7(millis, bits)
    assert uuid7_millis(made) == millis
    assert millis == MAX_MILLIS or made < uuid7(millis + 1, 0)
