"""How often something may be asked."""

import threading

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.shops import SetTicks

from plytally.web.buckets import Buckets, Rate

SLOW = Rate(3, 6)  # three at once, then one in ten seconds


def test_a_burst_is_granted_then_one_at_each_refill():
    ticks = SetTicks()
    buckets = Buckets(ticks)
    assert [buckets.take("a", SLOW) for _ in range(4)] == [0, 0, 0, 10]
    ticks.seconds += 9
    assert buckets.take("a", SLOW) == pytest.approx(1)
    ticks.seconds += 1
    assert buckets.take("a", SLOW) == 0


def test_asking_in_vain_costs_nothing():
    ticks = SetTicks()
    buckets = Buckets(ticks)
    for _ in range(100):
        buckets.take("a", SLOW)
    ticks.seconds += 10
    assert buckets.take("a", SLOW) == 0


def test_a_long_rest_never_saves_up_more_than_the_burst():
    ticks = SetTicks()
    buckets = Buckets(ticks)
    buckets.take("a", SLOW)
    ticks.seconds += 1e9
    assert [buckets.take("a", SLOW) > 0 for _ in range(4)] == [False, False, False, True]


def test_each_key_has_its_own():
    buckets = Buckets(SetTicks())
    assert [buckets.take("a", Rate(1, 1)), buckets.take("b", Rate(1, 1))] == [0, 0]
    assert buckets.take("a", Rate(1, 1)) == pytest.approx(60)


def test_memory_stays_bounded_and_the_longest_unused_goes_first():
    buckets = Buckets(SetTicks(), most=2)
    for key in ("old", "loud", "loud", "new"):
        buckets.take(key, Rate(1, 1))
    assert buckets.take("loud", Rate(1, 1)) > 0
    assert buckets.take("old", Rate(1, 1)) == 0


def test_threads_together_get_no_more_than_one_would():
    buckets, granted = Buckets(SetTicks()), []
    threads = [
        threading.Thread(
            target=lambda: granted.extend(buckets.take("a", Rate(50, 1)) == 0 for _ in range(40))
        )
        for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(granted) == 50


@given(st.integers(1, 20), st.integers(1, 600), st.lists(st.integers(0, 120), max_size=60))
def test_no_stretch_of_time_grants_more_than_the_burst_and_its_refill(burst, per_minute, rests):
    ticks = SetTicks()
    begun, buckets, granted = ticks.seconds, Buckets(ticks), 0
    for rest in rests:
        ticks.seconds += rest
        granted += buckets.take("a", Rate(burst, per_minute)) == 0
    assert granted <= burst + (ticks.seconds - begun) * per_minute / 60 + 1e-6
