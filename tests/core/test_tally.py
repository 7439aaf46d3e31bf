"""Which of a device's numbers are here."""

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from plytally.core.tally import Tally


def tally(*numbers):
    found = Tally()
    for number in numbers:
        found = found.with_number(number)
    return found


@given(st.lists(st.integers(1, 30)))
def test_the_tally_says_what_a_plain_count_says(numbers):
    counted, found = Counter(numbers), tally(*numbers)
    missing = {n for first, last in found.gaps for n in range(first, last + 1)}
    assert missing == set(range(1, max(numbers, default=0) + 1)) - set(numbers)
    assert found.twice == tuple(sorted(n for n, times in counted.items() if times > 1))
    assert found.last == max(numbers, default=0)


@given(st.lists(st.integers(1, 30)), st.randoms(use_true_random=False))
def test_the_order_of_arrival_does_not_matter(numbers, chance):
    shuffled = numbers.copy()
    chance.shuffle(shuffled)
    assert tally(*shuffled) == tally(*numbers)


def test_numbers_in_order_make_one_run():
    assert tally(1, 2, 3).as_json() == {"runs": [[1, 3]], "twice": []}
