"""What there is to read aloud: sentences of the phrasebook that name every part and hold every sound."""

import json
from pathlib import Path

import pytest
from bench.natural import natural

from plytally.core.letters import phones_of
from plytally.core.names import Name
from plytally.core.reading_list import MOST, ROWS, reading_list
from plytally.core.rivals import listened
from plytally.core.vocabulary import PartWords, Vocabulary, from_schedule
from plytally.schedule_file import read_schedule_file

HERE = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def quillwing():
    return from_schedule(read_schedule_file(HERE / "demo_entries/quillwing.yaml"))


def test_every_sentence_is_one_that_the_grammar_listens_for(quillwing):
    listens = listened(quillwing)
    assert all(listens.accepts(tuple(each.text.split())) for each in reading_list(quillwing))


def test_no_row_is_lost_for_a_builder_who_has_parts(quillwing):
    named = sum("{place}" in row for row in ROWS)
    assert len(reading_list(quillwing)) == len(ROWS) + len(quillwing.parts) - named


def test_every_part_is_named_once_at_least(quillwing):
    assert {each.part for each in reading_list(quillwing)} >= {part.part.name for part in quillwing.parts}


def test_it_takes_about_two_minutes_to_read(quillwing):
    words = sum(len(each.text.split()) for each in reading_list(quillwing))
    assert 180 < words < 320  # 100 to 150 words a minute


def test_a_builder_without_parts_reads_what_names_none():
    read = {each.text for each in reading_list(Vocabulary())}
    assert read <= {row for row in ROWS if "{" not in row}
    assert len(read) > 4


def test_a_builder_with_a_hundred_parts_reads_no_longer_than_a_few_minutes():
    many = Vocabulary(parts=tuple(PartWords(Name(f"rib {at}")) for at in range(1, 90)))
    assert len(reading_list(many)) <= MOST


def test_nothing_that_the_bench_tries_hearing_on_is_read_before(quillwing):
    vectors = json.loads((HERE / "tests/vectors/phrases.json").read_text())
    tried = {phrase["say"] for phrase in (*vectors, *natural("both"))}
    assert tried.isdisjoint(each.text for each in reading_list(quillwing))


def test_the_words_read_hold_all_but_the_rarest_phones_of_english(quillwing):
    words = {word for each in reading_list(quillwing) for word in each.text.split()}
    spelled = {phone for word in words for phone in phones_of(word)}
    assert len(spelled) >= 36
