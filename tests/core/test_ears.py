"""What an engine on the phone listens by."""

import json
import math
from pathlib import Path

import pytest

from plytally.core.ears import automaton_of, ears, ways_of, weighed_against
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

QUILLWING = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))
DICTIONARY = {"aft": "AE F T", "bid": "B IH D", "of": "AH V", "of(2)": "AO V", "flox": "F L OW K S"}


@pytest.fixture(scope="module")
def listened():
    return ears(QUILLWING, DICTIONARY.get)


def test_what_may_follow_a_state_is_certain_to_be_one_of_its_ways(listened):
    total = {state: math.exp(cost) for state, cost in listened["ends"]}
    for start, _, _, cost in listened["arcs"]:
        total[start] = total.get(start, 0.0) + math.exp(cost)
    assert list(total.values()) == [pytest.approx(1, abs=0.01)] * listened["states"]


def test_every_word_that_may_be_said_has_a_sound_in_both_accents(listened):
    assert {word for _, _, word, _ in listened["arcs"]} == set(listened["words"])
    assert all(american and british for american, british in listened["words"].values())
    assert listened["words"]["aft"] == [["AE F T"], ["AA F T"]]


def test_a_word_has_every_way_of_the_dictionary_and_a_trades_word_its_own_too():
    assert ways_of("of", DICTIONARY.get) == ["AH V", "AO V"]
    assert ways_of("flox", DICTIONARY.get) == ["F L OW K S", "F L AA K S"]


def test_what_was_made_at_an_earlier_visit_weighs_a_sentence_as_before(listened):
    text = "mixed nineteen grams of epoxy"
    kept = automaton_of(json.loads(json.dumps(listened)))
    assert weighed_against(text, QUILLWING, kept) == weighed_against(text, QUILLWING) != []
