"""What can be said: the phrase vectors, the coverage of every kind, the builder's own words."""

import json
from pathlib import Path

import pytest

from plytally.core.entry import KINDS, value_to_json
from plytally.core.hearing import typed
from plytally.core.listening import listening, sample, whole_reading
from plytally.core.names import Name
from plytally.core.phrasebook import COMMANDS, ENTRIES, QUESTIONS, phrases
from plytally.core.understand import understand
from plytally.core.vocabulary import PartWords, Vocabulary, from_schedule
from plytally.schedule_file import read_schedule_file

ROOT = Path(__file__).parents[2]
VECTORS = [
    vector
    for name in ("phrases", "phrases_typed")
    for vector in json.loads((ROOT / f"tests/vectors/{name}.json").read_text())
]
QUILLWING = from_schedule(read_schedule_file(ROOT / "demo_entries/quillwing.yaml"))


@pytest.mark.parametrize("vector", VECTORS, ids=[v["say"] for v in VECTORS])
def test_a_phrase_means_what_its_vector_says(vector):
    meant = understand(typed(vector["say"]), QUILLWING)

    fields = {name: value_to_json(value) for name, value in meant.fields.items()}
    assert (meant.makes, meant.name, fields) == (vector["makes"], vector["name"], vector["fields"])
    assert meant.unused == ()


def test_there_are_at_least_150_vectors_over_all_kinds():
    said = {v["name"] for v in VECTORS}

    assert len(VECTORS) >= 150
    assert said >= set(KINDS) - {"note"} | set(COMMANDS) | set(QUESTIONS)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_entry_can_be_said_in_at_least_three_ways(kind):
    assert len(ENTRIES[kind]) >= 3


@pytest.mark.parametrize("name", [*COMMANDS, *QUESTIONS])
def test_every_command_and_question_can_be_said_in_at_least_three_ways(name):
    assert len({**COMMANDS, **QUESTIONS}[name]) >= 3


def test_every_sentence_a_recogniser_can_give_is_read_whole():
    for said in sample(listening(QUILLWING), 3000):
        assert whole_reading(tuple(said.split()), QUILLWING) is not None, said


def test_a_builders_own_part_and_material_plug_in_without_code():
    own = Vocabulary(
        parts=(PartWords(Name("wing walk 2"), sided=True, faces=(Name("upper"),)),),
    ).with_words({"materials": {"basalt twill": ["basalt", "basalt twill"]}})

    meant = understand(typed("laid three plies of basalt on the left wing walk two upper face"), own)

    assert meant.fields == {
        "plies": 3,
        "material": "basalt twill",
        "side": "left",
        "part": "wing walk 2",
        "face": "upper",
    }
    assert meant.doubts == ()


def test_a_builder_without_parts_can_still_speak_of_the_shop():
    assert understand(typed("shop air ninety degrees"), Vocabulary()).name == "shop_air"
    assert not any("<place>" in row.text for row in phrases(Vocabulary()))
