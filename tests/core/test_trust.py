"""How often what was heard is right: laws that any fit must keep."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.trust import ANYBODY, LEARNT, SORTS, trust

sorts, margins, misfits = st.sampled_from(SORTS), st.floats(-1e6, 1e6), st.floats(-5, 10)
rules = st.sampled_from([ANYBODY, LEARNT])
each_rule = pytest.mark.parametrize("rule", [ANYBODY, LEARNT], ids=["anybody", "learnt"])


@given(sorts, margins, st.floats(0, 50), misfits, rules)
def test_the_further_behind_a_rival_the_more_is_trusted(sort, margin, more, misfit, rule):
    assert trust(sort, margin + more, misfit, rule) >= trust(sort, margin, misfit, rule)


@given(sorts, margins, misfits, st.floats(0, 5), rules)
def test_the_worse_the_words_fit_the_less_is_trusted(sort, margin, misfit, worse, rule):
    assert trust(sort, margin, misfit + worse, rule) <= trust(sort, margin, misfit, rule)


@given(sorts, margins, misfits, rules)
def test_trust_is_a_probability(sort, margin, misfit, rule):
    assert 0 <= trust(sort, margin, misfit, rule) <= 1


@given(margins, misfits, rules)
def test_numbers_that_sound_alike_are_trusted_less(margin, misfit, rule):
    assert trust("alike", margin, misfit, rule) <= trust("number", margin, misfit, rule)


@each_rule
@pytest.mark.parametrize("sort", SORTS)
def test_a_tie_is_asked_about_whatever_speaks_for_what_was_heard(sort, rule):
    assert trust(sort, 0.0, 0.0, rule) < rule.ask_anyway[sort]


@each_rule
@pytest.mark.parametrize("sort", SORTS)
def test_the_shop_can_stop_a_question_only_above_a_bound(sort, rule):
    assert rule.ask_anyway[sort] < rule.ask[sort]
    assert set(rule.weights) == set(rule.ask) == set(rule.ask_anyway) == set(SORTS)
