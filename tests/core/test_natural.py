"""Hand-written ways of saying things (tests/bench/natural.yaml), understood as text.

The phrasebook was widened for the half "tune"; "test" is the half it was not looked at for. The bounds are
what was reached.
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
def outcomes(half):
    """Each phrase of the half with its outcome; they are understood once for all tests."""
    return {phrase["say"]: outcome(phrase) for phrase in natural(half)}


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


@pytest.mark.parametrize(("half", "least"), [("tune", 119), ("test", 77)])
def test_natural_ways_of_saying_things_are_understood(half, least):
    assert list(outcomes(half).values()).count("exact") >= least


@pytest.mark.parametrize("half", ["tune", "test"])
def test_what_is_not_understood_makes_no_entry_without_a_doubt(half):
    """Talk, denials and plans are among them."""
    assert [said for said, outcome in outcomes(half).items() if outcome == "wrong"] == []
