"""The word automaton accepts just the sentences of the grammar, and is small."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.automaton import automaton, likelihoods
from plytally.core.grammar import Either, Maybe, Say, Seq, every_sentence
from plytally.core.jsgf import phrase
from plytally.core.listening import listening, sample
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

QUILLWING = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))

SAY = st.sampled_from("abc").map(Say)
TREES = st.recursive(
    SAY,
    lambda below: (
        st.lists(below, min_size=1, max_size=3).map(lambda parts: Seq(tuple(parts)))
        | st.lists(below, min_size=1, max_size=3).map(lambda options: Either(tuple(options)))
        | below.map(Maybe)
    ),
    max_leaves=8,
)


@settings(max_examples=200, deadline=None)
@given(TREES, st.lists(st.sampled_from("abc"), max_size=6))
def test_it_accepts_a_sentence_just_when_the_tree_has_it(tree, words):
    sentences = {tuple(said.split()) for said in every_sentence(tree)}
    made = automaton(tree)

    assert all(made.accepts(sentence) for sentence in sentences)
    assert made.accepts(tuple(words)) == (tuple(words) in sentences)


def test_phrases_with_the_same_ending_share_it():
    tree = phrase("(laid | bagged | trimmed) the (left | right) skin", {})

    assert automaton(tree).states == 5


@pytest.fixture(scope="module")
def made():
    return automaton(listening(QUILLWING))


def test_every_sentence_of_the_phrasebook_is_accepted(made):
    for said in sample(listening(QUILLWING), 2000):
        assert made.accepts(tuple(said.split())), said


def test_words_out_of_order_are_not_accepted(made):
    assert not made.accepts(("elevator", "right", "laid"))


def test_the_phrasebook_stays_small_enough_to_be_heard_quickly(made):
    assert made.states < 5_000
    assert len(made.arcs) < 30_000


def test_no_state_has_two_arcs_for_one_word(made):
    assert len({(arc.start, arc.word) for arc in made.arcs}) == len(made.arcs)


def test_likelihoods_of_a_state_sum_to_one_and_follow_the_counts():
    made = automaton(phrase("(left | right) [skin]", {}))

    found = likelihoods(made, ["left skin", "left skin", "right"])

    by_word = {arc.word: found.arcs[at] for at, arc in enumerate(made.arcs)}
    assert by_word["left"] == pytest.approx(3 / 5)
    for state in range(made.states):
        leaving = [found.arcs[at] for at, arc in enumerate(made.arcs) if arc.start == state]
        assert sum(leaving) + found.ends.get(state, 0) == pytest.approx(1)
