"""A correction teaches how a word is said: through the real engine, from the sound to being heard right."""

from pathlib import Path

import pytest
from bench.sound import SIX, in_noise, speak
from support.wavs import wav

from plytally.core.hearing import typed
from plytally.core.vocabulary import SOUNDS
from plytally.store.log import Recording
from plytally.workshop.bench import Bench
from plytally.workshop.desk_ways import ways_proposed
from plytally.workshop.desk_words import DeskWords
from plytally.workshop.ear import Ear

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
SPOKEN = "mounted the gazzet on the rudder post"  # how this builder says "gusset"


@pytest.fixture(scope="module")
def bench(tmp_path_factory):
    with Bench.open(tmp_path_factory.mktemp("ways") / "log") as made:
        made.take_schedule(QUILLWING)
        made.add_words("items", "gusset", ["gusset"])
        yield made


@pytest.fixture(scope="module")
def ear(bench):
    made = Ear(bench.log.folder, "sphinx")
    yield made
    made.close()


@pytest.fixture(scope="module")
def sound():
    return wav(in_noise(speak(SPOKEN, SIX[0]), 20).samples)


@pytest.fixture(scope="module")
def corrected(bench, ear, sound):
    """The entry as it was heard, with what a person put right."""
    entry = bench.take(ear.hear(sound, "note", bench.vocabulary), Recording(sound)).logged
    assert entry.noted.fields["item"] != "gusset"
    bench.log.amend(entry.id, "item", "gusset")
    return entry.id


def test_the_sound_tells_how_the_word_was_said_and_nothing_is_changed_by_asking(bench, ear, corrected):
    before = bench.vocabulary
    (way,) = ways_proposed(bench, ear, corrected)
    assert way["word"] == "gusset"
    assert way["phones"].split()[0] == "G"
    assert way["teach"] == {
        "list": SOUNDS,
        "name": "gusset",
        "said_as": [way["phones"].lower()],
        "entry": corrected,
    }
    assert bench.vocabulary == before


def test_an_entry_that_nobody_corrected_proposes_nothing_and_the_engine_is_not_asked(bench):
    heard_rightly = bench.take(typed("checked the rudder post")).logged
    assert ways_proposed(bench, None, heard_rightly.id) == []


def test_once_taught_the_same_sound_is_heard_right(bench, ear, sound, corrected):
    (way,) = ways_proposed(bench, ear, corrected)
    teach = way["teach"]
    DeskWords(bench).teach(teach["list"], teach["name"], teach["said_as"])
    assert "gusset" in ear.hear(sound, "note", bench.vocabulary).text
