"""How often what was heard is right: laws that any fit must keep."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.trust import ASK_ANYWAY_BELOW, ASK_BELOW, SORTS, WEIGHTS, trust

sorts, margins, misfits = st.sampled_from(SORTS), st.floats(-1e6, 1e6), st.floats(-5, 10)


@given(sorts, margins, st.floats(0, 50), misfits)
def test_the_further_behind_a_rival_the_more_is_trusted(sort, margin, more, misfit):
    assert trust(sort, margin + more, misfit) >= trust(sort, margin, misfit)


@given(sorts, margins, misfits, st.floats(0, 5))
def test_the_worse_the_words_fit_the_less_is_trusted(sort, margin, misfit, worse):
    assert trust(sort, margin, misfit + worse) <= trust(sort, margin, misfit)


@given(sorts, margins, misfits)
def test_trust_is_a_probability(sort, margin, misfit):
    assert 0 <= trust(sort, margin, misfit) <= 1


@given(margins, misfits)
def test_numbers_that_sound_alike_are_trusted_less(margin, misfit):
    assert trust("alike", margin, misfit) <= trust("number", margin, misfit)


@pytest.mark.parametrize("sort", SORTS)
def test_a_tie_is_asked_about_whatever_speaks_for_what_was_heard(sort):
    assert trust(sort, 0.0) < ASK_ANYWAY_BELOW[sort]


@pytest.mark.parametrize("sort", SORTS)
def test_the_shop_can_stop_a_question_only_above_a_bound(sort):
    assert ASK_ANYWAY_BELOW[sort] < ASK_BELOW[sort]
    assert set(WEIGHTS) == set(ASK_BELOW) == set(ASK_ANYWAY_BELOW)
