"""Rows of the phrasebook are tried only on the words that they can begin with."""

import json
from pathlib import Path

import pytest

from plytally.core.beginnings import first_words
from plytally.core.grammar import Either, Maybe, Reads, Rule, Say, Seq, match
from plytally.core.phrasebook import phrases, readings
from plytally.core.vocabulary import Vocabulary, from_schedule
from plytally.schedule_file import read_schedule_file

ROOT = Path(__file__).parents[2]
QUILLWING = from_schedule(read_schedule_file(ROOT / "demo_entries/quillwing.yaml"))
SAID = [row["say"] for row in json.loads((ROOT / "tests/vectors/phrases.json").read_text("utf-8"))]
LAID, THE = Say("laid"), Say("the")


@pytest.mark.parametrize(
    ("node", "words"),
    [
        pytest.param(Seq((Maybe(THE), LAID)), {"the", "laid"}, id="what may be left out and what follows it"),
        pytest.param(Either((Seq((LAID, THE)), Rule("on", Say("on")))), {"laid", "on"}, id="either of two"),
        pytest.param(Maybe(LAID), None, id="it may be nothing at all"),
        pytest.param(Seq((Maybe(LAID), Maybe(THE))), None, id="nor may it, part by part"),
        pytest.param(
            Seq((Maybe(LAID), Reads("plies", LAID, lambda *_: None))), None, id="an amount is any word"
        ),
    ],
)
def test_what_a_part_can_begin_with(node, words):
    assert first_words(node) == words


@pytest.mark.parametrize("vocabulary", [QUILLWING, Vocabulary(parts=())], ids=["quillwing", "no parts"])
def test_no_reading_is_lost_by_trying_fewer_rows(vocabulary):
    for said in SAID[::5]:
        words, known = tuple(said.split()), {}
        for at in range(len(words) + 1):
            tried = [
                (row, end, found)
                for row in phrases(vocabulary)
                for end, found in match(row.node, words, at, known)
            ]
            some = [(each.phrase, each.end, each.found) for each in readings(words, at, vocabulary, known)]
            assert some == tried
