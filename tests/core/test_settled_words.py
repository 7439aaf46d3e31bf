"""What must have been said, after a correction; and other ways in which a word may be pronounced."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.accents import PHONES
from plytally.core.hearing import typed
from plytally.core.other_ways import MOST, other_ways
from plytally.core.settled_words import changed_words, said_after_all
from plytally.core.understand import understand
from plytally.core.vocabulary import SOUNDS, Vocabulary, VocabularyError, from_schedule, own_sounds
from plytally.schedule_file import read_schedule_file

HEARD = "laid two plies of bid on the left trim tab"


@pytest.fixture(scope="module")
def quillwing():
    return from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))


def entry(text, vocabulary):
    return understand(typed(text), vocabulary).entry


@pytest.mark.parametrize(
    "meant",
    [HEARD.replace("two", "ten"), HEARD.replace("bid", "uni"), HEARD.replace("trim tab", "elevator spar")],
)
def test_one_field_settled_otherwise_tells_what_was_said(meant, quillwing):
    assert meant in said_after_all(HEARD, entry(meant, quillwing), quillwing)


def test_every_sentence_told_makes_the_settled_entry(quillwing):
    settled = entry(HEARD.replace("trim tab", "rudder skin"), quillwing)
    told = said_after_all(HEARD, settled, quillwing)
    assert told
    assert all(entry(text, quillwing).fields == settled.fields for text in told)


def test_what_was_heard_rightly_tells_nothing(quillwing):
    assert said_after_all(HEARD, entry(HEARD, quillwing), quillwing) == ()


def test_what_is_no_sentence_of_the_phrasebook_tells_nothing(quillwing):
    assert said_after_all("the weather is fine", entry(HEARD, quillwing), quillwing) == ()


@given(st.lists(st.sampled_from("abc"), max_size=6), st.lists(st.sampled_from("abc"), max_size=6))
def test_what_stands_before_and_after_the_changed_words_is_the_same(one, other):
    start, end = changed_words(" ".join(one), " ".join(other))
    left = len(other) - end
    assert one[:start] == other[:start]
    assert one[len(one) - left :] == other[end:]


@given(st.lists(st.sampled_from(sorted(PHONES)), min_size=1, max_size=9).map(" ".join))
def test_other_ways_are_few_sayable_and_never_the_known_one(way):
    others = other_ways("word", [way])
    assert 0 < len(others) <= MOST
    assert way not in others
    assert all(set(other.split()) <= PHONES for other in others)


def test_a_pronunciation_is_kept_as_the_engines_want_it():
    taught = Vocabulary().with_words({SOUNDS: {"epoxy": ["iy p aa k s iy"]}})
    assert own_sounds(taught) == {"epoxy": ("IY P AA K S IY",)}


def test_what_is_no_phone_is_told():
    with pytest.raises(VocabularyError, match="'epoxy' has QQ"):
        Vocabulary().with_words({SOUNDS: {"epoxy": ["qq p"]}})
