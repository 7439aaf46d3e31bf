"""The language model of the free hearing: proper probabilities, read by the decoder as they were meant."""

import math

import pocketsphinx
import pytest

from plytally.speech.free_model import arpa

SENTENCES = ("laid two plies bid", "laid three plies uni", "bagged the spar")
GENERAL = {"the": 0.5, "dog": 0.3, "two": 0.2}


@pytest.fixture
def model(tmp_path):
    """The mixture as pocketsphinx's own reader has it."""
    file = tmp_path / "free.arpa"
    file.write_text(arpa(SENTENCES, GENERAL))
    logs = pocketsphinx.LogMath()
    read = pocketsphinx.NGramModel(pocketsphinx.Config(), logs, str(file))
    return lambda *words: logs.exp(read.prob(list(words)))


def words():
    return sorted({word for sentence in SENTENCES for word in sentence.split()} | set(GENERAL))


def test_single_words_sum_to_one(model):
    assert math.isclose(sum(model(word) for word in [*words(), "</s>"]), 1, abs_tol=0.01)


@pytest.mark.parametrize("first", ["laid", "two", "plies", "spar", "dog"])
def test_what_follows_a_word_sums_to_one(model, first):
    # pocketsphinx asks for a word given the words before it, the nearest first
    assert math.isclose(sum(model(word, first) for word in [*words(), "</s>"]), 1, abs_tol=0.01)


def test_what_a_builder_says_next_is_likelier_than_a_general_word(model):
    assert model("plies", "two") > 5 * model("dog", "two")


def test_general_words_are_left_possible_after_each_word(model):
    assert model("dog", "laid") > 0


def test_without_general_words_the_phrasebook_is_all_there_is(tmp_path):
    assert "dog" not in arpa(SENTENCES, {})
