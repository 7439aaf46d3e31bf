"""Hand-written ways of saying things (tests/bench/natural.yaml, natural_more.yaml), understood as text.

The phrasebook and the loose ways were widened for the halves "tune"; "test" are the halves they were not
looked at for. The bounds are a little under what was reached.
"""

from functools import cache
from pathlib import Path

import pytest
from natural import natural

from plytally.core.entry import value_to_json
from plytally.core.hearing import typed
from plytally.core.understand import understand
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

ROOT = Path(__file__).parents[2]
QUILLWING = from_schedule(read_schedule_file(ROOT / "demo_entries/quillwing.yaml"))


@cache
def outcomes(half, collection):
    """Each phrase of the half with its outcome; they are understood once for all tests."""
    return {phrase["say"]: outcome(phrase) for phrase in natural(half, collection)}


def outcome(phrase):
    """ "exact", "kept" as a plain note or with a doubt, or "wrong"."""
    meant = understand(typed(phrase["say"]), QUILLWING)
    fields = {name: value_to_json(value) for name, value in meant.fields.items()}
    if (meant.makes, meant.name, fields) == (phrase["makes"], phrase["name"], phrase["fields"]):
        return "exact"
    return "kept" if meant.doubts or meant.name == "note" else "wrong"


def test_there_are_200_of_them_and_both_halves_have_every_kind():
    assert len(natural("both")) >= 200
    assert {p["name"] for p in natural("tune")} == {p["name"] for p in natural("test")}


@pytest.mark.parametrize(
    ("half", "collection", "least"),
    [
        ("tune", "natural", 121),
        ("test", "natural", 108),
        ("tune", "natural_more", 117),
        ("test", "natural_more", 104),
    ],
)
def test_natural_ways_of_saying_things_are_understood(half, collection, least):
    assert list(outcomes(half, collection).values()).count("exact") >= least


@pytest.mark.parametrize("half", ["tune", "test"])
@pytest.mark.parametrize("collection", ["natural", "natural_more"])
def test_what_is_not_understood_makes_no_entry_without_a_doubt(half, collection):
    assert [said for said, outcome in outcomes(half, collection).items() if outcome == "wrong"] == []


@pytest.mark.parametrize("collection", ["natural", "natural_more"])
def test_talk_denials_and_plans_stay_plain_notes(collection):
    talk = [phrase["say"] for phrase in natural("both", collection) if phrase["name"] == "note"]
    made = {said: understand(typed(said), QUILLWING) for said in talk}
    assert [said for said, meant in made.items() if meant.name != "note"] == []
